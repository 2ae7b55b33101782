"""A run's trail as a chart: what is drawn of it, and of what."""

from __future__ import annotations

from mouldwright.figures.search_of import search_of

DAY = 1440


def test_nothing_is_drawn_before_the_first_plan() -> None:
    assert search_of([], now_s=1.0, until_s=5.0) is None


def test_while_the_best_plan_is_late_lateness_is_drawn() -> None:
    steps = [(0.0, 4 * DAY, 9 * DAY, None), (1.5, 2 * DAY, 10 * DAY, DAY)]
    chart = search_of(steps, now_s=2.0, until_s=5.0)
    assert chart is not None
    assert chart.what == "Order-days late, weighted"
    assert chart.best == ((0.0, 4.0), (1.5, 2.0))
    assert chart.bound == ((1.5, 1.0),)


def test_once_nothing_is_late_the_time_to_the_last_part_is_drawn_from_then_on() -> None:
    steps = [
        (0.0, 4 * DAY, 8 * DAY, 2 * DAY),
        (1.0, 0, 9 * DAY, 6 * DAY),
        (2.0, 0, 9 * DAY, 7 * DAY),
        (3.0, 0, 8 * DAY, 7 * DAY),
    ]
    chart = search_of(steps, now_s=2.5, until_s=5.0)
    assert chart is not None
    assert chart.what == "Days to the last part"
    # A step later than the reading of the clock still stands within the chart.
    assert chart.now_s == 3.0
    assert chart.best == ((1.0, 9.0), (3.0, 8.0))
    # The bound of before was on lateness, not on time.
    assert chart.bound == ((1.0, 6.0), (2.0, 7.0))
