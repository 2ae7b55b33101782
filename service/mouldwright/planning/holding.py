"""Taking and giving back what a hold keeps: moulds and station units."""

from __future__ import annotations

from collections.abc import Sequence

from mouldwright.planning.bench import Bench
from mouldwright.planning.placed import Item, Placed, Progress
from mouldwright.planning.problem import Problem
from mouldwright.planning.routing import BATCH, NEVER, ORDER, PART, UNIT, Keep, Step
from mouldwright.planning.shapes import ALL


class Holder:
    """Keeps the books of holds on a bench."""

    def __init__(self, problem: Problem, bench: Bench, progress: Progress) -> None:
        """Work on that bench and progress."""
        self.bench, self.progress = bench, progress
        self.lots, self.routings = problem.lots, problem.routings

    def takers(self, keep: Keep, members: Sequence[Item]) -> list[tuple[int, int, int]]:
        """Return what takes a unit of a hold: lot, key and parts, for each."""
        if keep.level == ORDER:
            return [(members[0][0], 0, self.lots[members[0][0]].cavities)]
        if keep.level == BATCH:
            return [(members[0][0], members[0][1], sum(self.lots[m[0]].cavities for m in members))]
        if keep.level == PART:
            return [(lot, unit * self.lots[lot].cavities + part, 1) for lot, unit, part in members]
        return [(lot, unit, self.lots[lot].cavities) for lot, unit, _ in members]

    def ready(self, keep: Keep, members: Sequence[Item], start: int) -> int:
        """Return the first start at which every taker of a hold finds a unit."""
        bench = self.bench
        mark = len(bench.log)
        at = start
        for lot, _, parts in self.takers(keep, members):
            if keep.station < 0:
                found, tool = bench.find_tool(
                    self.lots[lot].tools, at, proving=self.lots[lot].proves >= 0
                )
                if tool < 0:
                    at = NEVER
                    break
                bench.take_tool(tool)
            else:
                found, unit = bench.find_unit(keep.station, at, NEVER, parts)
                if unit < 0:
                    at = NEVER
                    break
                bench.take_unit(unit, found, NEVER, parts)
            at = max(at, found)
        bench.undo(mark)
        return at

    def book(self, found: Placed) -> None:
        """Book a found task: people, station, holds begun and holds ended."""
        bench, step = self.bench, found.step
        if found.people:
            bench.take_people((found.start, found.end, found.people, found.spans), step.session)
        bench.take_room(step.room, found.start, found.end)
        if found.unit >= 0:
            parts = sum(self.lots[m[0]].cavities if m[2] == ALL else 1 for m in found.items)
            bench.take_unit(found.unit, found.start, found.end, parts)
        if not (step.starts_holds or step.ends_holds):
            return
        keeps = self.routings[self.lots[found.lot].routing].keeps
        for k in step.starts_holds:
            for lot, key, parts in self.takers(keeps[k], found.items):
                if keeps[k].station < 0:
                    _, tool = bench.find_tool(
                        self.lots[lot].tools, found.start, proving=self.lots[lot].proves >= 0
                    )
                    bench.take_tool(tool)
                    self.progress.tool_of[lot][key] = tool
                    self.progress.log.append(((-1, lot, key), 0))
                    self.progress.on += 1
                    if step.level == UNIT:
                        found.tool = tool
                else:
                    _, unit = bench.find_unit(keeps[k].station, found.start, NEVER, parts)
                    bench.take_unit(unit, found.start, NEVER, parts)
                    self.progress.kept[(lot, k, key)] = unit
                    self.progress.log.append(((lot, k, key), -1))
                    self.progress.on += 1
        for k in step.ends_holds:
            self._end_hold(keeps[k], step, found)

    def _end_hold(self, keep: Keep, step: Step, found: Placed) -> None:
        """Count a last task of a hold; give the unit back once all of them are placed."""
        for lot, key, parts, tasks in self._keepers(keep, step, found.items):
            left = self.progress.left[lot]
            mine = (keep.index, key)
            now = left.get(mine, tasks) - 1
            left[mine] = now
            before = self.progress.latest.get((lot, *mine), -1)
            self.progress.latest[(lot, *mine)] = max(before, found.end)
            self.progress.log.append(((lot, keep.index, key), before + 2))
            if now:
                continue
            self.progress.on -= 1
            end = max(before, found.end)
            if keep.station < 0:
                self.bench.give_tool(self.progress.tool_of[lot][key], end)
            else:
                self.bench.give_unit(self.progress.kept[(lot, keep.index, key)], end, parts)

    def _keepers(
        self, keep: Keep, step: Step, members: Sequence[Item]
    ) -> list[tuple[int, int, int, int]]:
        """Return lot, key, parts and how many last tasks there are, for each hold that ends."""
        if keep.level == BATCH or (keep.level == step.level and keep.level != ORDER):
            return [(lot, key, parts, 1) for lot, key, parts in self.takers(keep, members)]
        found = []
        for lot_index, unit, part in members:
            lot = self.lots[lot_index]
            if keep.level == ORDER:
                count = {ORDER: 1, BATCH: lot.units, UNIT: lot.units}.get(
                    step.level, lot.units * lot.cavities
                )
                found.append((lot_index, 0, lot.cavities, count))
                if step.level == ORDER:
                    break
            elif keep.level == UNIT:
                tasks = lot.cavities if step.level == PART else 1
                found.append((lot_index, unit, lot.cavities, tasks))
            else:
                parts = range(lot.cavities) if part == ALL else (part,)
                found += [(lot_index, unit * lot.cavities + j, 1, 1) for j in parts]
        return found
