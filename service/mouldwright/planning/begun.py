"""What the tasks that are under way come to, read once for every dispatch of a problem."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldwright.domain.hours.opening import Window
from mouldwright.planning.ground import NO_SESSION, operation_named, session_index
from mouldwright.planning.placed import Item
from mouldwright.planning.plan import Task
from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.quarters import Where
from mouldwright.planning.routing import BATCH, ORDER, PART, Block, Step
from mouldwright.planning.shapes import ALL
from mouldwright.planning.task_items import TaskItems, covering, index_of

if TYPE_CHECKING:
    from mouldwright.planning.bench import Bench
    from mouldwright.planning.queues import Queues


class Begun:
    """What running tasks come to; thousands of plans are built upon it, and none changes it.

    Attributes:
        over: Indices of what is over, by lot and step.
        batches: Members of the batch that a unit went through, by lot, unit and chain.
        holds: The tasks done to an item, each with its step.
        uses: What moulds went through: when it ended, which one, and whether it was a pull.
        done: Placings of blocks that are over, or begun: lot, block and index.
        left_off: Placings of blocks that are begun and not over.
        ends: When tasks ended, by lot, step and index.
        tools: Mould of each unit that is on one, by lot and unit.
        people: Who is busy, from when until when, and in which session.
        rooms: Which room is in which state, from when until when.
        stations: Which unit of a station is in use, from when until when, by how many parts.
    """

    def __init__(self, problem: Problem, queues: Queues, bench: Bench) -> None:
        """Read the tasks; of the bench, only what its units are called is used."""
        self.problem, self._queues = problem, queues
        self._unit_base, self._unit_names = bench.unit_base, bench.unit_names
        self.over: dict[tuple[int, int], set[int]] = {}
        self.batches: dict[tuple[int, int, int], tuple[Item, ...]] = {}
        self.holds: dict[Item, list[tuple[Task, Step]]] = {}
        self.uses: list[tuple[int, int, bool]] = []
        self.done: set[tuple[int, int, int]] = set()
        self.left_off: list[tuple[Lot, Block, int]] = []
        self.ends: dict[tuple[int, int, int], int] = {}
        self.tools: dict[tuple[int, int], int] = {}
        self.people: list[tuple[int, int, int, int]] = []
        self.rooms: list[tuple[Where, int, int]] = []
        self.stations: list[tuple[int, int, int, int]] = []
        self._tool_of = {tool.name: t for t, tool in enumerate(problem.tools)}
        items = TaskItems(problem)
        for task in problem.running:
            self._enter(task, list(items.of(task)))
        for lot in problem.lots:
            if lot.ended:
                self._end_early(lot)
        if problem.has_begun:
            self._sort_blocks()

    def units(self, task: Task, place: int) -> list[int]:
        """Return the units of a station that a task names."""
        units = range(self._unit_base[place], self._unit_base[place + 1])
        return [u for u in units if self._unit_names[u] in task.stations]

    def _enter(self, task: Task, items: list[tuple[Lot, Step, Item]]) -> None:
        """Read one running task."""
        now = self.problem.now
        spans = [(a - now, b - now) for a, b in task.spans]
        self._occupy(task, spans)
        tool = self._tool_of.get(task.mould or "", -1)
        if not task.members and not items and tool >= 0 and self.problem.tools[tool].built_by < 0:
            self.uses.append((task.end - now, tool, False))
            return
        for lot, step, item in items:
            self._mark(lot, step, item)
            self.ends[lot.index, step.index, index_of(lot, step, item)] = task.end - now
            if tool >= 0 and item[1] != ALL and lot.builds < 0:
                self.tools[lot.index, item[1]] = tool
            self.holds.setdefault(item, []).append((task, step))
        if items and items[0][1].level == BATCH:
            members = tuple(item for _, _, item in items)
            for lot, step, item in items:
                self.batches[lot.index, item[1], step.chain] = members
        for lot, step, _ in items[:1]:
            if step.station >= 0:
                for unit in self.units(task, step.station):
                    parts = len(items) * lot.cavities
                    self.stations.append((unit, spans[0][0], spans[-1][1], parts))

    def _occupy(self, task: Task, spans: list[Window]) -> None:
        """Read whom a running task keeps busy, and the state its room must be in."""
        problem = self.problem
        operation = operation_named(problem.shop, task.process, task.operation)
        session = NO_SESSION
        if operation is not None:
            session = session_index(problem.shop, problem.ground, operation)
            where = problem.ground.room_of(operation)
            if where is not None:
                self.rooms.append((where, spans[0][0], spans[-1][1]))
        for key in task.people:
            if key in problem.people:
                person = problem.people.index(key)
                self.people.extend((person, start, end, session) for start, end in spans)

    def _mark(self, lot: Lot, step: Step, item: Item) -> None:
        """Mark a step's task as over, and all that must have gone before it."""
        over = self.over.setdefault((lot.index, step.index), set())
        index = index_of(lot, step, item)
        if index in over:
            return
        over.add(index)
        steps = self.problem.routings[lot.routing].steps
        for p in step.preds:
            for earlier in covering(lot, steps[p], item):
                self._mark(lot, steps[p], earlier)

    def _end_early(self, lot: Lot) -> None:
        """Mark all that is not done to what goes no further as over from then on."""
        for step in self.problem.routings[lot.routing].steps:
            if step.level == ORDER:
                continue
            over = self.over.setdefault((lot.index, step.index), set())
            each = 1 if step.level == PART else lot.cavities
            for index in range(lot.units * lot.cavities // each):
                last = [lot.ended.get(index * each + which) for which in range(each)]
                if index not in over and None not in last:
                    over.add(index)
                    self.ends[lot.index, step.index, index] = max(
                        minute for minute in last if minute is not None
                    )

    def _sort_blocks(self) -> None:
        """Find the placings of blocks that are over, and those that are begun."""
        for lot in self.problem.lots:
            for block in self.problem.routings[lot.routing].blocks:
                for index in range(self._queues.items_in(lot.index, block)):
                    over = [
                        self._is_over(lot, block, step, index)
                        for step in block.steps
                        if not self._is_passed(lot, block, step, index)
                    ]
                    if any(over):
                        self.done.add((lot.index, block.index, index))
                        if not all(over):
                            self.left_off.append((lot, block, index))

    def _is_over(self, lot: Lot, block: Block, step: Step, index: int) -> bool:
        item = self._queues.item(lot.index, block, index)
        over = self.over.get((lot.index, step.index), set())
        return all(index_of(lot, step, i) in over for i in covering(lot, step, item))

    def _is_passed(self, lot: Lot, block: Block, step: Step, index: int) -> bool:
        """Return whether a step is not done to any of a block's placing."""
        if not lot.skips or not lot.skips[step.index]:
            return False
        item = self._queues.item(lot.index, block, index)
        every = covering(lot, step, item)
        return all(index_of(lot, step, i) in lot.skips[step.index] for i in every)
