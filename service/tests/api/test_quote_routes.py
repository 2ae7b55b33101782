"""Quotes over HTTP: made once, frozen in revisions, moved only by who read how they stand."""

from __future__ import annotations

import json
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import date

import pytest
from quoting import ASKED, ORDERS, QUOTES, RUNS, made, match, moved, sent
from service_bench import SHOP, START, if_match, once, problem_of

from mouldwright.bootstrap import make_app
from mouldwright.cli.quote import quote as quote_command
from mouldwright.domain.errors import HardLimit


@pytest.fixture
def planner(served):
    return served.client("planner")


def test_a_quote_is_kept_as_the_command_prints_it(planner, capsys):
    answer = made(planner)
    kept = answer.json()
    quote_command(
        "foil-bench",
        "stabiliser",
        "pressed",
        12,
        now=START.isoformat(),
        by_rate=False,
        as_json=True,
        with_odds=True,
    )
    printed = json.loads(capsys.readouterr().out)
    assert kept["quote"] == printed | {"number": "1"}
    assert (kept["number"], kept["revision"], kept["state"]) == (1, 1, "draft")
    assert answer.headers["Location"] == f"{QUOTES}/1/revisions/1"
    assert planner.get(answer.headers["Location"]).json() == kept
    assert planner.get(f"{QUOTES}/1").json() == kept


def test_a_quote_goes_from_draft_to_an_order(planner):
    draft = made(planner)
    with_customer = moved(planner, draft, "send")
    assert with_customer.json()["state"] == "sent"
    answer = moved(planner, with_customer, "accept").json()
    promised = draft.json()["quote"]["finish"]
    order = answer["order"]
    assert (order["number"], order["quantity"], order["state"]) == ("Q1", 12, "open")
    assert order["promised"] == promised.replace("+00:00", "Z")
    assert answer["promise"]["moved"] is False
    assert planner.get(f"{QUOTES}/1").json()["state"] == "accepted"
    assert planner.get(f"{ORDERS}/Q1").json()["expected"] == order["promised"]
    runs = planner.get(RUNS).json()["runs"]
    assert [(run["id"], run["state"], run["why"]) for run in runs] == [
        (answer["run"], "waiting", "quote 1 was accepted")
    ]


def test_a_promise_whose_bookings_have_moved_since_is_said_to_have_moved(planner):
    # Both were promised as if the other were not there; the second to be accepted comes later.
    first, second = sent(planner, quantity=40), sent(planner, quantity=40)
    assert moved(planner, first, "accept").json()["promise"]["moved"] is False
    late = moved(planner, second, "accept").json()
    assert late["promise"]["moved"] is True
    assert "later" in late["promise"]["words"]
    order = planner.get(f"{ORDERS}/Q2").json()
    assert order["expected"] > order["promised"]
    assert order["moved_min"] > 0


def test_an_order_is_there_for_good_before_anything_is_planned(served, planner):
    with_customer = sent(planner)
    seen = []

    def fail(*_):
        seen.append(served.client("viewer").get(f"{ORDERS}/Q1").status_code)
        raise HardLimit(["no press"])

    served.app = make_app(replace(served.services, finish=fail))
    answer = moved(served.client("planner"), with_customer, "accept")
    assert answer.status_code == 200
    assert "no press" in answer.json()["promise"]["words"]
    assert seen == [200]


def test_asked_twice_with_one_key_a_quote_is_made_once(planner):
    key = once()
    first, again = (planner.post(QUOTES, json=ASKED, headers=key) for _ in range(2))
    assert first.status_code == again.status_code == 201
    assert first.content == again.content
    assert again.headers["ETag"] == first.headers["ETag"]
    assert len(planner.get(QUOTES).json()["quotes"]) == 1


def test_a_key_used_for_another_quote_is_refused(planner):
    key = once()
    planner.post(QUOTES, json=ASKED, headers=key)
    other = planner.post(QUOTES, json=ASKED | {"quantity": 13}, headers=key)
    problem_of(other, 422, "key-reused")


def test_accepted_twice_with_one_key_it_is_booked_once_and_with_another_refused(planner):
    with_customer, key = sent(planner), once()
    headers = match(with_customer) | key
    first, again = (planner.post(f"{QUOTES}/1/accept", headers=headers) for _ in range(2))
    assert (first.status_code, again.status_code) == (200, 200)
    assert first.json()["order"] == again.json()["order"]
    assert first.json()["run"] == again.json()["run"]
    problem_of(moved(planner, with_customer, "accept"), 412, "stale")
    as_it_stands = planner.get(f"{QUOTES}/1")
    problem_of(moved(planner, as_it_stands, "accept"), 409, "conflict")
    assert len(planner.get(ORDERS).json()["orders"]) == 1


