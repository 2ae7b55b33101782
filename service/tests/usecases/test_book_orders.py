from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal

import pytest
from promise_bench import KEY, NOW, WANTED, freeze, later

from mouldwright.domain.errors import Conflict, HardLimit
from mouldwright.domain.hours.opening import local
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.errors import Stale
from mouldwright.usecases.kept_run import Page
from mouldwright.usecases.orders import (
    accept,
    call_off,
    change_urgency,
    draft_change,
    keep_change,
    look_again,
    note_begun,
)
from mouldwright.usecases.quotes import send


def looked(bench, quote: int = 1):
    return look_again(bench.units, KEY, quote, written=bench.written, now=NOW, finish=bench.finish)


def changed(bench, number: str, quantity: int, *, pay_for_begun: bool = False):
    version = bench.booking(number).version
    drafted = draft_change(
        bench.units,
        KEY,
        number,
        quantity,
        pay_for_begun=pay_for_begun,
        read_version=version,
        written=bench.written,
        now=NOW,
        finish=bench.finish,
    )
    return bench.done(keep_change, number, drafted, read_version=version, freeze=freeze, now=NOW)


def with_five_begun(bench) -> str:
    number = bench.booked().order.number
    bench.done(note_begun, number, 5, read_version=1)
    return number


def test_an_accepted_quote_becomes_an_order_due_when_the_promised_day_ends(bench):
    booking = bench.booked()
    assert bench.booking("Q1") == booking
    assert (booking.order.quantity, booking.state, booking.version) == (12, "open", 1)
    promised = bench.revision(1).figures.finish
    assert booking.promised == promised
    # Ready so many minutes after Monday 1 March, 8:00: Monday 8 March, 6:40. The bench closes
    # at 17:15 that day: till then nothing is late, and the morning is in hand.
    assert local(promised, "Europe/Lisbon") == datetime(2027, 3, 8, 6, 40, tzinfo=UTC)
    assert booking.order.due == datetime(2027, 3, 8, 17, 15, tzinfo=UTC)
    assert bench.revision(1).state == "accepted"


def test_a_draft_cannot_be_accepted_nor_can_a_quote_be_accepted_twice(bench):
    bench.quoted()
    with pytest.raises(Conflict, match="Send it first"):
        bench.done(accept, 1, revision=None, now=NOW)
    bench.done(send, 1, revision=None, now=NOW)
    bench.done(accept, 1, revision=None, now=NOW)
    with pytest.raises(Conflict, match="is accepted"):
        bench.done(accept, 1, revision=None, now=NOW)


def test_of_many_who_accept_one_quote_at_once_one_books_it(either_bench):
    either_bench.sent()

    def attempt(_: int) -> bool:
        try:
            either_bench.done(accept, 1, revision=None, now=NOW)
        except Conflict:
            return False
        return True

    with ThreadPoolExecutor(20) as pool:
        assert sum(pool.map(attempt, range(20))) == 1
    with either_bench.units.read(KEY) as unit:
        assert len(unit.bookings.open()) == 1
        assert unit.bookings.book_version() == 1


def test_a_quote_whose_last_day_is_over_cannot_be_accepted(bench):
    bench.sent()
    with pytest.raises(Conflict, match="stood until"):
        bench.done(accept, 1, revision=None, now=later(days=400))


@pytest.mark.parametrize("error", [RuntimeError("no memory"), HardLimit(["no press"])])
def test_an_acceptance_stands_when_planning_fails(either_bench, error):
    either_bench.booked()
    either_bench.finish.error = error
    found = looked(either_bench)
    assert found.expected is None
    assert "no press" in found.words or "could not be looked at" in found.words
    assert either_bench.booking("Q1").state == "open"


def test_a_promise_whose_day_has_moved_is_said_with_both_days_and_the_difference(either_bench):
    # Promised for Monday 8 March, 6:40.
    either_bench.booked()
    either_bench.finish.minutes += 1440 + 150
    found = looked(either_bench)
    assert found.moved
    assert "Promised for Mon 8 Mar 2027;" in found.words
    assert "ready Tue 9 Mar 2027, 09:10, 1 day later" in found.words
    assert either_bench.booking("Q1").moved_min("Europe/Lisbon") == 1590


def test_a_promise_holds_while_its_day_does_whatever_the_minute(either_bench):
    either_bench.booked()
    either_bench.finish.minutes += 150
    found = looked(either_bench)
    assert not found.moved
    assert "Promised for Mon 8 Mar 2027; with what is booked now" in found.words
    assert either_bench.booking("Q1").moved_min("Europe/Lisbon") == 0


def test_a_promise_that_holds_is_said_to_hold(bench):
    bench.booked()
    assert not looked(bench).moved
    assert bench.booking("Q1").moved_min("Europe/Lisbon") == 0


def test_an_order_is_looked_at_on_top_of_all_the_others_and_not_of_itself(bench):
    bench.booked()
    bench.booked()
    looked(bench, 2)
    numbers = [order.number for order in bench.finish.asked[-1][0].orders]
    assert "Q1" in numbers
    assert "Q2" not in numbers


