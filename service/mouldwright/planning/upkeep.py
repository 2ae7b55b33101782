"""Moulds between pulls: conditioning that is due, moulds given back, moulds newly made."""

from __future__ import annotations

from heapq import heapify, heappush
from typing import TYPE_CHECKING

from mouldwright.planning.placed import Item, Placed
from mouldwright.planning.routing import NEVER, duration_min

if TYPE_CHECKING:
    from mouldwright.planning.construct import Dispatch


class Upkeep:
    """Conditions moulds before their next pull, and only as long as pulls are left for them."""

    def __init__(self, dispatch: Dispatch) -> None:
        """Queue the conditioning that is due at the start."""
        self.dispatch = dispatch
        problem = dispatch.problem
        self.tools_in: list[list[int]] = [[] for _ in problem.families]
        for t, tool in enumerate(problem.tools):
            self.tools_in[tool.family].append(t)
        self.lots_of = [
            [lot for lot in problem.lots if any(t in tools for t in lot.tools)]
            for tools in map(frozenset, self.tools_in)
        ]
        self.queue_of = [dispatch.queues.upkeep_base + f for f in range(len(problem.families))]
        self.conditioning = []
        for f in range(len(problem.families)):
            routing = dispatch.queues.conditioning_of(f)
            self.conditioning.append(None if routing is None else routing.conditioning)
        for t in range(len(problem.tools)):
            if dispatch.bench.tool_free[t] < NEVER:
                self._queue_if_due(t, dispatch.bench.tool_free[t])

    def _queue_if_due(self, tool: int, minute: int) -> None:
        bench, family = self.dispatch.bench, self.dispatch.problem.tools[tool].family
        if self.conditioning[family] is None:
            bench.tool_coats[tool] = 0
        if bench.tool_coats[tool] and bench.tool_left[tool] > 0:
            q = self.queue_of[family]
            heappush(self.dispatch.waiting[q], (minute, tool))
            self.dispatch.next_try[q] = min(self.dispatch.next_try[q], minute)

    def mould_freed(self, tool: int) -> None:
        """A pull has given its mould back."""
        bench, family = self.dispatch.bench, self.dispatch.problem.tools[tool].family
        self._queue_if_due(tool, bench.tool_free[tool])
        if not bench.tool_coats[tool]:
            self._offer(family, bench.tool_free[tool])

    def mould_made(self, tool: int, minute: int) -> None:
        """A new mould is ready, or ready to be conditioned."""
        if tool in self.dispatch.underway.used:
            return
        self.dispatch.bench.tool_free[tool] = minute
        self._queue_if_due(tool, minute)
        if not self.dispatch.bench.tool_coats[tool]:
            self._offer(self.dispatch.problem.tools[tool].family, minute)

    def mould_taken(self, members: tuple[Item, ...]) -> None:
        """A pull has taken a mould: another may be wanted that is still to be conditioned."""
        for lot, unit, _ in members:
            tool = self.dispatch.progress.tool_of[lot][unit]
            q = self.queue_of[self.dispatch.problem.tools[tool].family]
            waiting = self.dispatch.waiting[q]
            if waiting:
                self.dispatch.next_try[q] = min(self.dispatch.next_try[q], waiting[0][0])

    def _offer(self, family: int, minute: int) -> None:
        self.dispatch.wake(self.dispatch.queues.by_tool_family[family], minute)

    def _wanted(self, family: int, waiting: list[tuple[int, int]]) -> list[tuple[int, int]]:
        """Return the waiting moulds that are wanted.

        All are while more pulls are left than moulds stand ready; one that is still to be
        proved is wanted whatever others stand ready.
        """
        bench, dispatch = self.dispatch.bench, self.dispatch
        left, proving = 0, set()
        for lot in self.lots_of[family]:
            rest = lot.units - dispatch.moulded[lot.index]
            if lot.proves < 0:
                left += rest
            elif rest:
                proving.add(lot.proves)
        ready = sum(
            1
            for t in self.tools_in[family]
            if bench.tool_free[t] < NEVER
            and not bench.tool_coats[t]
            and bench.tool_left[t] > 0
            and t not in proving
        )
        if left > ready:
            return waiting
        return [entry for entry in waiting if entry[1] in proving]

    def attempt(self, q: int, earliest: int, limit: int) -> None:
        """Condition the mould that waits longest, if someone can by ``limit``."""
        dispatch, bench = self.dispatch, self.dispatch.bench
        family = dispatch.queues.all[q].family
        step = self.conditioning[family]
        waiting = dispatch.waiting[q]
        wanted = self._wanted(family, waiting) if waiting else []
        if step is None or not wanted:
            dispatch.next_try[q] = NEVER
            return
        chosen = ready, tool = min(wanted)
        if len(wanted) > 1 and dispatch.policy.lasting_first:
            able = [entry for entry in wanted if entry[0] <= limit] or [chosen]
            chosen = ready, tool = min(able, key=lambda e: (-bench.tool_left[e[1]], e))
        work = duration_min(step.operation, 0)
        start = max(ready, earliest)
        unit = -1
        while True:
            found = bench.find_people(step, start, work) if step.crew >= 0 else None
            if step.crew >= 0 and found is None:
                dispatch.next_try[q] = NEVER
                return
            begin = start if found is None else found[0]
            finish = begin + work if found is None else found[1]
            at = begin
            for place in step.hours_of:
                at = bench.hours_fit(place, at, finish - begin)
            if step.station >= 0:
                at, unit = bench.find_unit(step.station, at, finish - begin, 1)
            if step.room is not None:
                at = bench.quarters.first_fit(step.room, at, finish - begin)
            if at >= NEVER:
                dispatch.next_try[q] = NEVER
                return
            if at == begin:
                break
            start = at
        if begin > limit:
            dispatch.next_try[q] = begin
            return
        if found is not None:
            bench.take_people(found, step.session)
        bench.take_room(step.room, begin, finish)
        if unit >= 0:
            bench.take_unit(unit, begin, finish, 1)
        bench.log.clear()
        dispatch.decisions += 1
        waiting.remove(chosen)
        heapify(waiting)
        dispatch.tasks.append(
            Placed(
                step=step,
                lot=-1,
                items=(),
                start=begin,
                end=finish,
                people=() if found is None else found[2],
                spans=None if found is None else found[3],
                tool=tool,
                unit=unit,
            )
        )
        bench.tool_coats[tool] -= 1
        bench.tool_free[tool] = finish
        if bench.tool_coats[tool]:
            heappush(waiting, (finish + step.wait_min, tool))
        else:
            bench.tool_since[tool] = 0
            self._offer(family, finish)
        dispatch.next_try[q] = max(waiting[0][0], 0) if waiting else NEVER
