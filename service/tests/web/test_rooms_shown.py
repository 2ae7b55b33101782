"""The day sheet and an opened task say the room, and when one gears up and cleans down."""

from __future__ import annotations

from datetime import date

import pytest
from house import ROOT

from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.planning.run import make_plan
from mouldwright.scenario.read import read_scenario
from mouldwright.usecases.day_sheet import day_sheet
from mouldwright.usecases.task_facts import task_facts
from mouldwright.web.view_models.board_task import task_view
from mouldwright.web.view_models.day_sheet import day_view


@pytest.fixture(scope="module")
def shed():
    """The wet shed with a plan of it."""
    shop = read_scenario(ROOT / "scenarios" / "wet-shed").shop
    return shop, make_plan(shop, now=minute_of(shop.start), seconds=0.5, seed=1)


def test_the_day_sheet_says_when_to_gear_up_and_clean_down(shed) -> None:
    shop, plan = shed
    first = plan.sessions[0]
    day = local(first.start, plan.zone).date()
    assert day == date(2027, 3, 1)
    sheet = day_sheet(shop, plan, first.person, day)
    view = day_view(shop, plan.zone, sheet, ())
    lines = [line.gap or line.what for line in view.lines]
    starts, ends = (f"{local(minute, plan.zone):%H:%M}" for minute in (first.start, first.end))
    # Geared up for 8 minutes and cleaned down for 12, the wet work between them.
    (up,) = [at for at, line in enumerate(lines) if f"{starts} to" in line and "gear up" in line]
    (down,) = [at for at, line in enumerate(lines) if f"to {ends}: clean down" in line]
    assert "In gloves" in lines[up]
    assert set(lines[up + 1 : down]) == {"Mix", "Pour"}
    assert "in bench room (wet)" in view.lines[up + 1].note


def test_an_opened_task_says_its_room_and_session(shed) -> None:
    shop, plan = shed
    at = next(at for at, task in enumerate(plan.tasks) if task.operation == "mix")
    facts = dict(task_view(shop, plan, task_facts(plan, at)).facts)
    assert facts["Room"] == "Bench room (wet)"
    assert facts["Session"].startswith("In gloves: ")
    dust = next(at for at, task in enumerate(plan.tasks) if task.operation == "sand")
    assert "Session" not in dict(task_view(shop, plan, task_facts(plan, dust)).facts)
