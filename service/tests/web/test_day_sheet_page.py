"""The day sheet: whose day, which day, what stands on the scale."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from promise_bench import DEMO, KEY, NOW, PromiseBench
from web_bench import plain

from mouldwright.domain.hours.opening import minute_of
from mouldwright.planning.run import make_plan
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.day_sheet import day_sheet
from mouldwright.usecases.kept import Role
from mouldwright.usecases.kept_run import KeptPlan

DAY = f"/shops/{KEY}/day"


@pytest.fixture
def held(bench: PromiseBench) -> KeptPlan:
    read = read_booked(bench.units, KEY, bench.written)
    plan = make_plan(read.without(), now=minute_of(NOW), seconds=0.0)
    return bench.done(lambda unit: unit.plans.keep(plan, basis=read.basis, run="r", at=NOW))


def test_without_a_plan_it_says_where_one_is_made(web) -> None:
    page = web.visitor().page(DAY)
    assert "No plan yet" in plain(page)
    assert f'href="/shops/{KEY}/board"' in page


def test_it_shows_the_first_persons_today_and_goes_to_other_days_and_people(web, held) -> None:
    visitor = web.visitor(Role.VIEWER)
    page = visitor.page(DAY)
    assert "Inês, Monday 1 March 2027" in plain(page)
    assert "08:30 to 12:30, 13:15 to 17:15" in plain(page)
    assert "?person=ines&amp;day=2027-02-28" in page
    assert "?person=ines&amp;day=2027-03-02" in page
    assert "?person=tomas&amp;day=2027-03-01" in page
    assert "Tomás, Tuesday 2 March 2027" in plain(
        visitor.page(f"{DAY}?person=tomas&day=2027-03-02")
    )


def test_every_minute_of_a_persons_day_is_on_their_sheet(held) -> None:
    plan = held.plan
    for person in DEMO.people:
        booked = sum(b - a for t in plan.tasks if person in t.people for a, b in t.spans)
        shown, day = 0, date(2027, 3, 1)
        while day is not None:
            sheet = day_sheet(DEMO, plan, person, day)
            for step in sheet.steps:
                for each in step.tasks:
                    spans = each.task.spans
                    shown += sum(max(0, min(b, each.end) - max(a, each.start)) for a, b in spans)
            day = sheet.next_day
        assert shown == booked


def test_what_is_mixed_adds_up_on_its_card_and_fibre_is_weighed_for_each_pull(held) -> None:
    mixes = []
    for day in (1, 2, 3, 4):
        sheet = day_sheet(DEMO, held.plan, "ines", date(2027, 3, day))
        mixes += [each for step in sheet.steps for each in step.tasks if each.mix]
    assert mixes
    for each in mixes:
        assert sum(each.mix.components_g.values()) == each.mix.total_g
        assert each.use_by > each.task.end
    pressed = [each for each in mixes if each.task.process == "pressed"]
    # By hand: epoxy is 100 : 30 by mass, so the resin is 100/130 of what is in the cup, to
    # within a step of the scale.
    for each in pressed:
        resin = float(each.mix.components_g["epoxy-resin"])
        assert abs(resin - float(each.mix.total_g) * 100 / 130) <= 0.1
        assert [weighed.material for weighed in each.weighed] == ["chopped-carbon"]
        assert each.weighed[0].pulls == len(each.task.members[0].pulls)


def test_a_scale_too_coarse_for_a_mix_is_said_beside_its_card(held) -> None:
    # A mix of the demo is at least 60 g, 14 or more of them hardener: 0.1 g is little on that,
    # and 5 g is too much on what is poured at most, 92 g of hardener.
    coarse = replace(DEMO, scale_step_g=Decimal(5))
    for shop, is_said in ((DEMO, False), (coarse, True)):
        sheet = day_sheet(shop, held.plan, "ines", date(2027, 3, 1))
        mixes = [each for step in sheet.steps for each in step.tasks if each.mix]
        assert mixes
        for each in mixes:
            assert any("A step of 5 g on the scale" in words for words in each.cautions) == is_said
        assert any("finer scale" in words for words in sheet.cautions) == is_said


def test_like_tasks_in_a_row_are_one_line_and_none_is_lost(held) -> None:
    sheet = day_sheet(DEMO, held.plan, "ines", date(2027, 3, 1))
    tasks = [each.place for step in sheet.steps for each in step.tasks]
    assert len(tasks) == len(set(tasks))
    assert len(sheet.steps) < len(tasks)
    for step in sheet.steps:
        assert len({each.task.operation for each in step.tasks}) == 1


def test_a_day_with_nothing_says_so_and_an_odd_day_or_stranger_is_refused(web, held) -> None:
    visitor = web.visitor()
    assert "Nothing is booked for Inês" in plain(visitor.page(f"{DAY}?person=ines&day=2030-01-01"))
    assert visitor.get(f"{DAY}?day=tomorrow").status_code == 422
    assert visitor.get(f"{DAY}?day=9999-12-31").status_code == 422
    assert visitor.get(f"{DAY}?person=eve").status_code == 404


def test_cautions_stand_in_sentences_at_its_head(web, held) -> None:
    words = plain(web.visitor().page(f"{DAY}?person=ines&day=2027-03-01"))
    assert "Isocyanate: ventilate" in words


def test_everyones_day_stands_on_one_sheet_with_a_page_for_each(web, held) -> None:
    page = web.visitor(Role.VIEWER).page(f"{DAY}?person=every+one&day=2027-03-02")
    assert page.count('class="one-page"') == 2
    assert page.count("Tuesday 2 March 2027</h2>") == 2
    alone = web.visitor(Role.VIEWER).page(f"{DAY}?person=ines&day=2027-03-02")
    assert "?person=every+one&amp;day=2027-03-02" in alone
    assert 'class="one-page"' not in alone


def test_what_is_left_running_and_what_more_tomorrow_holds_are_said(web, held) -> None:
    sheet = day_sheet(DEMO, held.plan, "ines", date(2027, 3, 1))
    page = plain(web.visitor().page(f"{DAY}?person=ines&day=2027-03-01"))
    assert "Left running as the last one goes, 17:15" in page
    assert sheet.next_more > 0
    assert f"first of {5 + sheet.next_more} steps" in page
    assert f"and {sheet.next_more} more" in page
