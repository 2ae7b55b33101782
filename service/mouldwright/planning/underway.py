"""What is already running when a plan begins: kept exactly as it is, and built upon.

A task given as running is never moved. The steps that a pull or part must have been
through before it are taken as done, whether they are given or not; its mould and the
stations it holds stay kept; what is left of a mix that has been started comes first.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from mouldwright.planning.placed import Item
from mouldwright.planning.plan import Task
from mouldwright.planning.problem import Lot
from mouldwright.planning.routing import BATCH, NEVER, ORDER, PART, Block, Step
from mouldwright.planning.shapes import ALL, Shape
from mouldwright.planning.task_items import covering, index_of

if TYPE_CHECKING:
    from mouldwright.planning.construct import Dispatch


class Underway:
    """Enters the running tasks into a dispatch.

    Attributes:
        done: Placings of blocks that are over or begun: lot, block and index.
        used: Moulds that running tasks were done on.
        uses: What moulds went through: when it ended, which one, and whether it was a pull.
    """

    def __init__(self, dispatch: Dispatch) -> None:
        """Book people, moulds and stations."""
        self.dispatch, self.problem = dispatch, dispatch.problem
        begun = self.begun = dispatch.queues.begun(dispatch.bench)
        self.over, self.batches, self.holds = begun.over, begun.batches, begun.holds
        self.done = begun.done
        self.used: set[int] = set()
        self.uses = list(begun.uses)
        bench, progress = dispatch.bench, dispatch.progress
        for person, start, end, session in begun.people:
            bench.occupy_person(person, start, end, session)
        for where, start, end in begun.rooms:
            bench.quarters.add(where, start, end)
        for unit, start, end, parts in begun.stations:
            bench.occupy(unit, start, end, parts)
        for (lot, step, index), end in begun.ends.items():
            progress.ends[lot][step][index] = end
        for (lot, unit), tool in begun.tools.items():
            progress.tool_of[lot][unit] = tool

    def open(self) -> None:
        """Ready what follows blocks that are over, and finish begun blocks."""
        if not self.problem.has_begun:
            return
        unfinished = {(lot.index, block.index, index) for lot, block, index in self.begun.left_off}
        for lot_index, block_index, index in sorted(self.done - unfinished):
            lot = self.problem.lots[lot_index]
            block = self.problem.routings[lot.routing].blocks[block_index]
            self._count_over(lot, block, index)
        self._finish_begun(self.begun.left_off)

    def untouched(self) -> list[int]:
        """Return, for each lot, its units of which nothing has begun."""
        found = []
        for lot in self.problem.lots:
            begun: set[int] = set()
            for step in self.problem.routings[lot.routing].steps:
                over = self.over.get((lot.index, step.index), set())
                if step.level == PART:
                    begun |= {index // lot.cavities for index in over}
                elif step.level != ORDER:
                    begun |= over
            found.append(lot.units - len(begun))
        return found

    def units(self, task: Task, place: int) -> list[int]:
        """Return the units of a station that a task names."""
        return self.begun.units(task, place)

    # What is over.

    def _count_over(self, lot: Lot, block: Block, index: int) -> None:
        """Count a block's placing as done and ready what waits for it."""
        _, unit, part = self.dispatch.queues.item(lot.index, block, index)
        item = (lot.index, unit, part)
        end = 0
        for step in block.steps:
            for member in covering(lot, step, item):
                ends = self.dispatch.progress.ends[lot.index][step.index]
                end = max(end, ends[index_of(lot, step, member)])
        if block.forms >= 0:
            self.dispatch.unformed[lot.index] -= 1
        self.dispatch.finished(lot.index, block, unit, part, end)
        self._follow(lot, block, unit, end)

    def _follow(self, lot: Lot, block: Block, unit: int, end: int) -> None:
        """Ready the next step of a batch that was formed before the plan began."""
        blocks = self.problem.routings[lot.routing].blocks
        following = block.index + 1
        if following >= len(blocks) or blocks[following].follows < 0:
            return
        if (lot.index, following, unit) in self.done:
            return
        chain = blocks[following].follows
        members = self.batches.get((lot.index, unit, chain), ((lot.index, unit, ALL),))
        # Some of a batch may have gone on already.
        members = tuple(m for m in members if (m[0], following, m[1]) not in self.done)
        if members[0][:2] == (lot.index, unit):
            self.dispatch.batches.append(members)
            number = len(self.dispatch.batches) - 1
            self.dispatch.push(self.dispatch.queues.base[lot.index] + following, end, number)

    def any_over(self, lot: Lot, step: Step, item: Item) -> bool:
        """Return whether some task of a step that bears on an item is over."""
        over = self.over.get((lot.index, step.index), set())
        return any(index_of(lot, step, i) in over for i in covering(lot, step, item))

    def all_over(self, lot: Lot, step: Step, item: Item) -> bool:
        """Return whether every task of a step that bears on an item is over."""
        over = self.over.get((lot.index, step.index), set())
        return all(index_of(lot, step, i) in over for i in covering(lot, step, item))

    def latest(self, lot: Lot, step: Step, item: Item) -> int:
        """Return when the last task of a step that bears on an item ended."""
        ends = self.dispatch.progress.ends[lot.index][step.index]
        return max(ends[index_of(lot, step, i)] for i in covering(lot, step, item))

    # What is left of begun blocks.

    def _finish_begun(self, begun: list[tuple[Lot, Block, int]]) -> None:
        """Place what is left of blocks that have begun: nothing may come between."""
        left = {(lot.index, block.index, index) for lot, block, index in begun}
        rests: list[tuple[int, int, Block, tuple[Item, ...], tuple[Item, ...], Shape]] = []
        for lot, block, index in begun:
            if (lot.index, block.index, index) not in left:
                continue
            members = self.dispatch.queues.members(lot.index, block, index)
            if block.level == BATCH:
                chain = max(block.forms, block.follows)
                members = self.batches.get((lot.index, index, chain), members)
            # Of a batch some members may be through already.
            unfinished = tuple(m for m in members if (m[0], block.index, m[1]) in left)
            left -= {(m[0], block.index, m[1]) for m in members}
            left.discard((lot.index, block.index, index))
            rest = self._rest(block, members)
            latest = self._deadline(rest, members)
            rests.append(
                (
                    latest,
                    lot.index,
                    block,
                    members,
                    unfinished if block.level == BATCH else members,
                    rest,
                )
            )
        for _, lot_index, block, members, unfinished, rest in sorted(rests, key=lambda r: r[:2]):
            self.dispatch.finish_begun(lot_index, block, members, unfinished, rest)

    def _deadline(self, rest: Shape, members: tuple[Item, ...]) -> int:
        """Return the earliest minute by which some begun block must go on."""
        latest = NEVER
        for slot in rest:
            for pred in slot.outer if slot.step.wait_max < NEVER else ():
                for lot, unit, part in members if slot.member == ALL else (members[slot.member],):
                    end = self.dispatch.placer.end_of(
                        lot, pred, unit, slot.part if slot.part != ALL else part
                    )
                    latest = min(latest, end + slot.step.wait_max)
        return latest

    def _rest(self, block: Block, members: tuple[Item, ...]) -> Shape:
        """Return the tasks of a block that are still to be done."""
        shape = self.dispatch.queues.shape(block, members)
        kept: list[int] = []
        for x, slot in enumerate(shape):
            chosen = members if slot.member == ALL else (members[slot.member],)
            over = all(
                self.all_over(
                    self.problem.lots[m[0]],
                    slot.step,
                    (m[0], m[1], slot.part if slot.step.level == PART else ALL),
                )
                for m in chosen
            )
            if not over:
                kept.append(x)
        place = {x: i for i, x in enumerate(kept)}
        return tuple(
            replace(
                shape[x],
                inner=tuple(place[p] for p in shape[x].inner if p in place),
                outer=shape[x].outer
                + tuple(shape[p].step.index for p in shape[x].inner if p not in place),
                mix=place.get(shape[x].mix, -1),
            )
            for x in kept
        )
