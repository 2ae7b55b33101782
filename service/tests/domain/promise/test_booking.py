from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.domain.errors import Conflict
from mouldwright.domain.money import Currency
from mouldwright.domain.order import Order
from mouldwright.domain.promise.booking import Booking, called_off, given_up, with_begun

EUR = Currency("EUR")
NOON = datetime(2027, 3, 1, 12, tzinfo=UTC)


def booking(quantity: int = 12, begun: int = 5, state: str = "open", **more) -> Booking:
    order = Order(number="Q7", part="fin", process="pressed", quantity=quantity)
    return Booking(
        order=order,
        state=state,
        quote=7,
        revision=1,
        version=1,
        booked_at=NOON,
        begun=begun,
        **more,
    )


def off(of: Booking, by: str = "customer", deposit: str = "100.00", cost: str = "12.00"):
    return called_off(of, by=by, deposit=Decimal(deposit), unit_cost=Decimal(cost), currency=EUR)


def test_twelve_may_become_twenty_after_five_are_begun_and_the_five_are_kept():
    assert given_up(booking(), 20, pay_for_begun=False) == 0


def test_twelve_cannot_become_three_after_five_are_begun_without_a_cancellation_line():
    with pytest.raises(Conflict, match="5 parts are begun, so it cannot go down to 3"):
        given_up(booking(), 3, pay_for_begun=False)
    # 5 begun - 3 wanted = 2 to be paid for.
    assert given_up(booking(), 3, pay_for_begun=True) == 2


def test_what_is_begun_stays_begun():
    assert with_begun(booking(), 6).begun == 6
    with pytest.raises(Conflict, match="5 parts are begun already, not 4"):
        with_begun(booking(), 4)


@pytest.mark.parametrize("change", [lambda b: given_up(b, 20, pay_for_begun=True), off])
def test_a_cancelled_order_cannot_be_changed(change):
    with pytest.raises(Conflict, match="is cancelled"):
        change(booking(state="cancelled"))


def test_a_deposit_covers_the_work_done_and_the_rest_goes_back():
    # 5 begun x 12.00 = 60.00 of work; of a deposit of 100.00, 40.00 goes back.
    after, settled = off(booking())
    assert after.state == "cancelled"
    assert (settled.work_done, settled.kept, settled.refunded, settled.owed) == (
        Decimal("60.00"),
        Decimal("60.00"),
        Decimal("40.00"),
        Decimal("0.00"),
    )


def test_work_beyond_the_deposit_is_owed():
    # 5 x 30.00 = 150.00; the deposit covers 100.00 of it.
    _, settled = off(booking(), cost="30.00")
    assert (settled.kept, settled.refunded, settled.owed) == (100, 0, 50)


def test_the_whole_deposit_goes_back_where_the_shop_cannot_deliver():
    _, settled = off(booking(), by="shop")
    assert (settled.work_done, settled.refunded, settled.owed) == (0, 100, 0)


@given(
    begun=st.integers(0, 50),
    cents=st.integers(0, 10**6),
    deposit=st.integers(0, 10**7),
    by=st.sampled_from(["customer", "shop"]),
)
def test_a_settlement_always_adds_up(begun, cents, deposit, by):
    money = Decimal(deposit).scaleb(-2)
    _, settled = off(booking(begun=begun), by, f"{money}", f"{Decimal(cents).scaleb(-2)}")
    assert settled.kept + settled.refunded == money
    assert settled.kept + settled.owed == settled.work_done
    assert min(settled.kept, settled.refunded, settled.owed) >= 0


def test_a_finish_that_is_later_than_promised_has_moved_and_an_earlier_one_has_not():
    assert booking(promised=1000, expected=1440).moved_min("UTC") == 440
    assert booking(promised=1000, expected=900).moved_min("UTC") == 0
    assert booking(promised=None, expected=900).moved_min("UTC") is None


def test_a_promise_has_not_moved_within_its_day_by_the_clock_of_the_shop():
    assert booking(promised=1000, expected=1439).moved_min("UTC") == 0
    # 1410 is 23:30 in UTC, and half past midnight of the next day an hour further east.
    assert booking(promised=1000, expected=1410).moved_min("Etc/GMT-1") == 410
