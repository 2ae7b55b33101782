"""The customer's page of one quote, and the links the bench makes to it."""

from __future__ import annotations

import html
import logging
import re
from dataclasses import replace
from datetime import timedelta
from decimal import ROUND_HALF_UP, Decimal
from itertools import pairwise

import pytest
from promise_bench import DEMO, KEY, WANTED
from web_bench import plain

from mouldwright.domain.quote import for_who_uses_it
from mouldwright.usecases.kept import Role
from mouldwright.usecases.session import COOKIE

HERE = f"/shops/{KEY}/quotes"


def made(web, number=1, *, days="30", may_answer="yes", once="a-key"):
    """Return the path of a new link, as the page shows it once."""
    form = {"days": days, "once": once} | ({"may_answer": may_answer} if may_answer else {})
    answer = web.visitor(Role.PLANNER).post(f"{HERE}/{number}/links", form)
    assert answer.status_code == 200, answer.text
    assert answer.headers["cache-control"] == "no-store"
    return re.search(r'value="http://testserver(/q/[^"]+)"', answer.text)[1]


def opened(web, path):
    answer = web.client.get(path)
    assert answer.status_code == 200, answer.text
    return answer.text


def accept(web, path, **changed):
    form = {"answer": "accepted", "sure": "yes", "revision": "1"} | changed
    return web.client.post(path, data=form)


def test_the_page_shows_the_offer_to_the_cent_with_its_cautions(web):
    kept = web.bench.sent()
    words, figures = plain(opened(web, made(web))), kept.figures
    for value in (figures.net, figures.tax, figures.gross, figures.deposit):
        assert f"{value:,}" in words
    assert f"12 for €{figures.net:,}" in words
    assert "For Tern survey club" in words
    assert DEMO.part("stabiliser").title in words
    assert "Ready " in words
    import json

    document = json.loads(kept.document)
    for_them = for_who_uses_it(document["cautions"])
    assert for_them
    for said in document["cautions"]:
        assert (re.sub(r"\s+", " ", said) in words) == (said in for_them)
    for each in document["breaks"]:
        assert f"{float(each['price_each']):,.2f}" in words


def test_the_page_says_nothing_that_is_the_benchs_own(web):
    """Another quote, costs, notes and other shops' names must not be found in its source."""
    web.bench.quoted(web.bench.draft(replace(WANTED, customer="Another club", quantity=77)))
    kept = web.bench.sent()
    page = html.unescape(opened(web, made(web, kept.number)))
    import json

    document = json.loads(kept.document)
    assert "Another club" not in page
    assert "77 " not in plain(page)
    assert f"{kept.figures.unit_cost:,}" not in page
    offered = {line["amount"] for line in document["lines"]}
    costs = {f"{float(line['amount']):,.2f}" for line in document["cost_lines"]} - offered
    assert len(costs) > 3
    assert not [cost for cost in costs if f">{cost}<" in page]
    for note in document["notes"]:
        assert note not in page
    for word in ("Where the cost", "For the bench only", "begun for", f"/shops/{KEY}", "version "):
        assert word not in page
    assert "Sign out" not in page


def test_its_address_goes_to_nobody_and_into_no_cache_or_search(web, caplog):
    web.bench.sent()
    path = made(web)
    with caplog.at_level(logging.DEBUG):
        for answer in (web.client.get(path), accept(web, path), web.client.get("/q/nothing")):
            assert answer.headers["referrer-policy"] == "no-referrer"
            assert answer.headers["cache-control"] == "no-store"
            assert "noindex" in answer.headers["x-robots-tag"]
            assert "set-cookie" not in answer.headers
    assert path.removeprefix("/q/") not in "".join(
        record.getMessage() for record in caplog.records if record.name.startswith("mouldwright")
    )
    page = opened(web, path)
    assert '<meta name="robots" content="noindex, nofollow">' in page


def test_every_link_that_opens_nothing_says_the_same(web):
    web.bench.sent()
    gone, late = made(web, once="one"), made(web, once="two", days="2")
    page = web.visitor(Role.PLANNER).page(f"{HERE}/1")
    form = re.findall(rf'action="({HERE}/1/links/[^"]+/withdraw)"', page)
    # The newest stands first.
    web.visitor(Role.PLANNER).post(form[1])
    web.now += timedelta(days=3)
    answers = [web.client.get(path) for path in (gone, late, "/q/never-was")]
    assert {answer.status_code for answer in answers} == {404}
    assert len({answer.text for answer in answers}) == 1
    assert [accept(web, path).status_code for path in (gone, late)] == [404, 404]
    assert web.bench.revision(1).state == "sent"


def test_accepting_books_once_and_the_page_says_so(web):
    web.bench.sent()
    path = made(web)
    for _ in range(2):
        answer = accept(web, path)
        assert (answer.status_code, answer.headers["location"]) == (303, path)
    with web.bench.units.read(KEY) as unit:
        assert len(unit.bookings.open()) == 1
    page = opened(web, path)
    assert "accepted and booked as order Q1" in plain(page)
    assert "Accept and order" not in page
    assert "accepted" in plain(web.visitor().page(f"{HERE}/1"))


def test_a_day_that_has_moved_is_said_at_once(web):
    web.bench.sent()
    web.bench.finish.minutes += 1440
    path = made(web)
    accept(web, path)
    words = plain(opened(web, path))
    assert "It was promised for" in words
    assert "We will tell you." in words


def test_nothing_is_ordered_without_the_tick(web):
    web.bench.sent()
    path = made(web)
    answer = accept(web, path, sure="")
    assert answer.status_code == 422
    assert "Tick that you have read the cautions" in plain(answer.text)
    assert web.bench.revision(1).state == "sent"


