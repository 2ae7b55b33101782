"""One day of the bench as it really goes, told to nobody yet: what was done when, and what failed.

Every person, mould and machine takes its tasks in the plan's order, each as soon as its turn has
come and what goes before it is done, as the odds of a plan have it (docs/uncertainty.md): who is
done early goes on with the next. A bench that goes by the clock begins nothing before its planned
minute. What no longer fits before closing waits for the next plan.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from mouldwright.domain.hours.clock import fit, intersect, spans
from mouldwright.domain.hours.opening import Window
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.shop import Shop
from mouldwright.wire.answers.plan import MemberAnswer, TaskAnswer

from .mishaps import Mishaps
from .reading import minute

# What an order's pull or part is called here: the order, "pull" or "part", and its number.
Piece = tuple[str, str, int]


@dataclass(frozen=True)
class Told:
    """Something to be noted at its minute."""

    minute: int
    what: str
    task: TaskAnswer | None = None
    members: tuple[MemberAnswer, ...] = ()
    mould: str | None = None
    person: str | None = None
    until: int | None = None
    cause: str = ""


@dataclass
class Life:
    """All that is true of the bench.

    Attributes:
        by_clock: Whether nothing is begun before its planned minute.
        ends: When each piece was last done with.
        lost: Pieces that are no more.
        free: From when on each person, mould and unit is free.
        did: Names of tasks done, so that none is done twice.
        gone: Moulds that are no more.
        passed: Greatest waits that were passed.
    """

    shop: Shop
    mishaps: Mishaps
    by_clock: bool = False
    ends: dict[Piece, int] = field(default_factory=dict)
    lost: set[Piece] = field(default_factory=set)
    free: dict[str, int] = field(default_factory=dict)
    did: set[tuple[object, ...]] = field(default_factory=set)
    away: dict[str, list[Window]] = field(default_factory=dict)
    gone: set[str] = field(default_factory=set)
    passed: int = 0

    def day(self, plan: Sequence[TaskAnswer], now: int, until: int) -> list[Told]:
        """Live from now until then by a plan; return what happened, by when it did."""
        told: list[Told] = []
        for person in self.shop.people.values():
            late = self.mishaps.morning()
            if late:
                first = next((a for a, _ in self.open_hours(person.key, now, until)), None)
                if first is not None:
                    self.free[person.key] = max(self.free.get(person.key, 0), first + late)
        to_do = [t for t in plan if now <= minute(t.start) and name(t) not in self.did]
        if self.by_clock:
            to_do = [t for t in to_do if minute(t.start) < until]
        tails = _tails(self.shop, to_do)
        waiting: set[object] = set()
        for at, task in sorted(enumerate(to_do), key=lambda each: (each[1].start, each[1].end)):
            members = [m for m in map(self._left, task.members) if m is not None]
            if task.members and not members:
                continue
            needs = {*pieces(members), *_busied(task)}
            if needs & (waiting | self.gone) or not self._do(
                task, members, tails[at], now, until, told
            ):
                waiting |= needs
        return sorted(told, key=lambda each: each.minute)

    def ill(self, person: str, now: int, until: int) -> Told:
        """Let somebody be away from now until then."""
        self.away.setdefault(person, []).append((now, until))
        return Told(minute=now, what="person away", person=person, until=until, cause="ill")

    def _do(
        self,
        task: TaskAnswer,
        members: list[MemberAnswer],
        tail: int,
        now: int,
        until: int,
        told: list[Told],
    ) -> bool:
        operation = operation_of(self.shop, task)
        planned = sum(minute(b) - minute(a) for a, b in task.spans)
        ready = max((self._ready(piece) for piece in pieces(members)), default=0)
        earliest = max(
            ready + (operation.wait_min if operation else 0),
            *(
                self.free.get(name, 0)
                for name in (task.mould, *task.stations, *task.people)
                if name
            ),
            *((minute(task.start),) if self._waits(task, operation, ready) else ()),
            now,
        )
        took = self.mishaps.minutes(operation, planned) if operation else planned
        if task.people and planned:
            hours = self._open(task.people, now, until)
            if operation is not None and operation.interruptible:
                whole = spans(self._open(task.people, now, until + 30 * 1440), earliest, took)
                if whole is None or whole[0][0] >= until:
                    return False
                start, end = whole[0][0], whole[-1][1]
            else:
                found = fit(hours, earliest, max(planned, tail - minute(task.start)))
                if found is None:
                    return False
                start, end = found, found + took
        elif earliest >= until:
            return False
        else:
            start, end = earliest, earliest + took
        if operation is not None and operation.wait_max_min is not None and ready:
            self.passed += start - ready > operation.wait_max_min
        self._done(task, operation, members, start, end, told)
        return True

    def _waits(self, task: TaskAnswer, operation: Operation | None, ready: int) -> bool:
        """Return whether a task waits for its planned minute; what goes by itself never does."""
        goes_by_itself = operation is not None and not operation.attended
        return self.by_clock and not (goes_by_itself and minute(task.start) <= ready)

    def _done(
        self,
        task: TaskAnswer,
        operation: Operation | None,
        members: list[MemberAnswer],
        start: int,
        end: int,
        told: list[Told],
    ) -> None:
        done = task.model_copy(update={"members": members})
        self.did.add(name(task))
        told.append(Told(minute=start, what="started", task=done))
        for piece in pieces(members):
            self.ends[piece] = max(self.ends.get(piece, 0), end)
        for busy in _busied(task):
            self.free[busy] = max(self.free.get(busy, 0), end)
        is_cure = operation is not None and not operation.attended and task.mould is not None
        if is_cure and members and self.mishaps.cure_fails():
            told.append(Told(minute=end, what="stopped", task=done, cause="the cure failed"))
            self.lost |= set(pieces(members))
            return
        told.append(Told(minute=end, what="finished", task=done))
        if operation is None:
            return
        for member in members:
            bad = self._bad(operation, member, task)
            if bad is not None:
                told.append(Told(minute=end, what="scrapped", task=done, members=(bad,)))
        family = self.shop.moulds.get((task.mould or "").rpartition(" ")[0])
        is_last = family is not None and _ends_hold(self.shop, task)
        if is_last and members and self.mishaps.mould_breaks(float(family.loss_rate)):
            # What comes out of a mould that splits is no good either.
            left = tuple(m for m in map(self._left, members) if m is not None)
            if left:
                told.append(Told(minute=end, what="scrapped", task=done, members=left))
            told.append(Told(minute=end, what="mould lost", mould=task.mould, cause="it split"))
            self.lost |= set(pieces(members))
            self.gone.add(task.mould or "")

    def _bad(
        self, operation: Operation, member: MemberAnswer, task: TaskAnswer
    ) -> MemberAnswer | None:
        """Return what of a member did not pass; None where all of it did."""
        rate = float(operation.good_rate)
        if rate >= 1:
            return None
        numbers = member.parts or member.pulls
        kind = "part" if member.parts else "pull"
        bad = [n for n in numbers if self.mishaps.fails(1 - rate)]
        if not bad:
            return None
        self.lost |= {(member.order, kind, n) for n in bad}
        found = {"parts": bad, "pulls": []} if kind == "part" else {"pulls": bad, "parts": []}
        return member.model_copy(update=found)

    def _left(self, member: MemberAnswer) -> MemberAnswer | None:
        """Return what is left of a member; None where it is all lost."""
        pulls = [n for n in member.pulls if (member.order, "pull", n) not in self.lost]
        parts = [n for n in member.parts if (member.order, "part", n) not in self.lost]
        if (member.pulls and not pulls) or (member.parts and not parts):
            return None
        return member.model_copy(update={"pulls": pulls, "parts": parts})

    def _ready(self, piece: Piece) -> int:
        order, kind, _ = piece
        if kind == "order":
            # Work on a whole order follows all that was done for it.
            return max((end for of, end in self.ends.items() if of[0] == order), default=0)
        return self.ends.get(piece, 0)

    def open_hours(self, person: str, now: int, until: int) -> list[Window]:
        """Return somebody's hours from now on, till a day past then at the most."""
        hours = self.shop.hours_of(self.shop.people[person])
        days = hours.windows(now - 1440, until + 1440)
        left: list[Window] = [(max(a, now), b) for a, b in days if b > now]
        for gone, back in self.away.get(person, ()):
            left = [
                piece
                for a, b in left
                for piece in ((a, min(b, gone)), (max(a, back), b))
                if piece[0] < piece[1]
            ]
        return left

    def _open(self, people: Sequence[str], now: int, until: int) -> list[Window]:
        found: Sequence[Window] = self.open_hours(people[0], now, until)
        for person in people[1:]:
            found = intersect(found, self.open_hours(person, now, until))
        return [(a, b) for a, b in found if a < until]


