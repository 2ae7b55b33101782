"""A run's trail as the chart of its search."""

from __future__ import annotations

from collections.abc import Sequence

from mouldwright.figures.search_chart import SearchChart

MINUTES_A_DAY = 1440
# Seconds, weighted minutes late, minutes to the last part, bound on the first that is not zero.
Step = tuple[float, int, int, int | None]


def search_of(steps: Sequence[Step], *, now_s: float, until_s: float) -> SearchChart | None:
    """Return the chart of a search; None where it has found nothing yet.

    It is drawn of lateness while the best plan is late, else of the time to the last part.

    Args:
        steps: In order of time.
        now_s: How far the search is.
        until_s: When it ends by itself.
    """
    if not steps or until_s <= 0:
        return None
    is_late = steps[-1][1] > 0
    best: list[tuple[float, float]] = []
    bound: list[tuple[float, float]] = []
    now = max(now_s, steps[-1][0])
    for seconds, late, finish, under in steps:
        # What was in time is bounded in days to the last part, which is no bound on lateness.
        if is_late != (late > 0):
            continue
        value = (late if is_late else finish) / MINUTES_A_DAY
        if not best or best[-1][1] != value:
            best.append((seconds, value))
        if under is not None and (not bound or under / MINUTES_A_DAY > bound[-1][1]):
            bound.append((seconds, under / MINUTES_A_DAY))
    return SearchChart(
        title="The search",
        what="Order-days late, weighted" if is_late else "Days to the last part",
        decimals=2,
        best=tuple(best),
        bound=tuple(bound),
        now_s=round(now, 1),
        until_s=max(until_s, round(now, 1)),
    )
