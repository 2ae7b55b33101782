"""Quotes on pages: the list, the sheet, and a quote's whole life."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from urllib.parse import unquote

import pytest
from promise_bench import DEMO, KEY, NOW, WANTED
from web_bench import plain

from mouldwright.domain.promise.booking import order_name
from mouldwright.usecases.kept import Role

HERE = f"/shops/{KEY}/quotes"


def _fields(page: str, action: str) -> dict[str, str]:
    """Return the fields of the form that leads to an action, as the page shows them."""
    form = re.search(rf'<form action="[^"]*{action}" method="post">(.*?)</form>', page, re.S)[1]
    fields = {}
    for field in re.findall(r"<input[^>]*>", form, re.S):
        name, value = (re.search(rf'{key}="([^"]*)"', field) for key in ("name", "value"))
        if name and value and 'type="checkbox"' not in field:
            fields[name[1]] = value[1]
    return fields


def _press(visitor, number: int, action: str, **changed: str):
    page = visitor.page(f"{HERE}/{number}")
    return visitor.post(f"{HERE}/{number}/{action}", _fields(page, action) | changed)


def test_an_empty_list_says_what_to_do_first(web):
    words = plain(web.visitor().page(HERE))
    assert "No quote yet." in words
    assert "Ask an enquiry" in words


def test_a_quotes_sheet_shows_what_was_frozen_to_the_cent(web):
    kept = web.bench.quoted()
    page = web.visitor().page(f"{HERE}/1")
    words, figures = plain(page), kept.figures
    assert "Quote 1" in words
    assert f"12 for €{figures.net:,}" in words
    for value in (figures.net, figures.tax, figures.gross, figures.deposit):
        assert f">{value:,}<" in page
    assert f">{figures.gross - figures.deposit:,}<" in page
    assert "Tern survey club" in words
    assert DEMO.process("pressed").title in words


def test_a_date_past_the_one_wanted_is_marked_late_and_one_before_is_not(web):
    # The stand-in for the planner is ready a week after the first of March.
    for due, late in ((NOW + timedelta(days=3), True), (NOW + timedelta(days=30), False)):
        kept = web.bench.quoted(web.bench.draft(replace(WANTED, due=due)))
        page = web.visitor().page(f"{HERE}/{kept.number}")
        assert ('<span class="mark-word late">late</span>' in page) == late


def test_a_quotes_whole_life_by_buttons(web):
    web.bench.quoted()
    visitor = web.visitor()
    assert "It went to the customer" in visitor.page(f"{HERE}/1")
    assert _press(visitor, 1, "send").headers["location"] == f"{HERE}/1"
    assert web.bench.revision(1).state == "sent"
    assert _press(visitor, 1, "revise", quantity="20", by="2027-04-16").status_code == 303
    second = web.bench.revision(1)
    assert (second.revision, second.state, second.inputs.quantity) == (2, "draft", 20)
    words = plain(visitor.page(f"{HERE}/1"))
    assert "Quantity: was 12, is 20." in words
    _press(visitor, 1, "send")
    accepted = _press(visitor, 1, "accept")
    assert accepted.headers["location"] == f"/shops/{KEY}/orders/{order_name(1)}"
    assert web.bench.booking("Q1").order.quantity == 20
    assert "It became order Q1" in plain(visitor.page(f"{HERE}/1"))
    with web.bench.units.read(KEY) as unit:
        runs = unit.runs.listed()
    assert [run.why for run in runs] == ["quote 1 was accepted"]


def test_accepting_twice_books_once(web):
    web.bench.sent()
    visitor = web.visitor()
    fields = _fields(visitor.page(f"{HERE}/1"), "accept")
    first, again = (visitor.post(f"{HERE}/1/accept", fields) for _ in range(2))
    assert first.headers["location"] == again.headers["location"]
    with web.bench.units.read(KEY) as unit:
        assert len(unit.bookings.open()) == 1


def test_the_acceptance_says_if_the_promise_has_moved(web):
    web.bench.sent()
    web.bench.finish.minutes += 1440
    accepted = _press(web.visitor(), 1, "accept")
    assert "1 day later" in unquote(accepted.headers["set-cookie"])


def test_what_changed_since_it_was_seen_is_left_alone(web):
    web.bench.sent()
    visitor = web.visitor()
    seen = _fields(visitor.page(f"{HERE}/1"), "accept")
    _press(visitor, 1, "revise", quantity="13")
    late = visitor.post(f"{HERE}/1/accept", seen)
    assert late.status_code == 409
    assert "changed meanwhile" in plain(late.text)
    with web.bench.units.read(KEY) as unit:
        assert unit.bookings.by_quote(1) is None


def test_a_quote_past_its_day_is_shown_lapsed_and_cannot_be_accepted(web):
    web.bench.sent()
    web.now += timedelta(days=DEMO.price.valid_days + 1)
    page = web.visitor().page(f"{HERE}/1")
    assert "Lapsed" in plain(page)
    assert "/accept" not in page


def test_declined_stays_readable_and_can_be_revised(web):
    web.bench.sent()
    visitor = web.visitor()
    _press(visitor, 1, "decline")
    page = visitor.page(f"{HERE}/1")
    assert "Declined" in plain(page)
    assert _press(visitor, 1, "revise", quantity="15").status_code == 303
    assert web.bench.revision(1).inputs.quantity == 15


def test_an_earlier_revision_is_shown_as_it_was_and_offers_nothing(web):
    first = web.bench.quoted()
    web.bench.revised(1, quantity=30)
    page = web.visitor().page(f"{HERE}/1?revision=1")
    assert f"12 for €{first.figures.net:,}" in plain(page)
    assert "An earlier revision." in plain(page)
    assert 'method="post">' not in page.split("<main")[1].split("</main>")[0]


@pytest.mark.parametrize("action", ["send", "accept", "decline", "revise"])
def test_a_viewer_reads_and_changes_nothing(web, action):
    web.bench.sent()
    viewer = web.visitor(Role.VIEWER)
    page = viewer.page(f"{HERE}/1")
    assert 'method="post">' not in page.split("<main")[1].split("</main>")[0]
    answer = viewer.post(f"{HERE}/1/{action}", {"seen": "1 sent", "once": "a", "quantity": "2"})
    assert answer.status_code == 403


def test_the_list_is_sifted_by_how_quotes_stand(web):
    drafted = web.bench.draft()
    for _ in range(3):
        web.bench.quoted(drafted)
    web.bench.sent(drafted)
    visitor = web.visitor()
    sent = visitor.page(f"{HERE}?state=sent")
    assert re.findall(r'aria-label="Quote (\d+)"', sent) == ["4"]
    assert re.findall(r'aria-label="Quote (\d+)"', visitor.page(HERE)) == ["4", "3", "2", "1"]
    assert "No quote stands so" in plain(visitor.page(f"{HERE}?state=declined"))


def test_what_is_no_quantity_or_date_is_said(web):
    visitor = web.visitor()
    form = {"part": "stabiliser", "process": "pressed", "once": "k", "quantity": "x"}
    wrong = visitor.post(HERE, form)
    assert wrong.status_code == 422
    assert "that is no whole number" in plain(wrong.text)
    wrong = visitor.post(HERE, form | {"quantity": "3", "by": "soon"})
    assert "that is no date" in plain(wrong.text)
    wrong = visitor.post(HERE, {k: v for k, v in form.items() if k != "once"} | {"quantity": "3"})
    assert "done twice" in plain(wrong.text)


def test_a_quote_of_another_shop_is_not_there(web):
    assert web.visitor().get(f"{HERE}/7").status_code == 404
    assert web.visitor().get(f"{HERE}/x").status_code == 404
