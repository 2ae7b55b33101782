"""Orders on pages: the list, the sheet, and what may be changed."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from promise_bench import DEMO, KEY, WANTED
from web_bench import plain

from mouldwright.planning.plan import Objective, OrderOutcome, Plan
from mouldwright.usecases.kept import Role
from mouldwright.web.view_models.order import order_rows, written_view

HERE = f"/shops/{KEY}/orders"


def test_what_is_booked_stands_before_what_is_written(web):
    web.bench.booked()
    numbers = re.findall(r'aria-label="Order (\w+)"', web.visitor().page(HERE))
    assert numbers == ["Q1", *(order.number for order in DEMO.orders)]


def test_the_day_that_was_promised_is_not_called_the_customers_wish(web):
    # The glossary: the due date is the day an order was promised.
    web.bench.booked()
    for page in (HERE, f"{HERE}/Q1"):
        words = plain(web.visitor().page(page))
        assert "Due" in words
        assert "Wanted by" not in words


def test_what_the_customer_wished_for_stands_beside_what_is_promised(web):
    # The stand-in is ready on Monday 8 March; the customer wished for Friday the 5th.
    wished = datetime(2027, 3, 5, 18, tzinfo=UTC)
    web.bench.booked(web.bench.draft(replace(WANTED, due=wished)))
    sheet = plain(web.visitor().page(f"{HERE}/Q1"))
    assert "Wished for Friday 5 March 2027" in sheet
    assert "Promised for Monday 8 March 2027" in sheet
    rows = plain(web.visitor().page(HERE))
    assert "Wished for Promised" in rows
    assert "Fri 5 Mar Mon 8 Mar" in rows


def test_a_written_order_is_shown_and_sent_to_its_file_to_be_changed(web):
    page = web.visitor().page(f"{HERE}/1004")
    words = plain(page)
    assert "16 × Sensor fin, 120 mm" in words
    assert "Lateness counts 2 times" in words
    assert "it is changed there" in words
    assert "/orders/1004/change" not in page


def test_quantity_and_date_are_changed_and_the_quote_gets_a_revision(web):
    web.bench.booked()
    visitor = web.visitor()
    changed = visitor.post(
        f"{HERE}/Q1/change", {"version": "1", "quantity": "16", "by": "2027-04-15"}
    )
    assert changed.headers["location"] == f"{HERE}/Q1"
    booking = web.bench.booking("Q1")
    assert (booking.order.quantity, booking.revision) == (16, 2)
    # The end of the opening that Thursday: 17:15 in Lisbon, an hour ahead of UTC by then.
    assert booking.order.due == datetime(2027, 4, 15, 16, 15, tzinfo=UTC)
    again = visitor.post(f"{HERE}/Q1/change", {"version": "1", "quantity": "17"})
    assert again.status_code == 409


def test_what_is_begun_is_noted_by_the_bench_and_binds_a_change(web):
    web.bench.booked()
    bench = web.visitor(Role.BENCH)
    assert bench.post(f"{HERE}/Q1/begun", {"version": "1", "begun": "5"}).status_code == 303
    assert web.bench.booking("Q1").begun == 5
    assert bench.post(f"{HERE}/Q1/change", {"version": "2", "quantity": "3"}).status_code == 403
    planner = web.visitor(Role.PLANNER)
    fewer = planner.post(f"{HERE}/Q1/change", {"version": "2", "quantity": "3"})
    assert fewer.status_code == 409
    assert "5 parts are begun" in plain(fewer.text)
    paid = {"version": "2", "quantity": "3", "pay_for_begun": "yes"}
    assert planner.post(f"{HERE}/Q1/change", paid).status_code == 303
    assert web.bench.booking("Q1").order.quantity == 3


def test_calling_off_says_what_it_comes_to(web):
    from urllib.parse import unquote

    kept = web.bench.booked()
    figures = web.bench.revision(kept.quote).figures
    visitor = web.visitor()
    visitor.post(f"{HERE}/Q1/begun", {"version": "1", "begun": "1"})
    off = visitor.post(f"{HERE}/Q1/call-off", {"version": "2", "by": "customer"})
    said = unquote(off.headers["set-cookie"])
    assert f"Work done comes to €{figures.unit_cost}" in said
    assert f"€{figures.deposit - figures.unit_cost} goes back" in said
    words = plain(visitor.page(f"{HERE}/Q1"))
    assert "Called off" in words
    assert "Nothing can be changed of it any more." in words
    listed = visitor.page(HERE)
    assert 'aria-label="Order Q1"' not in listed
    assert 'aria-label="Order Q1"' in visitor.page(f"{HERE}?which=all")


@pytest.mark.parametrize("by", ["", "nobody"])
def test_who_calls_off_must_be_said(web, by):
    web.bench.booked()
    answer = web.visitor().post(f"{HERE}/Q1/call-off", {"version": "1", "by": by})
    assert answer.status_code == 422
    assert web.bench.booking("Q1").state == "open"


def test_an_order_that_is_not_there_is_said(web):
    assert web.visitor().get(f"{HERE}/Q77").status_code == 404


def test_a_shop_without_orders_says_what_to_do_first(web):
    web.bench.change_shop(orders=())
    words = plain(web.visitor().page(HERE))
    assert "No order yet." in words
    assert "To the quotes" in words


def test_a_promise_is_late_once_its_day_has_moved_and_not_before(web):
    # Promised for Monday 8 March, 6:40.
    promised = web.bench.booked().promised

    def sheet(expected: int) -> str:
        version = web.bench.booking("Q1").version
        web.bench.done(lambda unit: unit.bookings.expect(1, version, expected))
        return plain(web.visitor().page(f"{HERE}/Q1"))

    assert "It is expected" not in sheet(promised + 3)
    assert "It is expected Tue 9 Mar; Mon 8 Mar was promised." in sheet(promised + 1440)


def test_an_order_that_was_ready_when_the_plan_was_made_is_said_to_be_and_has_no_odds():
    order = DEMO.orders[0]
    outcome = OrderOutcome(number=order.number, finish=1000, due=None, starts=27)
    none = Objective(weighted_late_min=0, finish_min=0, attended_min=0)
    plan = Plan(now=1000, zone=DEMO.zone, tasks=(), orders=(outcome,), objective=none)
    (row, *_) = order_rows(DEMO, (), DEMO.orders, plan)
    assert row.state == "Ready, written"
    view = written_view(DEMO, order, plan)
    assert view.is_done
    assert dict(view.facts)["Ready"].endswith("by the log")
    still = replace(plan, now=999)
    assert not written_view(DEMO, order, still).is_done
    assert order_rows(DEMO, (), DEMO.orders, still)[0].state == "Open, written"
