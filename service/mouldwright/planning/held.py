"""Moulds and stations that what is under way keeps when a plan begins."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldwright.planning.placed import Item
from mouldwright.planning.problem import Lot
from mouldwright.planning.routing import BATCH, NEVER, ORDER, PART, Keep, Step
from mouldwright.planning.shapes import ALL
from mouldwright.planning.task_items import covering, index_of

if TYPE_CHECKING:
    from mouldwright.planning.construct import Dispatch
    from mouldwright.planning.underway import Underway


class Holds:
    """Enters the holds of running tasks into a dispatch."""

    def __init__(self, dispatch: Dispatch, under_way: Underway) -> None:
        """Work on that dispatch, with what is under way read already."""
        self.dispatch, self.problem, self.under_way = dispatch, dispatch.problem, under_way

    def take(self) -> None:
        """Keep the moulds and units of holds that are on; give back those that are over."""
        if not self.problem.has_begun:
            return
        progress = self.dispatch.progress
        # Holds whose unit nobody wrote down: they take what others leave.
        unnamed: list[tuple[Lot, Keep, int, Item, int]] = []
        for lot in self.problem.lots:
            routing = self.problem.routings[lot.routing]
            for keep in routing.keeps:
                first, last = routing.steps[keep.first], routing.steps[keep.last]
                for key in range(self._keys(lot, keep)):
                    item = self._item_of(lot, keep, key)
                    begun = self.under_way.any_over(lot, first, item)
                    ended = self.under_way.all_over(lot, last, item)
                    if not begun:
                        continue
                    end = self.under_way.latest(lot, last, item) if ended else NEVER
                    if keep.station < 0:
                        self.dispatch.moulded[lot.index] += 1
                        if end >= NEVER and progress.tool_of[lot.index][key] < 0:
                            progress.tool_of[lot.index][key] = self._any_tool(lot)
                        tool = progress.tool_of[lot.index][key]
                        if end >= NEVER:
                            self._count_left(lot, keep, key, last, item)
                        if tool >= 0 and not self._is_counted(lot, key):
                            self.under_way.uses.append((end, tool, True))
                        continue
                    if end >= NEVER:
                        self._count_left(lot, keep, key, last, item)
                    if not self._take_unit(lot, keep, key, item, end) and end > 0:
                        unnamed.append((lot, keep, key, item, end))
        for hold in unnamed:
            self._take_any_unit(*hold)
        self._replay_uses()

    def _is_counted(self, lot: Lot, unit: int) -> bool:
        """Return whether the count of a pull's mould holds it already."""
        if lot.order < 0 or not self.problem.counted:
            return False
        number = self.problem.demands[lot.order].number
        return (number, lot.numbers.pull(unit)) in self.problem.counted

    def _replay_uses(self) -> None:
        """Count pulls and conditionings on their moulds in the order they ended."""
        bench = self.dispatch.bench
        coats: dict[int, int] = {}
        self.under_way.used = {tool for _, tool, _ in self.under_way.uses}
        for tool in self.under_way.used:
            bench.tool_free[tool] = 0
        for end, tool, is_pull in sorted(self.under_way.uses):
            bench.tool_free[tool] = max(bench.tool_free[tool], end)
            if end >= NEVER:
                continue
            if not is_pull:
                bench.tool_since[tool] = 0
                coats[tool] = coats.get(tool, 0) + 1
                continue
            coats[tool] = 0
            bench.tool_since[tool] += 1
            bench.tool_pulls[tool] += 1
            if bench.tool_left[tool] < NEVER:
                bench.tool_left[tool] -= 1
        for tool in self.under_way.used:
            due = bench.coats_due(tool) - coats.get(tool, 0)
            bench.tool_coats[tool] = 0 if bench.tool_free[tool] >= NEVER else max(due, 0)

    def _count_left(self, lot: Lot, keep: Keep, key: int, last: Step, item: Item) -> None:
        """Count how many last tasks of a hold are still to come, where some of them are over."""
        over = self.under_way.over.get((lot.index, last.index), set())
        indices = [index_of(lot, last, each) for each in covering(lot, last, item)]
        left = [index for index in indices if index not in over]
        if len(left) == len(indices):
            return
        ends = self.dispatch.progress.ends[lot.index][last.index]
        self.dispatch.progress.left[lot.index][keep.index, key] = len(left)
        self.dispatch.progress.latest[lot.index, keep.index, key] = max(
            ends[index] for index in indices if index in over
        )

    def _any_tool(self, lot: Lot) -> int:
        """Return a mould for a pull that is on one nobody named: the first that is not taken."""
        taken = {tool for end, tool, _ in self.under_way.uses if end >= NEVER}
        usable = [t for t in lot.tools if self.problem.tools[t].built_by < 0 and t not in taken]
        return (usable or list(lot.tools))[0]

    def _take_any_unit(self, lot: Lot, keep: Keep, key: int, item: Item, end: int) -> None:
        """Keep a unit that is free for a hold that is on, the first where none is."""
        bench = self.dispatch.bench
        given = self.under_way.holds.get(item, [])
        if keep.level == BATCH and not given:
            return
        start = min((task.start for task, _ in given), default=self.problem.now) - self.problem.now
        length = NEVER if end >= NEVER else end - start
        at, unit = bench.find_unit(keep.station, start, length, lot.cavities)
        if at > start or unit < 0:
            unit = bench.unit_base[keep.station]
        bench.occupy(unit, start, end, lot.cavities)
        if end >= NEVER:
            self.dispatch.progress.kept[(lot.index, keep.index, key)] = unit

    def _take_unit(self, lot: Lot, keep: Keep, key: int, item: Item, end: int) -> bool:
        """Keep the unit that a hold is on; return whether it is known which."""
        given = self.under_way.holds.get(item, [])
        if keep.level == BATCH:
            chain = self.problem.routings[lot.routing].steps[keep.first].chain
            members = self.under_way.batches.get((lot.index, key, chain), ((lot.index, key, ALL),))
            over = self.under_way.over
            # Some of a batch may have gone on already: the first of the others stands for it.
            rest = [m for m in members if m[1] not in over.get((m[0], keep.last), ())]
            if (rest or members)[0][:2] != (lot.index, key):
                return True
        units = [u for task, _ in given for u in self.under_way.units(task, keep.station)]
        if units and end > 0:
            start = min(task.start for task, _ in given) - self.problem.now
            self.dispatch.bench.occupy(units[0], start, end, lot.cavities)
            if end >= NEVER:
                self.dispatch.progress.kept[(lot.index, keep.index, key)] = units[0]
        return bool(units)

    def _keys(self, lot: Lot, keep: Keep) -> int:
        if keep.level == ORDER:
            return 1
        return lot.units * (lot.cavities if keep.level == PART else 1)

    def _item_of(self, lot: Lot, keep: Keep, key: int) -> Item:
        if keep.level == ORDER:
            return lot.index, ALL, ALL
        if keep.level == PART:
            return lot.index, key // lot.cavities, key % lot.cavities
        return lot.index, key, ALL