def test_twelve_become_twenty_by_a_second_revision_and_the_five_begun_are_kept(bench):
    number = with_five_begun(bench)
    booking = changed(bench, number, 20)
    assert (booking.order.quantity, booking.begun, booking.revision) == (20, 5, 2)
    assert [bench.revision(1, n).state for n in (1, 2)] == ["superseded", "accepted"]


def test_twelve_cannot_become_three_after_five_are_begun_unless_two_are_paid_for(bench):
    number = with_five_begun(bench)
    with pytest.raises(Conflict, match="5 parts are begun"):
        changed(bench, number, 3)
    booking = changed(bench, number, 3, pay_for_begun=True)
    assert booking.order.quantity == 3
    second = bench.revision(1, 2)
    assert second.inputs.given_up == 2
    assert '"kind":"cancellation"' in second.document
    # Lines add up to net: three sold, and two at cost.
    figures = second.figures
    assert figures.net == figures.price_each * 3 + figures.unit_cost * 2


def test_an_order_changed_meanwhile_is_not_changed_by_what_was_read_before(either_bench):
    number = either_bench.booked().order.number
    either_bench.done(change_urgency, number, due=later(days=9), read_version=1)
    with pytest.raises(Stale, match="version 1 was read, version 2 holds"):
        either_bench.done(change_urgency, number, due=later(days=5), read_version=1)


def test_parts_begun_between_working_a_change_out_and_keeping_it_are_not_lost(either_bench):
    number = either_bench.booked().order.number
    drafted = draft_change(
        either_bench.units, KEY, number, 3, pay_for_begun=False, read_version=1,
        written=either_bench.written, now=NOW, finish=either_bench.finish,
    )  # fmt: skip
    either_bench.done(note_begun, number, 5, read_version=1)
    with pytest.raises(Stale):
        either_bench.done(keep_change, number, drafted, read_version=1, freeze=freeze, now=NOW)


def test_a_revision_sent_before_parts_were_begun_cannot_book_fewer_than_are_begun(bench):
    number = bench.booked().order.number
    bench.revised(1, quantity=3)
    bench.done(send, 1, revision=None, now=NOW)
    bench.done(note_begun, number, 5, read_version=1)
    with pytest.raises(Conflict, match="5 parts are begun by now"):
        bench.done(accept, 1, revision=None, now=NOW)
    assert bench.booking(number).order.quantity == 12


def test_an_order_called_off_leaves_the_book_and_settles_the_deposit(either_bench):
    number = with_five_begun(either_bench)
    cancelled, settled = either_bench.done(call_off, number, by="customer", read_version=2)
    assert cancelled.state == "cancelled"
    figures = either_bench.revision(1).figures
    assert settled.work_done == figures.unit_cost * 5
    assert settled.kept + settled.refunded == figures.deposit
    assert read_booked(either_bench.units, KEY, either_bench.written).bookings == ()


def test_every_change_of_the_book_is_counted(either_bench):
    number = with_five_begun(either_bench)
    either_bench.done(call_off, number, by="shop", read_version=2)
    with either_bench.units.read(KEY) as unit:
        # Booked, begun, called off.
        assert unit.bookings.book_version() == 3


def test_orders_are_listed_first_booked_first_a_page_at_a_time(bench):
    drafted = bench.draft()
    for _ in range(3):
        bench.booked(drafted)
    with bench.units.read(KEY) as unit:
        first = unit.bookings.listed(Page(limit=2))
        rest = unit.bookings.listed(Page(limit=2, after=first[-1].quote))
    assert [b.order.number for b in first] == ["Q1", "Q2"]
    assert [b.order.number for b in rest] == ["Q3"]


def test_a_number_that_is_written_in_the_shop_too_is_refused(bench):
    booking = bench.booked()
    shop = read_booked(bench.units, KEY, bench.written).written
    bench.change_shop(orders=(*shop.orders, replace(shop.orders[0], number="Q1")))
    with pytest.raises(Conflict, match="Order Q1 is booked, and another"):
        read_booked(bench.units, KEY, bench.written).without()
    assert booking.order.number == "Q1"


@pytest.mark.parametrize("wished_days", [3, 60])
def test_an_order_is_due_on_the_day_that_was_promised_and_the_wish_stays_with_the_quote(
    bench, wished_days
):
    # Promised for Monday 8 March, whether the customer wished for Thursday 4 March or for May.
    due = later(days=wished_days)
    booking = bench.booked(bench.draft(replace(WANTED, due=due)))
    assert booking.order.due == datetime(2027, 3, 8, 17, 15, tzinfo=UTC)
    assert bench.revision(1).due == due
    # Another quantity is promised anew, and what was wished is not changed by that.
    booking = changed(bench, booking.order.number, 20)
    assert booking.order.due == datetime(2027, 3, 8, 17, 15, tzinfo=UTC)
    assert bench.revision(1, 2).due == due


def test_money_comes_back_from_the_store_to_the_digit(either_bench):
    either_bench.booked()
    figures = either_bench.revision(1).figures
    assert isinstance(figures.net, Decimal)
    assert figures.gross == figures.net + figures.tax
