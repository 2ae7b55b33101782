"""One order's parts by one process, and the tasks that made them."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field

from mouldwright.domain.order import Order
from mouldwright.domain.process.process import Process
from mouldwright.planning.plan import Task

# ("pull", "part" or "order", its id within the order).
Unit = tuple[str, int]

WHOLE_ORDER: Unit = ("order", 0)


@dataclass(slots=True, kw_only=True)
class Chain:
    """One order's parts by one process, or the building of one mould, or the work on sets.

    Attributes:
        name: How complaints name it.
        wanted: Good parts wanted of this chain.
        cavities: Parts of a pull whose mould is not known.
        cavities_of: Parts of each pull, by its mould.
        pulls: Pull ids seen.
        parts_of: Part ids by pull; pull 0 holds the parts of a process without pulls.
        done: Task by operation and unit; an operation per order is under ("order", 0).
    """

    name: str
    order: Order
    part: str
    process: Process
    wanted: int
    cavities: int = 1
    cavities_of: dict[int, int] = field(default_factory=dict)
    pulls: set[int] = field(default_factory=set)
    parts_of: dict[int, set[int]] = field(default_factory=lambda: defaultdict(set))
    pull_by_part: dict[int, int] = field(default_factory=dict)
    done: dict[tuple[str, Unit], Task] = field(default_factory=dict)

    @property
    def starts(self) -> int:
        """Return the parts begun."""
        if self.process.has_pulls:
            return sum(self.parts_each(pull) for pull in self.pulls)
        return len(self.parts_of[0])

    def parts_each(self, pull: int) -> int:
        """Return the parts of one pull: the cavities of its mould."""
        return self.cavities_of.get(pull, self.cavities)

    @property
    def units(self) -> list[Unit]:
        """Return its pulls, or its parts where the process has no pulls."""
        if self.process.has_pulls:
            return [("pull", pull) for pull in sorted(self.pulls)]
        return [("part", part) for part in sorted(self.parts_of[0])]

    def units_of(self, pulls: tuple[int, ...], parts: tuple[int, ...]) -> list[Unit]:
        """Return what a task's member stands for: its parts, else its pulls, else the order."""
        if parts:
            return [("part", part) for part in parts]
        return [("pull", pull) for pull in pulls] or [WHOLE_ORDER]

    def members(self, pulls: tuple[int, ...], parts: tuple[int, ...]) -> int:
        """Return how many parts a member of a task stands for."""
        return len(parts) or sum(self.parts_each(pull) for pull in pulls) or self.starts

    def task(self, operation: str, unit: Unit) -> Task | None:
        """Return the task that did an operation for a unit, where exactly one could.

        A part's pull stands for it; a pull's parts do not stand for the pull.
        """
        found = self.done.get((operation, WHOLE_ORDER)) or self.done.get((operation, unit))
        if found is None and unit[0] == "part":
            pull = self.pull_by_part.get(unit[1])
            if pull is not None:
                found = self.done.get((operation, ("pull", pull)))
        return found

    def tasks(self, operation: str, unit: Unit) -> list[Task]:
        """Return every task that did an operation for a unit: for a pull, those of its parts."""
        one = self.task(operation, unit)
        if one is not None:
            return [one]
        if unit[0] == "pull":
            parts = [self.done.get((operation, ("part", p))) for p in self.parts_of[unit[1]]]
            return [task for task in parts if task is not None]
        return []
