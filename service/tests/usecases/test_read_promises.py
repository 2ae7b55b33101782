from __future__ import annotations

from dataclasses import replace

import pytest
from promise_bench import DEMO, KEY, NOW, WANTED
from sqlalchemy import event

from mouldwright.domain.errors import InvalidInput
from mouldwright.planning.run import make_plan
from mouldwright.usecases.booked_shop import basis_of, read_booked
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.promise_lists import (
    forget_customer,
    list_orders,
    list_quotes,
    read_plan,
)


def quotes(bench, **more):
    return list_quotes(bench.units, KEY, **({"cursor": None, "limit": 2, "state": None} | more))


def orders(bench, **more):
    wanted = {"cursor": None, "limit": 2, "only_open": False} | more
    return list_orders(bench.units, KEY, written=bench.written, **wanted)


def test_pages_of_quotes_follow_each_other_to_the_end_and_each_is_there_once(bench):
    drafted = bench.draft()
    for _ in range(5):
        bench.quoted(drafted)
    seen, cursor = [], None
    while True:
        page = quotes(bench, cursor=cursor)
        seen += [quote.number for quote in page.quotes]
        cursor = page.cursor
        if cursor is None:
            break
    assert seen == [5, 4, 3, 2, 1]


def test_a_quote_made_between_two_pages_shifts_nothing(bench):
    drafted = bench.draft()
    for _ in range(4):
        bench.quoted(drafted)
    first = quotes(bench)
    bench.quoted(drafted)
    assert [q.number for q in quotes(bench, cursor=first.cursor).quotes] == [2, 1]


def test_a_page_that_ends_with_the_list_has_no_next(bench):
    drafted = bench.draft()
    for _ in range(2):
        bench.quoted(drafted)
    assert quotes(bench).cursor is None


@pytest.mark.parametrize("wrong", [{"cursor": "x"}, {"cursor": "-1"}, {"limit": 0}, {"limit": 201}])
def test_a_cursor_that_is_none_and_a_page_without_end_are_refused(bench, wrong):
    with pytest.raises(InvalidInput):
        quotes(bench, **wrong)


def test_orders_written_in_the_shop_stand_on_the_first_page_only(bench):
    drafted = bench.draft()
    for _ in range(3):
        bench.booked(drafted)
    first = orders(bench)
    assert first.written == DEMO.orders
    rest = orders(bench, cursor=first.cursor)
    assert rest.written == ()
    assert [b.order.number for b in (*first.bookings, *rest.bookings)] == ["Q1", "Q2", "Q3"]


def test_a_page_of_quotes_takes_as_many_statements_whatever_its_length(bench):
    drafted = bench.draft()
    for _ in range(12):
        bench.quoted(drafted)
    counts = []
    for limit in (1, 10):
        statements = []

        def note(_c, _cursor, statement, *_rest, statements=statements) -> None:
            if statement.startswith("SELECT"):
                statements.append(statement)

        event.listen(bench.engine, "before_cursor_execute", note)
        quotes(bench, limit=limit)
        event.remove(bench.engine, "before_cursor_execute", note)
        counts.append(len(statements))
    # The shop is looked up, then the page is read.
    assert counts == [2, 2]


def test_a_plan_is_current_until_something_is_booked(bench):
    shop = read_booked(bench.units, KEY, bench.written).without()
    plan = make_plan(shop, now=int(NOW.timestamp() // 60), seconds=0.0, seed=1)
    with bench.units.write(KEY) as unit:
        unit.plans.keep(plan, basis=basis_of(unit), run="a run", at=NOW)
        unit.commit()
    assert read_plan(bench.units, KEY).is_current
    bench.booked()
    assert not read_plan(bench.units, KEY).is_current
    assert read_plan(bench.units, KEY, 1).kept.plan == plan


def test_a_shop_without_a_plan_says_so(bench):
    with pytest.raises(Unknown, match="no plan"):
        read_plan(bench.units, KEY)


def test_a_customer_without_a_name_cannot_be_erased(bench):
    with pytest.raises(InvalidInput), bench.units.write(KEY) as unit:
        forget_customer(unit, " ")


def test_a_customers_name_goes_from_all_that_is_kept(either_bench):
    name = DEMO.orders[0].customer
    either_bench.booked(either_bench.draft(replace(WANTED, customer=name)))
    # One revision, one order, one version of the shop.
    assert either_bench.done(forget_customer, name) == 3
    assert either_bench.done(forget_customer, name) == 0
    with either_bench.units.read(KEY) as unit:
        assert unit.quotes.revision(1).customer == unit.bookings.by_number("Q1").order.customer
        assert f'"{name}"' not in unit.shops.now().document
        assert either_bench.written.read(unit.shops.now().document).orders[0].customer == ""
