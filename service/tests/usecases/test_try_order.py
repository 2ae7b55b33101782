"""An order tried before it is accepted: when it would be ready, and whose date would move."""

from __future__ import annotations

import builders as build
import pytest

from mouldwright.domain.errors import InvalidInput, NotFound
from mouldwright.domain.shop import Shop
from mouldwright.usecases.try_order import Wanted, try_order

NOW = build.at("2027-03-01 08:00")


def sanded(quantity: int) -> Shop:
    """Return one person, parts of an hour each, in from 08:00 to 16:00."""
    return build.shop(
        build.process(build.hands("sand", 60, per="part")),
        [build.order(quantity=quantity, due=build.instant("2027-03-01 16:00"))],
        people=[build.person("ana")],
        hours=build.opening(build.week("08:00-16:00")),
    )


def test_an_order_that_can_wait_moves_no_promise() -> None:
    # Four hours are booked, to 12:00; two parts more are done by 14:00.
    tried = try_order(
        sanded(4), Wanted(part="fin", process="pressed", quantity=2), now=NOW, seconds=0.2
    )
    assert tried.finish == NOW + 360
    assert (tried.shifts, tried.kept, tried.moved) == ((), 4, 0)
    assert tried.because == "ana is busy with sand of order 1 part 4 until Mon 1 Mar 12:00"


def test_an_urgent_order_says_whose_date_it_moves() -> None:
    # Eight hours are booked, to 16:00 when they are due. One hour more by 09:00 that counts a
    # hundred times goes first: the other ends on Tuesday at 09:00, 17 h late.
    wanted = Wanted(
        part="fin", process="pressed", quantity=1, due=build.instant("2027-03-01 09:00"),
        weight=1_000,
    )  # fmt: skip
    tried = try_order(sanded(8), wanted, now=NOW, seconds=1.0)
    assert tried.late_min == 0
    (shift,) = tried.shifts
    assert (shift.number, shift.after - shift.before) == ("1", 17 * 60)
    assert (shift.late_before_min, shift.late_after_min) == (0, 17 * 60)


def test_what_is_not_made_here_is_refused() -> None:
    with pytest.raises(NotFound):
        try_order(sanded(1), Wanted(part="boat", process="pressed", quantity=1), now=NOW)
    with pytest.raises(InvalidInput):
        try_order(sanded(1), Wanted(part="fin", process="pressed", quantity=0), now=NOW)
