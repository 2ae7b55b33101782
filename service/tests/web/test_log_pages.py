"""The log's sheet: what happened by day, noted in forms, taken back and put back by a press."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from promise_bench import DEMO, KEY
from web_bench import plain

from mouldwright.domain.record.log import Happening
from mouldwright.usecases.kept import Role
from mouldwright.web.log_forms import FORMS

LOG = f"/shops/{KEY}/log"
_ONCE = re.compile(r'name="once" value="([^"]+)"')
# What each form is filled in with, and what must then be in the log.
FILLED = {
    "begun": {
        "order": "1001", "pulls": "2", "work": "pressed|stabiliser|load",
        "mould": "stabiliser-pressed 4", "people": "tomas",
    },
    "done": {"order": "1001", "pulls": "2", "work": "pressed|stabiliser|load", "people": "ines"},
    "scrapped": {"order": "1001", "pulls": "3, 4", "cause": "void"},
    "second": {"order": "1001", "parts": "7"},
    "reworked": {"order": "1001", "parts": "7 8", "work": "pressed|stabiliser|trim"},
    "stopped": {
        "order": "1001", "pulls": "3", "work": "pressed|stabiliser|cure",
        "mould": "stabiliser-pressed 1", "cause": "the cure failed",
    },
    "mould-lost": {"mould": "stabiliser-pressed 1", "cause": "dropped"},
    "mould-retired": {"mould": "stabiliser-pressed 2"},
    "counted": {"material": "epoxy-resin", "amount": "812,5"},
    "received": {
        "material": "epoxy-resin", "amount": "1000", "lot": "27-3", "best_before": "2028-03-01",
        "paid": "41.90",
    },
    "late": {"material": "epoxy-resin", "until": "2027-03-05T09:00"},
    "away": {"people": "ines", "until": "2027-03-02T09:00", "cause": "ill"},
    "weighed": {"order": "1001", "parts": "7", "mass_g": "31.42"},
    "cup": {"material": "fast-resin", "mass_g": "4,5"},
    "returned": {"order": "1001", "parts": "7", "hours_used": "12", "cause": "crash"},
}  # fmt: skip


@pytest.fixture
def hands(web):
    return web.visitor(Role.BENCH)


def logged(web):
    with web.bench.units.read(KEY) as unit:
        return unit.log.all()


def note(visitor, kind, **given):
    (once,) = _ONCE.findall(visitor.page(f"{LOG}/note/{kind}"))
    return visitor.post(f"{LOG}/note/{kind}", {"once": once, **given})


def test_an_empty_log_says_what_to_do(web) -> None:
    assert "Nothing was noted yet." in plain(web.visitor(Role.VIEWER).page(LOG))


def test_every_form_is_chosen_from_one_sheet(hands) -> None:
    page = hands.page(f"{LOG}/note")
    assert set(FILLED) == {form.key for form in FORMS}
    for form in FORMS:
        assert f'href="{LOG}/note/{form.key}"' in page


@pytest.mark.parametrize("kind", FILLED)
def test_each_happening_is_noted_by_its_form(web, hands, kind) -> None:
    went = note(hands, kind, **FILLED[kind])
    assert went.status_code == 303, plain(went.text)
    assert went.headers["location"] == LOG
    (entry,) = logged(web)
    given = FILLED[kind]
    assert entry.what.value == next(form.what for form in FORMS if form.key == kind)
    assert entry.cause == given.get("cause", "")
    members = entry.members or (entry.task.members if entry.task else ())
    assert [m.order for m in members] == ([given["order"]] if "order" in given else [])
    assert entry.noted_by == "a test"
    page = plain(hands.page(LOG))
    assert "Monday 1 March 2027" in page
    assert "Entry 1" in page


def test_figures_and_steps_come_through_exactly(web, hands) -> None:
    note(hands, "counted", **FILLED["counted"])
    note(hands, "stopped", **FILLED["stopped"])
    counted, stopped = logged(web)
    assert counted.amount == Decimal("812.5")
    assert stopped.task is not None
    assert (stopped.task.operation, stopped.task.mould) == ("cure", "stabiliser-pressed 1")
    assert stopped.task.members[0].pulls == (3,)


@pytest.mark.parametrize(
    ("kind", "given", "said"),
    [
        ("scrapped", {"order": "1001", "pulls": "three"}, "these are no numbers."),
        ("scrapped", {"pulls": "3"}, "no order is chosen."),
        ("scrapped", {"order": "1001"}, "it names no pull and no part of order 1001."),
        ("scrapped", {"order": "1001", "pulls": "900"}, "has no more than"),
        ("counted", {"material": "epoxy-resin", "amount": "much"}, "this is no number."),
        ("counted", {"amount": "12"}, "Add the key of the material."),
        ("away", {"people": "ines", "until": "2027-02-01T09:00"}, "Write a later time."),
        ("mould-lost", {"mould": "stabiliser-pressed 1", "at": "2027-06-01T09:00"}, "lies ahead"),
    ],
)
def test_a_fault_stands_beside_its_field_and_what_was_filled_in_stays(
    web, hands, kind, given, said
) -> None:
    answer = note(hands, kind, **given)
    assert answer.status_code == 422
    assert said in plain(answer.text)
    assert 'class="fault"' in answer.text
    for value in given.values():
        assert value in answer.text
    assert logged(web) == ()


def test_what_clashes_is_said_with_the_entry_it_clashes_with(web, hands) -> None:
    note(hands, "mould-lost", mould="stabiliser-pressed 1")
    again = note(hands, "mould-lost", mould="stabiliser-pressed 1")
    assert again.status_code == 409
    assert "was lost on 2027-03-01 at 08:00 already (entry 1)" in plain(again.text)


def test_work_on_another_mould_by_other_hands_than_planned_is_told_so(web, hands) -> None:
    note(hands, "begun", **FILLED["begun"])
    (entry,) = logged(web)
    assert entry.task is not None
    assert (entry.task.mould, entry.people) == ("stabiliser-pressed 4", ("tomas",))
    assert "Load begun" in plain(hands.page(LOG))


def test_a_form_sent_twice_notes_once(web, hands) -> None:
    (once,) = _ONCE.findall(hands.page(f"{LOG}/note/away"))
    form = {"once": once, **FILLED["away"]}
    for _ in range(2):
        assert hands.post(f"{LOG}/note/away", form).status_code == 303
    assert len(logged(web)) == 1


def test_one_press_takes_an_entry_back_and_one_puts_it_back(web, hands) -> None:
    note(hands, "away", **FILLED["away"])

    def press():
        page = hands.page(LOG)
        (path,) = re.findall(r'action="([^"]+/take-back)"', page)
        (once,) = _ONCE.findall(page)
        assert hands.post(path, {"once": once}).status_code == 303
        return plain(hands.page(LOG))

    assert "Taken back by entry 2." in press()
    assert 'id="entry-1" data-gone' in hands.page(LOG)
    assert 'id="entry-1" data-gone' not in press() + hands.page(LOG)
    assert [e.what for e in logged(web)] == [
        Happening.PERSON_AWAY, Happening.TAKEN_BACK, Happening.TAKEN_BACK,
    ]  # fmt: skip


def test_entries_are_found_and_linked_from_their_order(web, hands) -> None:
    note(hands, "scrapped", **FILLED["scrapped"])
    note(hands, "mould-lost", **FILLED["mould-lost"])
    found = hands.page(f"{LOG}?order=1001")
    assert "pulls 3, 4" in plain(found)
    assert re.findall(r'id="entry-(\d+)"', found) == ["1"]
    assert "Nothing of that was noted." in plain(hands.page(f"{LOG}?day=2027-02-01"))
    assert f'href="{LOG}?order=1001"' in hands.page(f"/shops/{KEY}/orders/1001")


def test_who_only_looks_notes_nothing(web) -> None:
    viewer = web.visitor(Role.VIEWER)
    assert viewer.get(f"{LOG}/note/away").status_code == 403
    assert viewer.post(f"{LOG}/note/away", {"once": "x"}).status_code == 403
    assert "Note something" not in plain(viewer.page(LOG))
    assert DEMO.people
