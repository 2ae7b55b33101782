"""When each delivery is ready and what haste costs it, by stand-ins whose dates are known."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import builders
import pytest

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.offer_lines import SentLot
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.shop import PricePolicy, RushTier
from mouldwright.domain.terms import Delivery, Terms
from mouldwright.usecases.delivering import dated

START = datetime(2027, 3, 1, tzinfo=UTC)
NOW = minute_of(START)
DAY = 1440
TIERS = (
    RushTier(days_sooner=1, surcharge=Decimal("0.15")),
    RushTier(days_sooner=3, surcharge=Decimal("0.25")),
)
SHOP = replace(builders.shop([]), price=PricePolicy(rush=TIERS))


def a_day_each(_shop, _key, _process, quantity, now):
    """Behind ten days of booked work, a piece a day."""
    return ReadyBy(finish=now + (10 + quantity) * DAY)


def two_a_day(_shop, _key, _process, quantity, now):
    """Before what is booked, two a day."""
    return ReadyBy(finish=now + quantity * DAY // 2)


def asked(quantity, terms, due=None, finish=a_day_each, hurried=two_a_day):
    return dated(
        SHOP, "fin", "cast", quantity, terms, due=due, now=NOW, finish=finish, hurried=hurried
    )


def days_from_now(days):
    return START + timedelta(days=days, hours=12)


def test_an_order_sent_at_once_has_the_date_it_always_had() -> None:
    found = asked(6, Terms())
    assert (found.deliveries, found.ready) == ((), ReadyBy(finish=NOW + 16 * DAY))
    assert found.lots(6) == (SentLot(quantity=6),)


def test_a_delivery_is_ready_when_its_pieces_and_those_before_it_are() -> None:
    found = asked(12, Terms(deliveries=(Delivery(quantity=4), Delivery(quantity=8))))
    assert [each.finish for each in found.deliveries] == [NOW + 14 * DAY, NOW + 22 * DAY]
    assert found.ready == ReadyBy(finish=NOW + 22 * DAY)
    assert found.lots(12) == (SentLot(quantity=4), SentLot(quantity=8))


def test_only_the_lot_that_is_needed_sooner_is_hurried() -> None:
    # Four by day 11 at noon: at the ordinary pace day 14, 3 days sooner, a quarter more; before
    # the others they are ready on day 2.
    deliveries = (Delivery(quantity=4, due=days_from_now(11), rush=True), Delivery(quantity=8))
    found = asked(12, Terms(deliveries=deliveries))
    first, rest = found.deliveries
    assert (first.finish, first.ordinary) == (NOW + 2 * DAY, NOW + 14 * DAY)
    assert (first.days_sooner, first.surcharge) == (3, Decimal("0.25"))
    assert (rest.finish, rest.surcharge) == (NOW + 22 * DAY, 0)


def test_fewer_need_haste_than_are_wanted_by_the_day() -> None:
    # Six by day 14 at noon: at the ordinary pace four are ready by then (day 14), six on day 16,
    # 2 days later: 15 % of 20.00 is 3.00 each and 18.00 for all six.
    found = asked(6, Terms(rush=True), due=days_from_now(14))
    option = found.rush_option(Decimal("20.00"), SHOP)
    assert option is not None
    assert (option.quantity, option.ready) == (6, 4)
    assert (option.each, option.surcharge) == (Decimal("3.00"), Decimal("18.00"))


def test_haste_that_saves_nothing_costs_nothing() -> None:
    found = asked(4, Terms(rush=True), due=days_from_now(20))
    assert found.deliveries[0].surcharge == 0
    assert found.rush_option(Decimal("20.00"), SHOP) is None
    assert found.notes == (
        "Delivery 1 is ready Mon 15 Mar 2027, 00:00 at the ordinary pace, by when it is wanted: "
        "rush is not needed and is charged nothing.",
        "Delivery 1 goes before what is booked: try the order to see whose days that moves.",
    )


@pytest.mark.parametrize(
    ("ordinary_h", "hurried_h", "gained", "share"),
    # Wanted on day 1 at noon. Ready within day 2 either way: no day gained, whatever was wished.
    # From day 3 to day 2: one day gained, though two were wished.
    [(2 * 24 + 15, 2 * 24 + 13, 0, "0"), (3 * 24 + 15, 2 * 24 + 13, 1, "0.15")],
)
def test_haste_is_charged_by_the_days_it_gains(ordinary_h, hurried_h, gained, share) -> None:
    found = asked(
        2,
        Terms(rush=True),
        due=days_from_now(1),
        finish=lambda *_: ReadyBy(finish=NOW + ordinary_h * 60),
        hurried=lambda *_: ReadyBy(finish=NOW + hurried_h * 60),
    )
    (only,) = found.deliveries
    assert (only.days_sooner, only.surcharge) == (gained, Decimal(share))
    assert any("gains delivery 1 no day" in note for note in found.notes) == (gained == 0)


def test_haste_that_would_gain_nothing_is_not_offered_at_a_price() -> None:
    found = asked(4, Terms(), due=days_from_now(13), hurried=a_day_each)
    assert found.notes == (
        "It is wanted by Sun 14 Mar 2027, 1 day sooner than it is ready: rush would gain no day, "
        "and is charged nothing.",
    )


def test_haste_that_is_not_enough_is_told() -> None:
    # Ten at two a day are ready on day 5 at midnight, wanted on day 1 at noon.
    found = asked(10, Terms(rush=True), due=days_from_now(1))
    assert found.deliveries[0].finish == NOW + 5 * DAY
    assert any("even before all that is not begun" in note for note in found.notes)


def test_an_order_that_is_late_is_told_what_haste_would_cost() -> None:
    found = asked(4, Terms(), due=days_from_now(10))
    # Ready on day 14, wanted on day 10: from 3 days on it is 25 %.
    assert found.notes == (
        "It is wanted by Thu 11 Mar 2027, 4 days sooner than it is ready: rush would gain 4 days, "
        "for 25 % of what is hurried.",
    )


@pytest.mark.parametrize("terms", [Terms(), Terms(deliveries=(Delivery(quantity=1),) * 2)])
def test_without_a_plan_there_is_no_date_and_the_reason_is_said_once(terms) -> None:
    def never(*_):
        raise HardLimit(["nobody lays up"])

    found = asked(2, terms, finish=never, hurried=never)
    assert found.ready is None
    assert found.notes == ("No date can be promised: nobody lays up",)
