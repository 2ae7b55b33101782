"""Windows for single units: how early and how late the u-th of an order can be.

Units of an order are alike, so the starts at each stage may be sorted: the u-th start
belongs to the u-th unit at every stage, precedence and the counts of held copies being
unchanged. Then unit u + k can take a copy of a pool of k only when unit u has given
one back, whatever other orders do. Walking all units so with hands without number gives
the earliest start of every task; walking them backwards from a deadline, the latest end.
"""

from __future__ import annotations

from mouldwright.planning.flow.chains import Visit, visits
from mouldwright.planning.flow.reach import Reach
from mouldwright.planning.flow.stages import NEVER

# By unit, then by stage of the order.
Rows = list[tuple[int, ...]]


class OrderedUnits:
    """Earliest starts and latest ends of every unit of every order."""

    def __init__(self, reach: Reach) -> None:
        """Sort the visits to pools by order."""
        self.reach = reach
        self._visits: list[list[Visit]] = [[] for _ in range(reach.stages.orders)]
        for visit in visits(reach.stages):
            self._visits[visit.order].append(visit)
        self._earliest: dict[int, Rows] = {}
        self._latest: dict[tuple[int, int], Rows | None] = {}

    def earliest_starts(self, order: int) -> Rows:
        """Return the earliest start of every task of an order."""
        if order in self._earliest:
            return self._earliest[order]
        stages, reach = self.reach.stages, self.reach
        span = stages.stages_of(order)
        rows: Rows = []
        last_floors: tuple[int, ...] | None = None
        for unit in range(stages.units[span.start]):
            floors = [0] * len(span)
            for visit in self._visits[order]:
                before = unit - stages.copies(visit.pool)
                if before >= 0:
                    place = visit.taken_at - span.start
                    given = rows[before][visit.given_at - span.start] + visit.after
                    floors[place] = max(floors[place], given)
            if tuple(floors) == last_floors:
                rows.append(rows[-1])
                continue
            last_floors = tuple(floors)
            now = stages.release[order]
            row = []
            for stage, floor in zip(span, floors, strict=True):
                start = reach.fit(max(now, floor), stages.duration[stage])
                row.append(start)
                now = start + stages.duration[stage] + stages.lag[stage]
            rows.append(tuple(row))
        self._earliest[order] = rows
        return rows

    def latest_ends(self, order: int, deadline: int) -> Rows | None:
        """Return the latest end of every task if the order ends by a deadline.

        Returns:
            Rows by unit, or None where some task then has no place at all.
        """
        key = (order, deadline)
        if key not in self._latest:
            if len(self._latest) > 4000:
                self._latest.clear()
            self._latest[key] = self._walk_back(order, deadline, keep_all=False)
        return self._latest[key]

    def latest_ends_without_room(self, order: int, deadline: int) -> Rows:
        """Return the latest end of every task, earlier than it can start where it must be."""
        rows = self._walk_back(order, deadline, keep_all=True)
        assert rows is not None
        return rows

    def _walk_back(self, order: int, deadline: int, *, keep_all: bool) -> Rows | None:
        stages, reach = self.reach.stages, self.reach
        span = stages.stages_of(order)
        units = stages.units[span.start]
        earliest = self.earliest_starts(order)
        rows: dict[int, tuple[int, ...]] = {}
        last_roofs: tuple[int, ...] | None = None
        for unit in range(units - 1, -1, -1):
            roofs = [NEVER] * len(span)
            for visit in self._visits[order]:
                next_one = unit + stages.copies(visit.pool)
                if next_one < units:
                    taken = rows[next_one][visit.taken_at - span.start]
                    start = taken - stages.duration[visit.taken_at] - visit.after
                    place = visit.given_at - span.start
                    roofs[place] = min(roofs[place], start + stages.duration[visit.given_at])
            if tuple(roofs) == last_roofs:
                row = rows[unit + 1]
            else:
                last_roofs = tuple(roofs)
                until = deadline
                ends = []
                for place in range(len(span) - 1, -1, -1):
                    stage = span[place]
                    ceiling = min(until - stages.lag[stage], roofs[place])
                    end = reach.fit_back(ceiling, stages.duration[stage])
                    if end <= -NEVER:
                        # Before the first opening only the order among tasks matters.
                        end = min(ceiling, reach.opens[0])
                    ends.append(end)
                    until = end - stages.duration[stage]
                row = tuple(reversed(ends))
            rows[unit] = row
            if not keep_all and any(
                end - stages.duration[stage] < start
                for end, stage, start in zip(row, span, earliest[unit], strict=True)
            ):
                return None
        return [rows[unit] for unit in range(units)]
