"""What many runs of a plan say of one order."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest

from mouldwright.domain.promise.finish_odds import OrderOdds

# Minutes of the first day of the epoch, which ends after 1440 of them.
PLANNED = 1000


def odds(*finishes: float) -> OrderOdds:
    return OrderOdds.of(
        number="7", planned=PLANNED, due=None, finishes=np.array(finishes), level=0.8
    )


@pytest.mark.parametrize(
    ("finishes", "seldom"),
    [
        # Two of four on the day, whatever the minute: half.
        ((900, 1439, 1441, 3000), False),
        ((900, 1441, 1441, 3000), True),
        # Three of four are never ready within all hours laid out.
        ((900, inf, inf, inf), True),
    ],
)
def test_a_planned_day_is_seldom_kept_where_fewer_than_half_of_the_runs_are_ready_on_it(
    finishes, seldom
) -> None:
    assert odds(*finishes).is_seldom_as_planned("UTC") is seldom


def test_the_day_is_that_of_the_shops_clocks() -> None:
    # Half by 23:30 in UTC, which is half past midnight an hour further east.
    assert odds(1410, 1410).is_seldom_as_planned("Etc/GMT-1")
    assert not odds(1410, 1410).is_seldom_as_planned("UTC")
