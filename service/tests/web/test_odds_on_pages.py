"""How likely things are, on pages: an order's dates, what a quote may cost, what is at risk."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from promise_bench import KEY, NOW, WANTED
from web_bench import plain

from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.promise.finish_odds import OrderOdds, PlanOdds
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.planning.run import make_plan
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.quotes import draft
from mouldwright.web.words import at_minute, day, moment

START = minute_of(NOW)


def likely(outcome, chance: float, half_after_min: int) -> OrderOdds:
    """Return odds of an order: half so long after what is planned, then two days and three."""
    at = outcome.finish
    return OrderOdds(
        number=outcome.number, planned=at, due=outcome.due, promised=at + 2880,
        promised_chance=0.81, p50=at + half_after_min, p80=at + 2880, p95=at + 4320,
        chance=None if outcome.due is None else chance,
    )  # fmt: skip


def hold_plan(bench, chance: float, half_after_min: int = 1440):
    """Publish a plan whose every order's day is kept with that chance."""
    read = read_booked(bench.units, KEY, bench.written)
    plan = make_plan(read.without(), now=START, seconds=0.0)
    odds = PlanOdds(
        runs=1000, seed=1, level=0.8, limits_passed=(),
        orders=tuple(likely(outcome, chance, half_after_min) for outcome in plan.orders),
    )  # fmt: skip
    kept = replace(plan, odds=odds)
    bench.done(lambda unit: unit.plans.keep(kept, basis=read.basis, run="r", at=NOW))
    return plan


def test_an_orders_sheet_says_how_likely_it_is_by_when(web) -> None:
    hold_plan(web.bench, 0.973)
    words = plain(web.visitor().page(f"/shops/{KEY}/orders/1001"))
    assert "50 times in 100 by" in words
    assert "95 times in 100 by" in words
    assert "Its day, Fri 19 Mar, is kept 97.3 % of the times" in words


def test_an_orders_sheet_says_where_the_planned_day_is_kept_by_fewer_than_half(web) -> None:
    # Half of the runs are ready a day after what is planned, and by another plan the same day.
    hold_plan(web.bench, 0.973)
    sheet = f"/shops/{KEY}/orders/1001"
    assert "is kept fewer than 50 times in 100" in plain(web.visitor().page(sheet))
    hold_plan(web.bench, 0.973, half_after_min=0)
    assert "fewer than 50 times" not in plain(web.visitor().page(sheet))


def test_a_plan_without_odds_says_nothing_of_them(web) -> None:
    read = read_booked(web.bench.units, KEY, web.bench.written)
    plan = make_plan(read.without(), now=START, seconds=0.0)
    web.bench.done(lambda unit: unit.plans.keep(plan, basis=read.basis, run="r", at=NOW))
    assert "times in 100" not in plain(web.visitor().page(f"/shops/{KEY}/orders/1001"))


def test_today_names_an_order_whose_day_is_not_likely_enough(web) -> None:
    hold_plan(web.bench, 0.62)
    words = plain(web.visitor().page(f"/shops/{KEY}/today"))
    assert "kept in 62 of 100 runs of the plan" in words
    hold_plan(web.bench, 0.9)
    assert "runs of the plan" not in plain(web.visitor().page(f"/shops/{KEY}/today"))


@pytest.mark.parametrize("page", ["today", "orders", "board"])
def test_the_likely_day_stands_beside_the_planned_one(web, page) -> None:
    # Two days after what is planned, of every order; both to the minute but on Orders, by day.
    plan = hold_plan(web.bench, 0.9)
    words = plain(web.visitor().page(f"/shops/{KEY}/{page}"))
    say = day if page == "orders" else moment
    for outcome in plan.orders:
        planned = at_minute(outcome.finish, plan.zone)
        both = f"{say(planned)} {say(planned + timedelta(days=2))}"
        assert both in words


def test_where_nobody_went_through_the_plan_a_dash_stands_for_the_likely_day(web) -> None:
    read = read_booked(web.bench.units, KEY, web.bench.written)
    plan = make_plan(read.without(), now=START, seconds=0.0)
    web.bench.done(lambda unit: unit.plans.keep(plan, basis=read.basis, run="r", at=NOW))
    words = plain(web.visitor().page(f"/shops/{KEY}/board"))
    for outcome in plan.orders:
        assert f"{moment(at_minute(outcome.finish, plan.zone))} –" in words


def test_a_quotes_sheet_says_what_it_may_cost_to_the_bench_alone(web) -> None:
    web.bench.quoted()
    words = plain(web.visitor().page(f"/shops/{KEY}/quotes/1"))
    assert "What it may cost" in words
    assert "At this price the order covers its cost in" in words
    # The demo shop says that every attended step may take up to 40 % longer.
    assert "The time of load" in words


def quoted_with(web, p95_min: int) -> str:
    """Return the sheet of a quote ready in a day, 95 times in 100 so many minutes later."""

    def finish(shop, part, process, quantity, now, held=None) -> ReadyBy:
        at = now + 1440
        return ReadyBy.by(
            OrderOdds(
                number="", planned=at, due=None, promised=at, promised_chance=0.8,
                p50=at - 60, p80=at, p95=at + p95_min, chance=None,
            )
        )  # fmt: skip

    drafted = draft(web.bench.units, KEY, WANTED, written=web.bench.written, now=NOW, finish=finish)
    kept = web.bench.quoted(drafted)
    return plain(web.visitor().page(f"/shops/{KEY}/quotes/{kept.number}"))


def test_a_day_that_even_the_last_of_95_in_100_keep_has_one_chance(web) -> None:
    # Asked at 8:00, so that another hour is the same day: 19 in 20 are ready on it.
    words = quoted_with(web, p95_min=60)
    assert "The chance of that day is at least 19 in 20." in words
    assert "4 in 5" not in words
    assert "95 in 100" not in words


def test_a_day_that_fewer_keep_is_told_with_the_day_of_95_in_100(web) -> None:
    words = quoted_with(web, p95_min=1440)
    assert "The chance of that day is 4 in 5; 95 in 100 that it is ready by Wed 3 Mar" in words
