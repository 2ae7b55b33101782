"""Placing one block whole: every task of it, or nothing.

Tasks are placed in order, each as early as it can be. Where a greatest wait, a pot life
or a start that may not wait is broken, the task that came too early is held back by
exactly what was missing, and the block is placed anew. Each holding back is needed, so
the first placing that breaks nothing is the earliest for that order of tasks.
"""

from __future__ import annotations

from collections.abc import Sequence

from mouldwright.domain.hours.opening import Window
from mouldwright.domain.warmth import MILLION
from mouldwright.planning.bench import Bench
from mouldwright.planning.clocks import in_time
from mouldwright.planning.holding import Holder
from mouldwright.planning.placed import Item, Placed, Progress
from mouldwright.planning.problem import Problem
from mouldwright.planning.routing import (
    BATCH,
    NEVER,
    ORDER,
    PART,
    UNIT,
    Block,
    Step,
    least_min,
    mixed_ug,
    setting_millionths,
)
from mouldwright.planning.shapes import ALL, Shape, Slot

# Why a block was not placed: it cannot start soon enough; it could start but not be
# finished in time, so that it is held back; something it needs is kept by others for who
# knows how long; or holding tasks back came to no end.
LATE, PUSHED, BLOCKED, GAVE_UP = 1, 2, 3, 4


