"""What of a published plan still stands when the shop or its orders have changed.

A task must move where its people, mould, station, hours, length or order are no longer what
the plan took them for, where what it follows moves, where it is tied to what moves, and
where a mould or station it takes would be kept for what moves. Everything else can stay.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from mouldwright.domain.shop import Shop
from mouldwright.planning.explaining.causes import Causes
from mouldwright.planning.explaining.reading import PlanReader
from mouldwright.planning.explaining.uses import Uses
from mouldwright.planning.left_over_batch import Members, can_lose_some, leaving, without
from mouldwright.planning.logged.against import Against
from mouldwright.planning.logged.beside import as_it_went
from mouldwright.planning.pinned import Identity, identity, shares
from mouldwright.planning.plan import Member, Plan, Task
from mouldwright.planning.problem import Lot
from mouldwright.planning.routing import BATCH, ORDER, PART, duration_min, mixed_ug


@dataclass(frozen=True, slots=True, kw_only=True)
class Stands:
    """What of a plan stands.

    Attributes:
        begun: Tasks that have begun by now; they stay exactly as they are.
        kept: Tasks still to come that can stay.
        moves: Place in the plan of each task that must move, and why, in words.
        gone: Places of tasks whose order, pull or part is no longer wanted.
        lost: Of those the ones that the log tells of, and why.
        late: Places of tasks that should have begun by now and have not; they move too.
    """

    begun: tuple[Task, ...]
    kept: tuple[Task, ...]
    moves: dict[int, str]
    gone: frozenset[int]
    lost: Mapping[int, str] = field(default_factory=dict)
    late: frozenset[int] = frozenset()


def what_stands(shop: Shop, plan: Plan, *, now: int, wary: bool = False) -> Stands:
    """Return what of a plan can stand in a shop as it is now.

    Args:
        shop: With its open orders.
        plan: As it was published, for that shop or an earlier state of it.
        now: Minutes since the epoch. What began before is taken to have been done as planned,
            but for what the shop's log tells: see ``planning.logged.beside``.
        wary: Whether whatever comes later on a mould or station moves too once that is kept for
            a task that moves; it may be kept no longer than it was.

    Raises:
        MouldwrightError: if the shop's orders cannot be compiled.
    """
    return _Standing(shop, plan, now, wary).stands()


def why_of(held: Plan, stands: Stands) -> dict[Identity, str]:
    """Return why tasks of a plan had to move, or will not be, by what makes them the same work."""
    return {
        identity(held.tasks[at]): words
        for at, words in (*stands.lost.items(), *stands.moves.items())
        if at < len(held.tasks) and held.tasks[at].members
    }


class _Standing:
    def __init__(self, shop: Shop, plan: Plan, now: int, wary: bool) -> None:
        went = as_it_went(shop, plan, now=now)
        self.went, self.problem, self.begun = went, went.problem, went.begun
        self.shop, self.plan, self.now, self.wary = went.problem.shop, went.plan, now, wary
        self.reader = PlanReader(self.shop, self.plan)
        self.uses = Uses(self.reader)
        self.causes = Causes(self.reader, self.uses)
        self.lots: dict[tuple[str, str, str], list[Lot]] = {}
        for lot in self.problem.lots:
            number = self.problem.demands[lot.order].number if lot.order >= 0 else ""
            key = (number, self.problem.routings[lot.routing].key, lot.part)
            self.lots.setdefault(key, []).append(lot)
        families = self.shop.moulds.values()
        self.names = {f.name(m) for f in families for m in f.moulds if not m.is_out}
        self.out = {f.name(m) for f in families for m in f.moulds if m.is_out}
        makers = {f.made_by for f in families}
        self.made = {t.mould for t in plan.tasks if not t.members and t.process in makers}
        self.moves: dict[int, str] = {}
        self.gone: set[int] = set()
        # Batches that stay with fewer in them.
        self.fewer: dict[int, Task] = {}

    def stands(self) -> Stands:
        tasks = self.plan.tasks
        for at, task in enumerate(tasks):
            if at in self.went.gone or (at not in self.begun and self._is_gone(at, task)):
                self.gone.add(at)
        self.moves.update(self.went.late)
        self.against = Against(self.reader, self.uses, self.went)
        for at in range(len(tasks)):
            if at in self.gone or at in self.begun or at in self.moves:
                continue
            if why := self._broken(at) or self.against.what_was_done(at):
                self.moves[at] = why
        self._spread()
        left = [
            (at, self.fewer.get(at, task))
            for at, task in enumerate(tasks)
            if at not in self.gone and at not in self.moves
        ]
        return Stands(
            begun=tuple(task for at, task in left if at in self.begun),
            kept=tuple(task for at, task in left if at not in self.begun and self._useful(at)),
            moves=self.moves,
            gone=frozenset(self.gone),
            lost=self.went.gone,
            late=frozenset(self.went.late),
        )

    def _useful(self, at: int) -> bool:
        """Return whether upkeep of a mould still has a pull to come after it that stays."""
        task = self.plan.tasks[at]
        if task.members or task.mould is None:
            return True
        return any(
            use.start >= task.end
            and use.orders
            and use.first not in self.moves
            and use.first not in self.gone
            for use in self.uses.of.get(task.mould, ())
        )

    # What is no longer wanted.

    def _is_gone(self, at: int, task: Task) -> bool:
        unwanted = [member for member in task.members if not self._is_wanted(task, member)]
        if not unwanted:
            return False
        return len(unwanted) == len(task.members) or not self._let_out(at, unwanted)

    def _let_out(self, at: int, members: Sequence[Member]) -> Members:
        """Let some leave a batch that can stay with the others; none where it cannot."""
        task = self.fewer.get(at, self.plan.tasks[at])
        process = self.shop.processes.get(task.process)
        if not can_lose_some(process, self.reader.operation(at)):
            return ()
        gone = leaving(task, members)
        fewer = without(task, gone) if gone else None
        if not gone or fewer is None or (task.mixed_g is not None and not self._mixed(fewer)):
            return ()
        self.fewer[at] = replace(fewer, mixed_g=self._mixed(fewer))
        return gone

    def _mixed(self, task: Task) -> float | None:
        """Return the grams to mix for those of a task; None where it mixes nothing."""
        need, mix = 0, None
        for member in task.members:
            lot = self._lot_of(task, member)
            if lot is None:
                return None
            steps = self.problem.routings[lot.routing].steps
            step = next(step for step in steps if step.name == task.operation)
            need += lot.matrix_ug.get(step.index, 0) * len(member.pulls or member.parts)
            mix = self.shop.materials[step.operation.material or ""].mix if need else None
        return mixed_ug(mix, need) / 1_000_000 if mix is not None else None

    def _is_wanted(self, task: Task, member: Member) -> bool:
        return self._lot_of(task, member) is not None

    def _lot_of(self, task: Task, member: Member) -> Lot | None:
        for lot in self.lots.get((member.order, task.process, task.part), ()):
            if all(_goes_on(lot, pull=p) for p in member.pulls) and all(
                _goes_on(lot, part=p) for p in member.parts
            ):
                return lot
        return None

    # What cannot stay.

    def _broken(self, at: int) -> str:
        """Return why a task still to come cannot stay; empty where it can."""
        task, operation = self.plan.tasks[at], self.reader.operation(at)
        if operation is None:
            return "the step is no longer in the process"
        for person in task.people:
            if person not in self.shop.people:
                return f"{person} is no longer there"
            known = self.shop.people[person]
            if operation.skill is not None and operation.skill not in known.skills:
                return f"{known.title} no longer does {operation.skill}"
            if not all(self._is_open(person, a, b) for a, b in task.spans):
                return f"{known.title} is away then"
        if task.members and task.mould not in (None, *self.names, *self.made):
            if task.mould not in self.out:
                return f"mould {task.mould} is no longer there"
            if not self.against.is_on(task):
                return f"{task.mould} is out of use"
        for unit in task.stations:
            key, _, number = unit.rpartition(" ")
            station = self.shop.stations.get(key)
            if station is None or int(number) > station.count:
                return f"{unit} is no longer there"
        release = self.reader.release(at)
        if release is not None and task.start < release:
            return "its order may not begin so soon"
        if self._length(task) not in (None, sum(b - a for a, b in task.spans)):
            return "it takes another time now"
        return ""

    def _is_open(self, person: str, start: int, end: int) -> bool:
        if start == end:
            return True
        return any(a <= start and end <= b for a, b in self.reader.hours(person))

    def _length(self, task: Task) -> int | None:
        """Return the minutes a task takes now; None where that cannot be told from here."""
        if not task.members:
            return None
        lots = [self._lot_of(task, member) for member in task.members]
        first = lots[0]
        if first is None:
            return None
        steps = self.problem.routings[first.routing].steps
        step = next((s for s in steps if s.name == task.operation), None)
        if step is None or step.operation.cures is not None:
            # How long a cure takes depends on when it is.
            return None
        if step.level == BATCH:
            parts = sum(
                max(len(m.pulls) * lot.cavities, len(m.parts))
                for m, lot in zip(task.members, lots, strict=True)
                if lot is not None
            )
            return duration_min(step.operation, parts)
        if step.level in (PART, ORDER) or len(task.members) == 1:
            return first.durations[step.index]
        return None

    # What moves with it.

    def _spread(self) -> None:
        """Let move what follows or is tied to what moves, and what waits for what it keeps."""
        # Of a batch that is no more, those who go on need another.
        again = [at for at in self.went.gone if at < len(self.plan.tasks)]
        left = [(at, self.plan.tasks[at].members) for at in (*self.moves, *again)]
        while left:
            at, members = left.pop()
            for other, why in self._with(at, members):
                if other in self.moves or other in self.gone or other in self.begun:
                    continue
                if other in self.fewer and not _meet(self.fewer[other], members):
                    continue
                if out := self._let_out(other, members):
                    left.append((other, out))
                    continue
                self.moves[other] = why
                left.append((other, self.plan.tasks[other].members))

    def _with(self, at: int, members: Members) -> Iterator[tuple[int, str]]:
        """Yield what cannot stay because those of a task move, and why."""
        task = self.plan.tasks[at]
        part = at not in self.moves
        for other in self.reader.following(at):
            if not part or _meet(self.plan.tasks[other], members):
                yield other, f"it follows {task.operation}, which moves"
        for other in self.reader.followed(at):
            if part and not _meet(self.plan.tasks[other], members):
                continue
            if at in self.causes.tied_to(other):
                yield other, f"{task.operation}, which moves, has to follow it closely"
        if part:
            # What the batch keeps, it keeps for those who stay in it.
            return
        for name in (task.mould, *task.stations):
            for use in self.uses.of.get(name or "", ()):
                if use.first < 0 or use.first == at or not use.start <= task.start < use.end:
                    continue
                if use.first not in self.begun:
                    # Else the mould would be filled as planned and not come free in time.
                    yield use.first, f"{task.operation}, for which {name} is kept, moves"
                elif self.wary:
                    for later in self.uses.of[name or ""]:
                        if later.start >= use.end and later.first >= 0:
                            yield later.first, f"{name} is kept longer than planned"


def _meet(task: Task, members: Members) -> bool:
    """Return whether some pull or part of a task is among the members."""
    return shares(task, replace(task, members=members))


def _goes_on(lot: Lot, *, pull: int | None = None, part: int | None = None) -> bool:
    """Return whether a pull or part is of a lot, and neither lost nor dropped."""
    if part is not None:
        place = lot.numbers.place_of_part(part)
        if place is None or place[0] >= lot.units:
            return False
        return place[0] * lot.cavities + place[1] not in lot.ended
    unit = lot.numbers.unit_of_pull(pull or 0)
    if unit is None or unit >= lot.units:
        return False
    each = range(lot.cavities)
    return any(unit * lot.cavities + which not in lot.ended for which in each)