def test_of_many_who_accept_at_once_one_books(served, planner):
    with_customer = sent(planner)
    clients = [served.client("planner") for _ in range(8)]
    with ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(lambda c: moved(c, with_customer, "accept"), clients))
    assert sorted(answer.status_code for answer in answers) == [200, *[412] * 7]


def test_many_quotes_made_at_once_are_numbered_without_gap_or_repeat(served):
    clients = [served.client("planner") for _ in range(8)]
    with ThreadPoolExecutor(8) as pool:
        numbers = list(pool.map(lambda c: made(c).json()["number"], clients))
    assert sorted(numbers) == list(range(1, 9))


def test_a_revision_changes_what_is_said_and_the_one_before_stays_to_the_byte(served, planner):
    first = made(planner)
    before = planner.get(f"{QUOTES}/1/revisions/1").json()["quote"]
    answer = planner.post(
        f"{QUOTES}/1/revisions", json={"quantity": 20}, headers=match(first) | once()
    )
    assert answer.status_code == 201
    second = answer.json()
    assert (second["revision"], second["quantity"], second["customer"]) == (
        2,
        20,
        ASKED["customer"],
    )
    assert answer.headers["Location"] == f"{QUOTES}/1/revisions/2"
    old, new = planner.get(f"{QUOTES}/1/revisions").json()["revisions"]
    assert (old["state"], old["quote"]) == ("superseded", before)
    assert new == second
    told = planner.get(f"{QUOTES}/1/differences", params={"before": 1, "after": 2}).json()
    assert "Quantity: was 12, is 20." in told["differences"]
    with served.services.units.read(SHOP) as unit:
        document = unit.quotes.revision(1, 1).document
    assert document in planner.get(f"{QUOTES}/1/revisions/1").text


def test_a_quote_is_moved_only_by_who_says_what_was_read(planner):
    draft = made(planner)
    problem_of(planner.post(f"{QUOTES}/1/send"), 428, "version-missing")
    problem_of(planner.post(f"{QUOTES}/1/send", headers=if_match("2-draft")), 412, "stale")
    problem_of(
        planner.post(f"{QUOTES}/1/revisions", json={}, headers=if_match("1-sent") | once()),
        412,
        "stale",
    )
    moved(planner, draft, "send")
    problem_of(moved(planner, draft, "send"), 412, "stale")
    problem_of(moved(planner, draft, "decline"), 412, "stale")


def test_what_creates_wants_a_key(planner):
    draft = made(planner)
    problem_of(planner.post(QUOTES, json=ASKED), 400, "key-missing")
    for verb, body in (("revisions", {}), ("accept", None)):
        answer = planner.post(f"{QUOTES}/1/{verb}", json=body, headers=match(draft))
        problem_of(answer, 400, "key-missing")


def test_a_state_that_cannot_be_reached_is_refused_with_what_helps(planner):
    draft = made(planner)
    assert "Send it first" in problem_of(moved(planner, draft, "accept"), 409, "conflict")["detail"]
    declined = moved(planner, moved(planner, draft, "send"), "decline")
    assert declined.json()["state"] == "declined"
    problem_of(moved(planner, declined, "send"), 409, "conflict")
    problem_of(moved(planner, declined, "accept"), 409, "conflict")


def test_an_earlier_revision_is_accepted_by_nobody(planner):
    first = sent(planner)
    planner.post(f"{QUOTES}/1/revisions", json={"quantity": 20}, headers=match(first) | once())
    headers = {"If-Match": "*", **once()}
    answer = planner.post(f"{QUOTES}/1/accept", json={"revision": 1}, headers=headers)
    problem_of(answer, 409, "conflict")


def test_a_quote_lapses_when_its_last_day_is_over(served, planner):
    with_customer = sent(planner)
    last_day = with_customer.json()["quote"]["valid_until"]
    days = (date.fromisoformat(last_day) - START.date()).days
    served.clock.on(days=days)
    # The token that it was sent with holds for no longer than 30 days.
    viewer, planner = served.client("viewer"), served.client("planner")
    assert viewer.get(QUOTES).json()["quotes"][0]["state"] == "sent"
    served.clock.on(days=1)
    assert viewer.get(QUOTES, params={"state": "sent"}).json()["quotes"] == []
    lapsed = viewer.get(f"{QUOTES}/1")
    assert lapsed.json()["state"] == "lapsed"
    problem_of(moved(planner, with_customer, "accept"), 412, "stale")
    problem_of(moved(planner, lapsed, "accept"), 409, "conflict")


