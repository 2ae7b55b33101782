"""Which lot, step and members of a problem a plan's task is of."""

from __future__ import annotations

from collections.abc import Iterator

from mouldwright.planning.placed import Item
from mouldwright.planning.plan import Member, Task
from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.routing import ORDER, PART, Step
from mouldwright.planning.shapes import ALL


class TaskItems:
    """Reads tasks back into a problem; what is of no lot of it yields nothing.

    Tasks that prove a mould are told apart by their order: read them as they start, once each.
    """

    def __init__(self, problem: Problem) -> None:
        """Remember what may be done for each order, and for each mould that is built."""
        self._proofs: dict[tuple[str, str, str], int] = {}
        self._known: dict[tuple[str, str, str], list[tuple[Lot, Step]]] = {}
        for lot in problem.lots:
            routing = problem.routings[lot.routing]
            builds = lot.order < 0
            tool = max(lot.builds, lot.proves)
            whose = problem.tools[tool].name if builds else problem.demands[lot.order].number
            for step in routing.steps:
                place = (routing.key, step.name, _whose(whose, builds=builds))
                self._known.setdefault(place, []).append((lot, step))

    def of(self, task: Task) -> Iterator[tuple[Lot, Step, Item]]:
        """Yield the lot, step and member of everything that takes part in a task."""
        if not task.members:
            place = (task.process, task.operation, _whose(task.mould or "", builds=True))
            for lot, step in self._known.get(place, ()):
                unit, part = (ALL if step.level == ORDER else 0), 0
                if lot.proves >= 0:
                    # Nothing names them: those of one mould follow one another.
                    done = self._proofs.get(place, 0)
                    self._proofs[place] = done + 1
                    unit = done // lot.cavities if step.level == PART else done
                    part = done % lot.cavities
                    if unit >= lot.units:
                        continue
                yield lot, step, (lot.index, unit, part if step.level == PART else ALL)
        for member in task.members:
            place = (task.process, task.operation, _whose(member.order, builds=False))
            for lot, step in self._known.get(place, ()):
                yield from ((lot, step, item) for item in _items(lot, step, member))


def index_of(lot: Lot, step: Step, item: Item) -> int:
    """Return the place of an item among all that a step is done for in a lot."""
    if step.level == ORDER:
        return 0
    return item[1] * lot.cavities + item[2] if step.level == PART else item[1]


def covering(lot: Lot, step: Step, item: Item) -> list[Item]:
    """Return the members of a step's tasks that bear on an item."""
    if step.level == ORDER:
        return [(lot.index, ALL, ALL)]
    units = range(lot.units) if item[1] == ALL else (item[1],)
    if step.level != PART:
        return [(lot.index, unit, ALL) for unit in units]
    parts = range(lot.cavities) if item[2] == ALL else (item[2],)
    return [(lot.index, unit, part) for unit in units for part in parts]


def _items(lot: Lot, step: Step, member: Member) -> Iterator[Item]:
    if step.level == ORDER:
        yield lot.index, ALL, ALL
    elif step.level == PART or not lot.numbers.has_pulls:
        for part in member.parts:
            place = lot.numbers.place_of_part(part)
            if place is not None and place[0] < lot.units:
                yield lot.index, place[0], place[1] if step.level == PART else ALL
    else:
        for pull in member.pulls:
            unit = lot.numbers.unit_of_pull(pull)
            if unit is not None and unit < lot.units:
                yield lot.index, unit, ALL


def _whose(name: str, *, builds: bool) -> str:
    return f"mould {name}" if builds else f"order {name}"
