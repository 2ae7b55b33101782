"""Today: the sheet a shop opens at."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from promise_bench import DEMO, KEY, NOW, PromiseBench
from web_bench import plain

from mouldwright.domain.hours.opening import minute_of
from mouldwright.planning.run import make_plan
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.kept import Role

TODAY = f"/shops/{KEY}/today"


def plan_held(bench: PromiseBench) -> None:
    read = read_booked(bench.units, KEY, bench.written)
    plan = make_plan(read.without(), now=minute_of(NOW), seconds=0.0)
    bench.done(lambda unit: unit.plans.keep(plan, basis=read.basis, run="r", at=NOW))


def test_a_shop_opens_at_today(web) -> None:
    answer = web.visitor(Role.VIEWER).get(f"/shops/{KEY}")
    assert (answer.status_code, answer.headers["location"]) == (303, TODAY)


def test_without_a_plan_it_leads_to_the_board(web) -> None:
    page = web.visitor(Role.VIEWER).page(TODAY)
    assert "6 open orders, and no plan yet." in plain(page)
    assert f'href="/shops/{KEY}/board"' in page
    assert "1003" in plain(page)


def test_a_shop_with_nothing_booked_says_what_to_do_first(web, bench) -> None:
    bench.change_shop(orders=())
    page = web.visitor().page(TODAY)
    assert "Nothing is booked yet." in plain(page)
    assert f'href="/shops/{KEY}/enquiry">To an enquiry' in page


def test_by_a_plan_it_names_each_persons_day_and_what_is_left_curing(web, bench) -> None:
    plan_held(bench)
    page = web.visitor(Role.VIEWER).page(TODAY)
    assert "Monday 1 March 2027" in plain(page)
    assert f'href="/shops/{KEY}/day?person=ines&amp;day=2027-03-01"' in page
    assert "Left running as the last one goes, 17:15" in plain(page)
    assert f'href="/shops/{KEY}/board/1/tasks/t' in page


def test_an_order_that_is_late_leads_to_its_sheet(web, bench) -> None:
    first = replace(DEMO.orders[0], due=NOW + timedelta(hours=2))
    bench.change_shop(orders=(first, *DEMO.orders[1:]))
    plan_held(bench)
    page = web.visitor().page(TODAY)
    assert f"Order {first.number} is ready" in plain(page)
    assert f'href="/shops/{KEY}/orders/{first.number}">Open order {first.number}' in page


def test_a_plan_older_than_the_shop_asks_for_another(web, bench) -> None:
    plan_held(bench)
    bench.change_shop(name="The other bench")
    page = plain(web.visitor().page(TODAY))
    assert "The plan is out of date" in page
    assert "plan 1, out of date" in page


def test_a_quote_about_to_lapse_is_named(web, bench) -> None:
    sent = bench.sent()
    days = (sent.figures.valid_until - NOW.date()).days
    web.now = NOW + timedelta(days=days - 1)
    page = web.visitor().page(TODAY)
    assert f"Quote {sent.number} to Tern survey club lapses tomorrow" in plain(page)
    assert f'href="/shops/{KEY}/quotes/{sent.number}"' in page


def test_a_mould_that_wears_out_leads_to_its_own_sheet(web, bench) -> None:
    family = DEMO.moulds["stabiliser-pressed"]
    first, *others = family.moulds
    worn = replace(first, pulls=29)
    held = replace(family, moulds=(worn, *others), life_pulls=30)
    bench.change_shop(moulds={**DEMO.moulds, family.key: held})
    visitor = web.visitor()
    page = visitor.page(TODAY)
    there = f"/shops/{KEY}/moulds/stabiliser-pressed%20{first.number}"
    assert f'href="{there}">Open the mould' in page
    assert "stabiliser" in plain(visitor.page(there))
