"""The earliest any unit could get through its steps with the whole shop to itself.

Greatest waits, pot life and everyone else's work are left out, so that what a walk says is
never later than what any plan can do. Ends never get earlier when starts get later, so
walks may be joined end to end.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from mouldwright.domain.hours.clock import intersect
from mouldwright.domain.hours.opening import Window
from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.routing import (
    BATCH,
    NEVER,
    ORDER,
    PART,
    Step,
    least_min,
    setting_millionths,
)
from mouldwright.planning.shares import optional


class Walks:
    """Walks through the open hours of a problem."""

    def __init__(self, problem: Problem) -> None:
        """Lay out, for each step met, the windows it may be worked in."""
        self.problem = problem
        self._options: dict[
            tuple[int, int, tuple[int, ...], int], tuple[tuple[Window, ...], ...]
        ] = {}

    def work(self, lot: Lot, step: Step) -> int:
        """Return the least minutes of a step for one unit of a lot."""
        if step.level == BATCH:
            return least_min(step, lot.cavities)
        if step.level == ORDER and self.problem.running:
            # It may be done already.
            return 0
        return lot.durations[step.index]

    def step_end(self, lot: Lot, step: Step, ready: int) -> int:
        """Return the earliest end of a step of one unit of a lot that may start at ``ready``."""
        work = self.work(lot, step)
        if step.cure < 0 or not work:
            return self.end(step, ready, work)
        members = {PART: 1, ORDER: lot.units * lot.cavities}.get(step.level, lot.cavities)
        millionths = setting_millionths(step.operation, members)
        end = self.problem.clocks[step.cure].when(ready, millionths)
        return NEVER if end is None else end

    def end(self, step: Step, ready: int, work: int) -> int:
        """Return the earliest end of a step that may start at ``ready``; NEVER beyond the hours."""
        if step.crew < 0 and not step.hours_of:
            return ready + work
        best = NEVER
        for windows in self._windows(step):
            found = (
                _pausing_end(windows, ready, work)
                if step.interruptible
                else _whole_end(windows, ready, work)
            )
            best = min(best, found)
        return best

    def starts(self, step: Step, work: int, since: int, until: int) -> list[Window]:
        """Return from when to when a step of so many unbroken minutes may start, in any order.

        Args:
            step: Attended, or kept to the hours of a station.
            work: Its minutes.
            since: No start before.
            until: No start after.
        """
        return [
            (max(opens, since), min(closes - work, until))
            for windows in self._windows(step)
            for opens, closes in windows
            if max(opens, since) <= min(closes - work, until)
        ]

    def chain(
        self,
        lot: Lot,
        ready: int,
        first: int = 0,
        last: int | None = None,
        *,
        done: int = -1,
        passing: frozenset[int] | None = None,
    ) -> int:
        """Return the earliest end of a run of a lot's steps.

        Args:
            lot: The lot.
            ready: Minute from which the run may begin.
            first: Index of its first step.
            last: Index of its last step; None for the last of all.
            passing: Steps that are passed by; None for all that some part passes by.
            done: Index of a step that ends at ``ready``: only what follows it is walked.
        """
        steps = self.problem.routings[lot.routing].steps
        if passing is None:
            passing = optional(lot)
        ends: dict[int, int] = {} if done < 0 else {done: ready}
        latest = ready
        for step in steps[first if done < 0 else done + 1 : None if last is None else last + 1]:
            before = [ends[p] + step.wait_min for p in step.preds if p in ends]
            if step.age_of in ends:
                before.append(ends[step.age_of] + step.age_min)
            if done >= 0 and not before:
                continue
            if step.index in passing:
                before = [ends[p] for p in step.preds if p in ends]
                ends[step.index] = max([ready, *before])
                continue
            at = self.step_end(lot, step, max([ready, *before]))
            if at >= NEVER:
                return NEVER
            ends[step.index] = at
            latest = max(latest, at)
        return latest if last is None else ends.get(last, latest)

    def _windows(self, step: Step) -> tuple[tuple[Window, ...], ...]:
        """Return alternatives: windows in any one of which the step may be done."""
        key = (step.crew, step.people, step.hours_of, step.session)
        if key not in self._options:
            problem = self.problem
            if step.crew < 0:
                found: list[Sequence[Window]] = [((-NEVER, NEVER),)]
            elif step.people == 1:
                found = [self._worked(p, step) for p in problem.crews[step.crew]]
            else:
                # Open while enough of them are, whoever they are: never too little.
                found = [
                    _enough([self._worked(p, step) for p in problem.crews[step.crew]], step.people)
                ]
            for place in step.hours_of:
                opening = problem.places[place].windows
                if opening is not None:
                    found = [intersect(windows, opening) for windows in found]
            self._options[key] = tuple(dict.fromkeys(tuple(w) for w in found))
        return self._options[key]

    def _worked(self, person: int, step: Step) -> Sequence[Window]:
        """Return when a person can be at a step: going in and coming out taken off.

        Who is at work already may be in, so that the first opening then begins as it is.
        """
        windows, ground = self.problem.windows[person], self.problem.ground
        if not step.session:
            return windows
        gear, clean = ground.gear_up_min[step.session], ground.clean_down_min[step.session]
        found = []
        for i, (opens, closes) in enumerate(windows):
            start = opens if self.problem.running and not i else opens + gear
            end = closes if self.problem.running and not i else closes - clean
            if start < end:
                found.append((start, end))
        return found


def _whole_end(windows: Sequence[Window], ready: int, work: int) -> int:
    i = max(bisect_right(windows, (ready, NEVER)) - 1, 0)
    while i < len(windows):
        opens, closes = windows[i]
        start = opens if opens > ready else ready
        if start + work <= closes:
            return start + work
        i += 1
    return NEVER


def _pausing_end(windows: Sequence[Window], ready: int, work: int) -> int:
    i = max(bisect_right(windows, (ready, NEVER)) - 1, 0)
    left = work
    while i < len(windows):
        opens, closes = windows[i]
        start = opens if opens > ready else ready
        if start <= closes and left <= closes - start:
            return start + left
        if start < closes:
            left -= closes - start
        i += 1
    return NEVER


def _enough(all_windows: Sequence[Sequence[Window]], count: int) -> tuple[Window, ...]:
    """Return the time in which at least so many are open."""
    edges = sorted(
        [(start, 1) for windows in all_windows for start, _ in windows]
        + [(end, -1) for windows in all_windows for _, end in windows]
    )
    found: list[Window] = []
    there, since, i = 0, 0, 0
    while i < len(edges):
        minute = edges[i][0]
        before = there
        while i < len(edges) and edges[i][0] == minute:
            there += edges[i][1]
            i += 1
        if before < count <= there:
            since = minute
        elif there < count <= before:
            found.append((since, minute))
    return tuple(found)
