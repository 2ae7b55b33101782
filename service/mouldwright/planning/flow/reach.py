"""How early each stage can start and how late it may end, through the openings.

Starting a chain earlier never makes any later stage of it later, so walking one unit
forwards from its release (or backwards from a deadline), taking the first (last) place
that fits each time, gives a bound that holds for every unit of the order in any plan.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from itertools import accumulate

from mouldwright.planning.flow.stages import NEVER, Stages


class Reach:
    """Earliest and latest times on the openings of one instance."""

    def __init__(self, stages: Stages) -> None:
        """Keep the openings that somebody attends."""
        self.stages = stages
        manned = [
            (opens, closes, crew)
            for opens, closes, crew in zip(stages.opens, stages.closes, stages.persons, strict=True)
            if crew > 0
        ]
        self.opens = [opens for opens, _, _ in manned]
        self.closes = [closes for _, closes, _ in manned]
        self.crews = [crew for _, _, crew in manned]
        lengths = (crew * (closes - opens) for opens, closes, crew in manned)
        self._before = [0, *accumulate(lengths)]
        self._latest: dict[tuple[int, int], list[int]] = {}
        self.earliest_start = [0] * stages.count
        for order in range(stages.orders):
            first, last = stages.first[order], stages.first[order + 1]
            self._forward(first, last, stages.release[order], self.earliest_start)

    def fit(self, since: int, duration: int) -> int:
        """Return the first start at or after ``since`` that lies in one opening, else NEVER."""
        at = max(bisect_right(self.opens, since) - 1, 0)
        for window in range(at, len(self.opens)):
            start = max(self.opens[window], since)
            if start + duration <= self.closes[window]:
                return start
        return NEVER

    def fit_back(self, until: int, duration: int) -> int:
        """Return the last end at or before ``until`` that lies in one opening, else -NEVER."""
        at = min(bisect_left(self.closes, until), len(self.closes) - 1)
        for window in range(at, -1, -1):
            end = min(self.closes[window], until)
            if end - duration >= self.opens[window]:
                return end
        return -NEVER

    def person_minutes(self, until: int) -> int:
        """Return the person-minutes open before a minute."""
        at = bisect_right(self.opens, until) - 1
        if at < 0:
            return 0
        worked = min(until, self.closes[at]) - self.opens[at]
        return self._before[at] + self.crews[at] * worked

    def through(self, first: int, last: int, since: int) -> int:
        """Return the earliest end of stages ``first`` to ``last`` - 1, lags too, from a minute."""
        stages, now = self.stages, since
        for stage in range(first, last):
            start = self.fit(now, stages.duration[stage])
            if start >= NEVER:
                return NEVER
            now = start + stages.duration[stage] + stages.lag[stage]
        return now

    def latest_end(self, order: int, deadline: int) -> list[int]:
        """Return, for each stage of an order, the latest end if the order ends by a deadline.

        Returns:
            One minute a stage, -NEVER where there is no room at all.
        """
        known = self._latest.get((order, deadline))
        if known is not None:
            return known
        stages, until = self.stages, deadline
        found: list[int] = []
        for stage in reversed(stages.stages_of(order)):
            end = self.fit_back(until - stages.lag[stage], stages.duration[stage])
            found.append(end)
            if end <= -NEVER:
                found.extend([-NEVER] * (len(stages.stages_of(order)) - len(found)))
                break
            until = end - stages.duration[stage]
        found.reverse()
        self._latest[order, deadline] = found
        return found

    def _forward(self, first: int, last: int, since: int, into: list[int]) -> None:
        now = since
        for stage in range(first, last):
            into[stage] = self.fit(now, self.stages.duration[stage]) if now < NEVER else NEVER
            now = min(NEVER, into[stage] + self.stages.duration[stage] + self.stages.lag[stage])