class Placer:
    """Places blocks on a bench."""

    def __init__(self, problem: Problem, bench: Bench, progress: Progress) -> None:
        """Work on that bench and progress."""
        self.problem, self.bench, self.progress = problem, bench, progress
        self.lots = problem.lots
        self.routings = problem.routings
        self.holder = Holder(problem, bench, progress)
        self.first_start, self.outcome = NEVER, 0
        self._batch_minutes: dict[tuple[int, int, int], int] = {}

    def place(
        self,
        shape: Shape,
        items: Sequence[Item],
        earliest: int,
        *,
        batch: int,
        give_up_after: int,
        limit: int = 60,
    ) -> list[Placed] | None:
        """Return the placed tasks of a block, or None where it cannot be placed now.

        Work that may pause pauses after all where the block does not fit without.
        What was placed stays until :meth:`take_back`; :meth:`settle` makes it final.

        Args:
            shape: The block's tasks.
            items: Its members.
            earliest: No task starts before.
            batch: Number of the batch the members form; -1 for none.
            give_up_after: Return None as soon as the first task cannot start by then,
                and leave the first start found in ``first_start``.
            limit: How often tasks are held back before the block is given up.
                ``outcome`` says why None came back.
        """
        placed = self._place(shape, items, earliest, batch, give_up_after, limit)
        if placed is None and self.bench.whole and self.outcome in (BLOCKED, GAVE_UP):
            self.bench.whole = False
            placed = self._place(shape, items, earliest, batch, give_up_after, limit)
        return placed

    def _place(
        self,
        shape: Shape,
        items: Sequence[Item],
        earliest: int,
        batch: int,
        give_up_after: int,
        limit: int,
    ) -> list[Placed] | None:
        count = len(shape)
        outer = [max(earliest, self.outer_end(slot, items)) for slot in shape]
        held_back = list(outer)
        self.first_start = NEVER
        for attempt in range(limit):
            starts, ends = [0] * count, [0] * count
            placed: list[Placed] = []
            broken = False
            for x in range(count):
                slot = shape[x]
                ready = held_back[x]
                for p in slot.inner:
                    at = ends[p] + slot.step.wait_min
                    if at > ready:
                        ready = at
                for p in slot.aged:
                    ready = max(ready, ends[p] + slot.step.age_min)
                found = self._find(slot, items, ready, batch)
                if found is None:
                    self.take_back()
                    self.outcome = BLOCKED
                    return None
                if x == 0:
                    self.first_start = found.start
                    if found.start > give_up_after:
                        self.take_back()
                        self.outcome = PUSHED if attempt else LATE
                        return None
                starts[x], ends[x] = found.start, found.end
                if self._broken(shape, items, x, starts, ends, held_back, outer[x]):
                    broken = True
                    break
                self.holder.book(found)
                placed.append(found)
            if not broken:
                return placed
            self.take_back()
        self.outcome = GAVE_UP
        return None

    def _broken(
        self,
        shape: Shape,
        items: Sequence[Item],
        x: int,
        starts: list[int],
        ends: list[int],
        held_back: list[int],
        outer: int,
    ) -> bool:
        """Hold back what came too early for task ``x``; return whether anything did."""
        broken = False
        slot, step = shape[x], shape[x].step
        if step.exact and slot.inner:
            last = max(slot.inner, key=lambda p: ends[p])
            natural = ends[last] + step.wait_min
            if starts[x] > max(natural, outer):
                held_back[last] = max(held_back[last], starts[last] + starts[x] - natural)
                return True
        if step.wait_max < NEVER:
            for p in slot.inner:
                excess = starts[x] - ends[p] - step.wait_max
                if excess > 0:
                    held_back[p] = max(held_back[p], starts[p] + excess)
                    broken = True
        if slot.mix >= 0:
            excess = ends[x] - ends[slot.mix] - slot.pot_life_min
            if slot.pot >= 0:
                clock = self.problem.clocks[slot.pot]
                life, work = slot.pot_life_min * MILLION, self._work_between(shape, items, x)
                excess = in_time(clock, ends[slot.mix], ends[x], life, work) - ends[slot.mix]
            if excess > 0:
                held_back[slot.mix] = max(held_back[slot.mix], starts[slot.mix] + excess)
                broken = True
        return broken

    def _work_between(self, shape: Shape, items: Sequence[Item], x: int) -> int:
        """Return the least minutes from the end of a mix to the end of the task that uses it."""
        mix = shape[x].mix
        reach = {mix: 0}
        for p in range(mix + 1, x + 1):
            before = [reach[q] for q in shape[p].inner if q in reach]
            if before:
                wait = shape[p].step.wait_min
                reach[p] = max(before) + wait + self.minutes(shape[p], items)
        return reach.get(x, 0)

    # Times.

    def outer_end(self, slot: Slot, items: Sequence[Item]) -> int:
        """Return when the tasks of other blocks allow this one to start."""
        ready = 0
        members = members_of(slot, items)
        if slot.step.age_of >= 0 and not slot.aged:
            for lot, unit, part in members:
                part = slot.part if slot.part != ALL else part
                ready = max(ready, self.end_of(lot, slot.step.age_of, unit, part))
            ready += slot.step.age_min
        if slot.outer or not slot.inner:
            for lot, _, _ in members:
                ready = max(ready, self.lots[lot].release)
            for pred in slot.outer:
                for lot, unit, part in members:
                    at = self.end_of(lot, pred, unit, slot.part if slot.part != ALL else part)
                    ready = max(ready, at + slot.step.wait_min)
        return ready

    def end_of(self, lot: int, step: int, unit: int, part: int) -> int:
        """Return the last end of a step's tasks that bear on a unit or part.

        Of those that pass it by, what they come from stands for it.
        """
        ends = self.progress.ends[lot][step]
        facts = self.lots[lot]
        level = self.routings[facts.routing].steps[step].level
        if level == ORDER:
            return ends[0]
        if facts.skips and facts.skips[step]:
            return self._end_past(lot, step, unit, part)
        if unit == ALL:
            return max(ends, default=-1)
        if level != PART:
            return ends[unit]
        cavities = self.lots[lot].cavities
        if part != ALL:
            return ends[unit * cavities + part]
        return max(ends[unit * cavities : (unit + 1) * cavities])

    def end_past(self, lot: int, block: Block, unit: int, part: int) -> int:
        """Return when one that passes a whole block by is through with what went before it."""
        ends = [self.end_of(lot, step.index, unit, part) for step in block.steps]
        return max([0, self.lots[lot].release, *ends])

    def _end_past(self, lot: int, step: int, unit: int, part: int) -> int:
        facts = self.lots[lot]
        one = self.routings[facts.routing].steps[step]
        latest = -1
        for u in range(facts.units) if unit == ALL else (unit,):
            whole = one.level != PART
            parts = range(facts.cavities) if part == ALL else (part,)
            for j in (part,) if whole else parts:
                at = u if whole else u * facts.cavities + j
                if at not in facts.skips[step]:
                    latest = max(latest, self.progress.ends[lot][step][at])
                else:
                    latest = max([latest, *(self.end_of(lot, p, u, j) for p in one.preds)])
        return latest

    def minutes(self, slot: Slot, items: Sequence[Item]) -> int:
        """Return how long a task takes for its members; a cure at the least."""
        if slot.step.level != BATCH:
            lot = items[0 if slot.member == ALL else slot.member][0]
            return self.lots[lot].durations[slot.step.index]
        parts = sum(self.lots[lot].cavities for lot, _, _ in members_of(slot, items))
        key = (self.lots[items[0][0]].routing, slot.step.index, parts)
        if key not in self._batch_minutes:
            self._batch_minutes[key] = least_min(slot.step, parts)
        return self._batch_minutes[key]

    def _find(self, slot: Slot, items: Sequence[Item], ready: int, batch: int) -> Placed | None:
        """Return the earliest placing of one task, nothing booked yet."""
        step, bench = slot.step, self.bench
        members = members_of(slot, items)
        lot = self.lots[members[0][0]]
        work = self.minutes(slot, items)
        if slot.part != ALL:
            members = ((members[0][0], members[0][1], slot.part),)
        start, end = ready, ready + work
        people: tuple[int, ...] = ()
        spans: tuple[Window, ...] | None = None
        unit = tool = -1
        keeps = [self.routings[lot.routing].keeps[k] for k in step.starts_holds]
        simple = step.station < 0 and not keeps and not step.hours_of and step.room is None
        while True:
            before = start
            if step.crew >= 0:
                found = bench.find_people(step, start, work)
                if found is None:
                    return None
                start, end, people, spans = found
            else:
                end = self._alone_until(slot, items, start, work)
                if end >= NEVER:
                    return None
            if simple:
                break
            for place in step.hours_of:
                if spans is None:
                    start = max(start, bench.hours_fit(place, start, end - start))
                elif not bench.hours_hold(place, spans):
                    start = bench.next_opening(step, place, start)
            if step.station >= 0:
                parts = sum(self.lots[m[0]].cavities if m[2] == ALL else 1 for m in members)
                at, unit = bench.find_unit(step.station, start, end - start, parts)
                start = max(start, at)
            if step.room is not None:
                start = max(start, bench.quarters.first_fit(step.room, start, end - start))
            for keep in keeps:
                start = max(start, self.holder.ready(keep, members, start))
            if start >= NEVER:
                return None
            if start == before:
                break
        if step.level == UNIT and members:
            tool = self.progress.tool_of[members[0][0]][members[0][1]]
        return Placed(
            step=step,
            lot=members[0][0],
            items=members,
            start=start,
            end=end,
            people=people,
            spans=spans,
            tool=tool,
            unit=unit,
            batch=batch if step.level == BATCH else -1,
            mixed_ug=self._mixed(step, members),
        )

    def _alone_until(self, slot: Slot, items: Sequence[Item], start: int, work: int) -> int:
        """Return when a task without people ends: a cure as the shop's warmth has it."""
        step = slot.step
        if step.cure < 0:
            return start + work
        parts = sum(self.lots[lot].cavities for lot, _, _ in members_of(slot, items))
        if step.level == ORDER:
            parts = self.lots[items[0][0]].living
        parts = 1 if step.level == PART else parts
        found = self.problem.clocks[step.cure].when(
            start, setting_millionths(step.operation, parts)
        )
        if found is None:
            self.bench.horizon_hit = True
            return NEVER
        return found

    def _mixed(self, step: Step, members: Sequence[Item]) -> int:
        """Return what is mixed for the members: losses on top, never below the least."""
        if step.operation.material is None:
            return 0
        mix = self.problem.shop.materials[step.operation.material].mix
        if mix is None:
            return 0
        need = sum(self.lots[lot].matrix_ug.get(step.index, 0) for lot, _, _ in members)
        return mixed_ug(mix, need)

    def take_back(self) -> None:
        """Undo all that was placed since the last block was settled."""
        self.bench.undo(0)
        self.progress.on = self.progress.settled_on
        changed = self.progress.log
        while changed:
            (a, b, c), how = changed.pop()
            if a == -1:
                self.progress.tool_of[b][c] = -1
            elif how == -1:
                del self.progress.kept[(a, b, c)]
            else:
                self.progress.left[a][(b, c)] += 1
                self.progress.latest[(a, b, c)] = how - 2

    def settle(self, placed: Sequence[Placed]) -> None:
        """Write down the ends of a block that stays placed; it can no longer be taken back."""
        self.bench.log.clear()
        self.progress.log.clear()
        self.progress.settled_on = self.progress.on
        for task in placed:
            for lot_index, unit, part in task.items:
                ends = self.progress.ends[lot_index][task.step.index]
                level, lot = task.step.level, self.lots[lot_index]
                if level == ORDER:
                    ends[0] = task.end
                elif level == PART:
                    ends[unit * lot.cavities + part] = task.end
                else:
                    ends[unit] = task.end


def members_of(slot: Slot, items: Sequence[Item]) -> tuple[Item, ...]:
    """Return the members of a block that take part in one of its tasks."""
    if slot.member != ALL:
        return (items[slot.member],)
    return tuple(items[m] for m in slot.members) if slot.members else tuple(items)