def test_one_whose_last_day_is_over_cannot_be_accepted_though_nobody_looked(served, planner):
    with_customer = sent(planner)
    served.clock.on(days=29 * 12)
    fresh = served.client("planner")
    problem_of(moved(fresh, with_customer, "accept"), 409, "conflict")


def test_pages_of_quotes_follow_each_other_and_can_be_of_one_state(planner):
    for quantity in (1, 2, 3):
        made(planner, quantity=quantity)
    sent(planner, quantity=4)
    first = planner.get(QUOTES, params={"limit": 3}).json()
    rest = planner.get(QUOTES, params={"limit": 3, "cursor": first["next"]}).json()
    assert [q["number"] for q in (*first["quotes"], *rest["quotes"])] == [4, 3, 2, 1]
    assert rest["next"] is None
    only = planner.get(QUOTES, params={"state": "sent"}).json()["quotes"]
    assert [(q["number"], q["state"], q["quantity"]) for q in only] == [(4, "sent", 4)]


def test_a_cursor_that_is_none_is_pointed_at(planner):
    (item,) = problem_of(planner.get(QUOTES, params={"cursor": "x"}), 422, "invalid")["errors"]
    assert (item["parameter"], item["pointer"]) == ("cursor", None)


def test_what_is_known_already_is_not_sent_again(planner):
    draft = made(planner)
    known = {"If-None-Match": draft.headers["ETag"]}
    assert planner.get(f"{QUOTES}/1", headers=known).status_code == 304
    moved(planner, draft, "send")
    assert planner.get(f"{QUOTES}/1", headers=known).json()["state"] == "sent"


@pytest.mark.parametrize(
    ("changes", "pointer"),
    [
        ({"part": "fin"}, "#/part"),
        ({"process": None}, "#/process"),
        ({"quantity": -3}, "#/quantity"),
        ({"quantity": "many"}, "#/quantity"),
        ({"due": "2027-04-16T17:00:00"}, "#/due"),
        ({"due": "0001-01-01T00:00:00+14:00"}, "#/due"),
        ({"discount": "10 %"}, "#/discount"),
    ],
)
def test_what_cannot_be_right_is_pointed_at_and_takes_no_number(planner, changes, pointer):
    answer = planner.post(QUOTES, json=ASKED | changes, headers=once())
    (item,) = problem_of(answer, 422, "invalid")["errors"]
    assert item["pointer"] == pointer
    assert made(planner).json()["number"] == 1


@pytest.mark.parametrize("path", ["/9", "/9/revisions", "/9/revisions/1", "/1/revisions/2"])
def test_a_quote_that_is_not_there_is_not_found(planner, path):
    made(planner)
    problem_of(planner.get(f"{QUOTES}{path}"), 404, "unknown")


@pytest.mark.parametrize("verb", ["send", "decline", "accept"])
def test_what_is_not_there_cannot_be_moved(planner, verb):
    headers = {"If-Match": "*", **once()}
    problem_of(planner.post(f"{QUOTES}/9/{verb}", headers=headers), 404, "unknown")


def test_a_shop_that_changed_prices_quotes_anew_and_leaves_what_was_promised(served, planner):
    before = made(planner).json()
    owner = served.client("owner")
    shop = owner.get(f"/v1/shops/{SHOP}")
    scenario = shop.json()["scenario"]
    for person in scenario["people"].values():
        person["wage_per_hour"] = "40.00"
    written = owner.put(f"/v1/shops/{SHOP}", json={"scenario": scenario}, headers=match(shop))
    assert written.status_code == 200, written.text
    assert planner.get(f"{QUOTES}/1").json() == before
    after = made(planner).json()
    assert after["shop_version"] == 2
    assert float(after["quote"]["net"]) > float(before["quote"]["net"])


def test_a_revision_no_number_reaches_is_refused_before_it_is_looked_for(planner):
    body, headers = {"revision": 2**63}, {"If-Match": "*", **once()}
    for verb in ("send", "decline", "accept"):
        problem_of(planner.post(f"{QUOTES}/1/{verb}", json=body, headers=headers), 422, "invalid")


def test_a_quote_on_paper_stays_the_same_to_the_byte(planner):
    kept = made(planner).headers["Location"]
    first = planner.get(f"{kept}/pdf", params={"language": "de", "paper": "us-letter"})
    assert first.status_code == 200
    assert first.headers["content-type"] == "application/pdf"
    assert first.content.startswith(b"%PDF-")
    again = planner.get(f"{kept}/pdf", params={"language": "de", "paper": "us-letter"})
    assert again.content == first.content
    assert planner.get(f"{kept}/pdf", params={"language": "xx"}).status_code == 422
