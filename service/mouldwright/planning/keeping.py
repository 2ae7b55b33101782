"""What of a published plan still stands when the shop or its orders have changed.

A task must move where its people, mould, station, hours, length or order are no longer what
the plan took them for, where what it follows moves, where it is tied to what moves, and
where a mould or station it takes would be kept for what moves. Everything else can stay.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from mouldwright.domain.shop import Shop
from mouldwright.planning.compiling import build_problem
from mouldwright.planning.explaining.causes import Causes
from mouldwright.planning.explaining.reading import PlanReader
from mouldwright.planning.explaining.uses import Uses
from mouldwright.planning.plan import Member, Plan, Task
from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.routing import BATCH, ORDER, PART, duration_min


@dataclass(frozen=True, slots=True, kw_only=True)
class Stands:
    """What of a plan stands.

    Attributes:
        begun: Tasks that have begun by now; they stay exactly as they are.
        kept: Tasks still to come that can stay.
        moves: Place in the plan of each task that must move, and why, in words.
        gone: Places of tasks whose order, pull or part is no longer wanted.
    """

    begun: tuple[Task, ...]
    kept: tuple[Task, ...]
    moves: dict[int, str]
    gone: frozenset[int]


def what_stands(shop: Shop, plan: Plan, *, now: int, wary: bool = False) -> Stands:
    """Return what of a plan can stand in a shop as it is now.

    Args:
        shop: With its open orders.
        plan: As it was published, for that shop or an earlier state of it.
        now: Minutes since the epoch. What began before is taken to have been done as planned.
        wary: Whether whatever comes later on a mould or station moves too once that is kept for
            a task that moves; it may be kept no longer than it was.

    Raises:
        MouldwrightError: if the shop's orders cannot be compiled.
    """
    return _Standing(shop, plan, now, wary).stands()


class _Standing:
    def __init__(self, shop: Shop, plan: Plan, now: int, wary: bool) -> None:
        self.shop, self.plan, self.now, self.wary = shop, plan, now, wary
        self.reader = PlanReader(shop, plan)
        self.uses = Uses(self.reader)
        self.causes = Causes(self.reader, self.uses)
        self.problem: Problem = build_problem(shop, now=now)
        self.lots: dict[tuple[str, str, str], list[Lot]] = {}
        for lot in self.problem.lots:
            number = self.problem.demands[lot.order].number if lot.order >= 0 else ""
            key = (number, self.problem.routings[lot.routing].key, lot.part)
            self.lots.setdefault(key, []).append(lot)
        self.names = {f.name(m) for f in shop.moulds.values() for m in f.moulds}
        makers = {f.made_by for f in shop.moulds.values()}
        self.made = {t.mould for t in plan.tasks if not t.members and t.process in makers}
        self.moves: dict[int, str] = {}
        self.gone: set[int] = set()

    def stands(self) -> Stands:
        tasks = self.plan.tasks
        for at, task in enumerate(tasks):
            if self._is_gone(task):
                self.gone.add(at)
        for at, task in enumerate(tasks):
            if at not in self.gone and task.start >= self.now and (why := self._broken(at)):
                self.moves[at] = why
        self._spread()
        left = [
            (at, task)
            for at, task in enumerate(tasks)
            if at not in self.gone and at not in self.moves
        ]
        return Stands(
            begun=tuple(task for _, task in left if task.start < self.now),
            kept=tuple(task for at, task in left if task.start >= self.now and self._useful(at)),
            moves=self.moves,
            gone=frozenset(self.gone),
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

    def _is_gone(self, task: Task) -> bool:
        if not task.members:
            return False
        return not all(self._is_wanted(task, member) for member in task.members)

    def _is_wanted(self, task: Task, member: Member) -> bool:
        return self._lot_of(task, member) is not None

    def _lot_of(self, task: Task, member: Member) -> Lot | None:
        for lot in self.lots.get((member.order, task.process, task.part), ()):
            parts = range(lot.first_part, lot.first_part + lot.units * lot.cavities)
            pulls = range(lot.first_pull, lot.first_pull + lot.units)
            if all(p in pulls for p in member.pulls) and all(p in parts for p in member.parts):
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
            return f"mould {task.mould} is no longer there"
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
        left = list(self.moves)
        while left:
            at = left.pop()
            for other, why in self._with(at):
                fresh = other not in self.moves and other not in self.gone
                if fresh and self.plan.tasks[other].start >= self.now:
                    self.moves[other] = why
                    left.append(other)

    def _with(self, at: int) -> Iterator[tuple[int, str]]:
        task = self.plan.tasks[at]
        for other in self.reader.following(at):
            yield other, f"it follows {task.operation}, which moves"
        for other in self.reader.followed(at):
            if at in self.causes.tied_to(other):
                yield other, f"{task.operation}, which moves, has to follow it closely"
        for name in (task.mould, *task.stations):
            for use in self.uses.of.get(name or "", ()):
                if use.first < 0 or use.first == at or not use.start <= task.start < use.end:
                    continue
                if self.plan.tasks[use.first].start >= self.now:
                    # Else the mould would be filled as planned and not come free in time.
                    yield use.first, f"{task.operation}, for which {name} is kept, moves"
                elif self.wary:
                    for later in self.uses.of[name or ""]:
                        if later.start >= use.end and later.first >= 0:
                            yield later.first, f"{name} is kept longer than planned"