@pytest.mark.parametrize("changed", [{"answer": ""}, {"answer": "lapsed"}, {"revision": "x"}])
def test_what_is_no_answer_changes_nothing(web, changed):
    web.bench.sent()
    assert accept(web, made(web), **changed).status_code == 422
    assert web.bench.revision(1).state == "sent"


def test_declining_is_noted_and_said(web):
    web.bench.sent()
    path = made(web)
    assert accept(web, path, answer="declined", sure="").status_code == 303
    assert web.bench.revision(1).state == "declined"
    assert "It was declined" in plain(opened(web, path))


def test_what_changed_since_it_was_opened_is_shown_as_it_stands(web):
    web.bench.sent()
    path = made(web)
    web.bench.revised(1, quantity=20)
    answer = accept(web, path)
    assert answer.status_code == 409
    assert "The offer is being worked on" in plain(answer.text)
    with web.bench.units.read(KEY) as unit:
        assert unit.bookings.by_quote(1) is None


def test_a_draft_is_not_shown(web):
    kept = web.bench.quoted()
    page = opened(web, made(web))
    assert "The offer is being worked on" in plain(page)
    assert f"{kept.figures.net:,}" not in page


def test_by_a_link_to_look_at_nothing_can_be_answered(web):
    web.bench.sent()
    path = made(web, may_answer="")
    assert "Accept and order" not in opened(web, path)
    assert accept(web, path).status_code == 404
    assert web.bench.revision(1).state == "sent"


def test_a_link_sent_for_twice_is_made_once_and_shown_once(web):
    web.bench.sent()
    made(web, once="the same")
    visitor = web.visitor(Role.PLANNER)
    form = {"days": "9", "may_answer": "yes", "once": "mine"}
    first, again = (visitor.post(f"{HERE}/1/links", form) for _ in range(2))
    assert "/q/" in first.text
    assert "/q/" not in again.text
    assert "Shown before." in plain(again.text)
    with web.bench.units.read(KEY) as unit:
        assert len(unit.links.listed(1)) == 2


@pytest.mark.parametrize("role", [Role.VIEWER, Role.BENCH])
def test_only_who_plans_makes_links_and_sees_them(web, role):
    web.bench.sent()
    visitor = web.visitor(role)
    assert "Links for the customer" not in visitor.page(f"{HERE}/1")
    form = {"days": "9", "once": "mine"}
    assert visitor.post(f"{HERE}/1/links", form).status_code == 403


def test_the_secret_signs_nobody_in(web):
    web.bench.sent()
    secret = made(web).removeprefix("/q/")
    signed = {"cookie": f"{COOKIE}={secret}"}
    assert web.client.get(f"/shops/{KEY}/quotes/1", headers=signed).status_code == 401
    assert web.client.post("/sign-in", data={"token": secret}).status_code == 401
    assert web.client.post("/sign-in", data={"code": secret}).status_code == 401


def test_an_erased_customer_is_not_named_there_either(web):
    from mouldwright.usecases.promises import erase_customer

    web.bench.sent()
    path = made(web)
    erase_customer(web.services, KEY, "Tern survey club")
    page = opened(web, path)
    assert "Tern survey club" not in page
    assert "12 for €" in plain(page)


def test_the_customer_saves_the_offer_on_paper_and_nothing_of_the_bench_with_it(web):
    web.bench.sent()
    path = made(web)
    assert f'action="{path}/pdf"' in opened(web, path)
    answer = web.client.get(f"{path}/pdf?language=fr")
    assert answer.content.startswith(b"%PDF-")
    assert answer.headers["cache-control"] == "no-store"
    assert web.client.get("/q/not-a-secret/pdf").status_code == 404


def test_the_offer_says_who_makes_it_and_at_which_rate_it_is_taxed(web):
    web.bench.change_shop(
        address=("3 Quay Lane", "Reedhaven"),
        contact=("hello@reeds.example",),
        tax_number="XX 123",
        price=replace(DEMO.price, tax_rate=Decimal("0.21")),
    )
    kept = web.bench.sent()
    page = opened(web, made(web))
    address = re.search(r"<address>(.*?)</address>", page, re.S)[1]
    assert [plain(line) for line in address.split("<br>")] == [
        DEMO.name,
        "3 Quay Lane",
        "Reedhaven",
        "hello@reeds.example",
        "Tax number XX 123",
    ]
    # 21 % of the net, to the cent.
    tax = (kept.figures.net * Decimal("0.21")).quantize(Decimal("0.01"), ROUND_HALF_UP)
    assert f"Tax, 21 % {tax:,}" in plain(page)


def test_a_price_that_rises_with_the_quantity_or_is_topped_up_is_explained(web):
    # One alone comes to less than 60.00 and is topped up; five are begun with a spare.
    web.bench.change_shop(price=replace(DEMO.price, least_order=Decimal(60)))
    web.bench.sent()
    words = plain(opened(web, made(web)))
    assert "An order of less than €60.00 before tax is topped up to it." in words
    kept = web.bench.revision(1)
    import json

    each = [Decimal(b["price_each"]) for b in json.loads(kept.document)["breaks"]]
    assert any(later > earlier for earlier, later in pairwise(each)), each
    assert "A few more pieces can cost more each" in words


def test_printing_is_a_button_of_a_script_and_nothing_is_written_into_the_page(web):
    web.bench.sent()
    page = opened(web, made(web))
    assert re.search(r"<button[^>]*data-print hidden>", page)
    assert "onclick" not in page
    assert re.search(r'<script type="module" src="[^"]*print[^"]*\.js"></script>', page)
