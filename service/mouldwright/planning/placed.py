"""What has been placed: tasks, the ends of each unit's steps, the holds that are on."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.hours.opening import Window
from mouldwright.planning.problem import Problem
from mouldwright.planning.routing import BATCH, ORDER, PART, UNIT, Step

# What takes part: lot, unit, and the part of the unit (ALL for the whole).
Item = tuple[int, int, int]


@dataclass(slots=True)
class Placed:
    """One task placed.

    Attributes:
        lot: Lot of its first member.
        items: Its members; a conditioning has none.
        people: Indices of its people.
        spans: The minutes worked, None where they are one piece.
        tool: Mould it is done on; -1 for none.
        units: Station units it occupies by itself; holds are added when the plan is written.
        batch: Number of the batch; -1 for none.
        mixed_ug: Micrograms mixed.
    """

    step: Step
    lot: int
    items: tuple[Item, ...]
    start: int
    end: int
    people: tuple[int, ...]
    spans: tuple[Window, ...] | None
    tool: int = -1
    unit: int = -1
    batch: int = -1
    mixed_ug: int = 0


class Progress:
    """What has been placed so far: the ends of tasks, and the holds that are on.

    Attributes:
        ends: For each lot and step, the end of each unit's (part's, order's) task.
        kept: Unit of a station kept by a hold, by lot, hold and what keeps it.
        left: For each lot, how many last tasks of each hold are still to come.
        latest: The latest of those placed so far.
        tool_of: Mould of each unit of each lot; -1 while it has none.
        on: How many holds are on.
        settled_on: How many were on when the last block was settled.
        log: What a block being tried has changed of the holds.
    """

    def __init__(self, problem: Problem) -> None:
        """Begin with nothing placed."""
        self.ends: list[list[list[int]]] = []
        self.left: list[dict[tuple[int, int], int]] = []
        self.latest: dict[tuple[int, int, int], int] = {}
        self.kept: dict[tuple[int, int, int], int] = {}
        self.tool_of: list[list[int]] = []
        self.on = self.settled_on = 0
        self.log: list[tuple[tuple[int, int, int], int]] = []
        for lot in problem.lots:
            counts = {
                PART: lot.units * lot.cavities,
                UNIT: lot.units,
                BATCH: lot.units,
                ORDER: 1,
            }
            steps = problem.routings[lot.routing].steps
            self.ends.append([[-1] * counts[s.level] for s in steps])
            self.left.append({})
            self.tool_of.append([-1] * lot.units)
