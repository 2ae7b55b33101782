"""Ticks on the day sheet: one press begun, one press done, and both undone."""

from __future__ import annotations

import itertools
import re
from datetime import datetime, timedelta

import pytest
from promise_bench import KEY, NOW
from test_day_sheet_page import DAY, held
from web_bench import plain

from mouldwright.usecases.kept import Role

__all__ = ["held"]
_FORM = re.compile(r'<form method="post" action="[^"]*/day/(tick|untick)".*?</form>', re.S)
_FIELD = re.compile(r'<input type="hidden" name="([^"]+)" value="([^"]*)"')


def forms(page: str, verb: str) -> list[dict[str, str]]:
    """Return the hidden fields of every form of a verb, in the order of the page."""
    return [dict(_FIELD.findall(f.group())) for f in _FORM.finditer(page) if f.group(1) == verb]


def logged(web):
    with web.bench.units.read(KEY) as unit:
        return unit.log.all()


@pytest.fixture
def hands(web, held):
    return web.visitor(Role.BENCH)


def press(visitor, form, what, **more):
    return visitor.post(f"{DAY}/tick", {**form, "what": what, **more})


def test_one_press_begins_a_line_and_one_ends_it(web, hands):
    first = forms(hands.page(DAY), "tick")[0]
    went = press(hands, first, "started")
    assert went.status_code == 303
    assert went.headers["location"] == f"{DAY}?person=ines&day=2027-03-01"
    page = hands.page(DAY)
    assert 'class="step" data-state="begun"' in page
    assert "Begun 08:00" in plain(page)
    web.now += timedelta(minutes=9)
    press(hands, forms(page, "tick")[0], "finished")
    page = hands.page(DAY)
    assert 'class="step" data-state="done"' in page
    assert "Done 08:09" in plain(page)
    assert {entry.what.value for entry in logged(web)} == {"started", "finished"}
    assert all(entry.people for entry in logged(web))


def test_a_press_sent_twice_notes_once(web, hands):
    form = {**forms(hands.page(DAY), "tick")[0], "said": "phone 1"}
    press(hands, form, "finished")
    before = logged(web)
    assert press(hands, form, "finished").status_code == 303
    # The answer was lost and the phone was signed in anew meanwhile: another key, the same name.
    again = press(hands, {**form, "once": "another"}, "finished")
    assert again.status_code == 303
    assert logged(web) == before


def test_a_line_of_several_tasks_ends_them_one_after_the_other(web, hands, held):
    tasks = held.plan.tasks
    form = next(f for f in forms(hands.page(DAY), "tick") if "," in f["places"])
    places = [int(place) for place in form["places"].split(",")]
    at = NOW + timedelta(hours=4)
    web.now = at
    press(hands, form, "finished")
    entries = logged(web)
    assert [e.task.members[0].pulls for e in entries] == [tasks[p].members[0].pulls for p in places]
    ends = [entry.at for entry in entries]
    assert ends[-1] == at
    # Nobody did two at once: between two ends lies the planned length of the later.
    for place, (one, other) in zip(places[1:], itertools.pairwise(ends), strict=True):
        assert other - one == timedelta(minutes=tasks[place].end - tasks[place].start)


def test_a_press_told_later_stands_at_the_time_it_was_made(web, hands):
    form = forms(hands.page(DAY), "tick")[0]
    made = NOW + timedelta(minutes=3)
    web.now += timedelta(minutes=30)
    press(hands, form, "started", at=made.isoformat(), said="phone 2")
    (entry,) = logged(web)
    assert (entry.at, entry.noted_at) == (made, web.now)
    assert isinstance(entry.at, datetime)


def test_undoing_takes_back_the_end_and_then_the_start(web, hands):
    press(hands, forms(hands.page(DAY), "tick")[0], "started")
    web.now += timedelta(minutes=9)
    press(hands, forms(hands.page(DAY), "tick")[0], "finished")

    def undo():
        form = forms(hands.page(DAY), "untick")[0]
        assert hands.post(f"{DAY}/untick", form).status_code == 303
        return hands.page(DAY)

    assert 'data-state="done"' not in (page := undo())
    assert "Begun 08:00" in plain(page)
    assert "data-state" not in undo()
    assert [e.what.value for e in logged(web)][-1] == "taken back"


def test_a_script_is_told_in_json_why_a_press_was_refused(web, hands):
    form = forms(hands.page(DAY), "tick")[0]
    press(hands, form, "started")
    headers = {"cookie": f"mouldwright_session={hands.secret}", "accept": "application/json"}
    again = web.client.post(
        f"{DAY}/tick",
        data={**form, "what": "started", "once": "b", "said": "phone 3"},
        headers={**hands._headers(), "accept": headers["accept"]},
    )
    assert again.status_code == 409
    assert "already (entry 1)" in again.json()["said"]
    wrong = web.client.post(
        f"{DAY}/tick",
        data={**form, "what": "started", "once": "c", "places": "99999"},
        headers={**hands._headers(), "accept": headers["accept"]},
    )
    assert wrong.status_code == 409
    assert "no such tasks" in wrong.json()["said"]


def test_who_only_looks_sees_how_it_stands_and_has_nothing_to_press(web, hands):
    press(hands, forms(hands.page(DAY), "tick")[0], "started")
    viewer = web.visitor(Role.VIEWER)
    page = viewer.page(DAY)
    assert "Begun 08:00" in plain(page)
    assert forms(page, "tick") == []
    assert press(viewer, {"places": "0"}, "started").status_code == 403


def test_the_plan_is_taken_as_kept_until_something_is_logged(web, hands):
    today, over = (f"/shops/{KEY}/today", f"/shops/{KEY}/handover")
    assert "Nothing is ticked off yet: the plan is taken as kept." in plain(hands.page(today))
    assert "taken as kept" in plain(hands.page(over))
    press(hands, forms(hands.page(DAY), "tick")[0], "started")
    for page in (today, over):
        assert "taken as kept" not in plain(hands.page(page))
    assert "what is not ticked off counts as not begun" in plain(hands.page(today))
    assert "as the log tells it went" in plain(hands.page(over))
