"""Tomorrow and handing over as sheets: with a plan, without one, and reached from the day."""

from __future__ import annotations

import pytest
from promise_bench import KEY, NOW
from web_bench import plain

from mouldwright.planning.run import make_plan
from mouldwright.usecases.booked_shop import read_booked

HERE = f"/shops/{KEY}"


@pytest.fixture
def planned(web):
    bench = web.bench
    read = read_booked(bench.units, KEY, bench.written)
    plan = make_plan(read.without(), now=int(NOW.timestamp() // 60), seconds=0.0, seed=1)
    with bench.units.write(KEY) as unit:
        unit.plans.keep(plan, basis=read.basis, run="a run", at=NOW)
        unit.commit()
    return web


def test_without_a_plan_both_say_what_comes_first(web):
    visitor = web.visitor()
    assert visitor.get(f"{HERE}/tomorrow").status_code == 200
    assert "No plan holds yet" in plain(visitor.page(f"{HERE}/handover"))


def test_tomorrow_is_told_in_order_with_the_grams_of_each_mix(planned):
    page = planned.visitor().page(f"{HERE}/tomorrow")
    words = plain(page)
    headings = ["Demould", "Condition moulds", "Mix", "Load", "Besides"]
    places = [page.find(f">{heading}</h2>") for heading in headings]
    assert places == sorted(places)
    assert places[0] > 0
    assert "In the cup" in words
    assert "Skin sensitiser" in words


def test_the_day_before_and_after_are_a_press_away(planned):
    visitor = planned.visitor()
    page = visitor.page(f"{HERE}/tomorrow?day=2027-03-02")
    assert f"{HERE}/tomorrow?day=2027-03-01" in page
    assert "Nothing is booked for this day" in visitor.page(f"{HERE}/tomorrow?day=2027-03-07")
    assert visitor.get(f"{HERE}/tomorrow?day=someday").status_code == 422


def test_today_and_the_day_sheet_lead_there(planned):
    visitor = planned.visitor()
    assert f'href="{HERE}/handover"' in visitor.page(f"{HERE}/today")
    assert f'href="{HERE}/tomorrow"' in visitor.page(f"{HERE}/day")
    assert f'href="{HERE}/papers/day-sheet.pdf?person=ines' in visitor.page(f"{HERE}/day")