def pieces(members: Sequence[MemberAnswer]) -> Iterator[Piece]:
    """Yield what members are made of."""
    for member in members:
        for pull in member.pulls:
            yield member.order, "pull", pull
        for part in member.parts:
            yield member.order, "part", part
        if not member.pulls and not member.parts:
            yield member.order, "order", 0


def name(task: TaskAnswer) -> tuple[object, ...]:
    """Return what a task is called, whenever and by whomever it is done."""
    whole = tuple((m.order, tuple(m.pulls), tuple(m.parts)) for m in task.members)
    when = () if task.members else (task.start,)
    return (task.process, task.operation, task.mould if not whole else None, whole, when)


def operation_of(shop: Shop, task: TaskAnswer) -> Operation | None:
    """Return the operation of a task; None for work on a set or a mould's upkeep."""
    process = shop.processes.get(task.process)
    every = process.operations if process is not None else ()
    return next((o for o in every if o.name == task.operation), None)


def _busied(task: TaskAnswer) -> list[str]:
    """Return everyone and everything a task keeps busy."""
    return [*task.people, *task.stations, *([task.mould] if task.mould else [])]


def _ends_hold(shop: Shop, task: TaskAnswer) -> bool:
    holds = shop.processes[task.process].holds if task.process in shop.processes else ()
    return any(hold.resource == "mould" and hold.last == task.operation for hold in holds)


def _tails(shop: Shop, tasks: Sequence[TaskAnswer]) -> list[int]:
    """Return, for each task, the planned end of all that has to follow it at once."""
    tails = [minute(task.end) for task in tasks]
    for at in sorted(range(len(tasks)), key=lambda each: tasks[each].start, reverse=True):
        task, mine = tasks[at], set(pieces(tasks[at].members))
        mix = operation_of(shop, task)
        for other, following in enumerate(tasks):
            if other == at or minute(following.start) < minute(task.end):
                continue
            after = operation_of(shop, following)
            tied = after is not None and (
                (
                    after.wait_max_min is not None
                    and minute(following.start) - minute(task.end) <= after.wait_max_min
                )
                or (mix is not None and mix.pot_life_until == following.operation)
            )
            if (
                tied
                and after is not None
                and after.attended
                and mine & set(pieces(following.members))
            ):
                tails[at] = max(tails[at], tails[other])
    return tails
