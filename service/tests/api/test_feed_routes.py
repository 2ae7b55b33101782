"""Feeds over HTTP: an address that gives one calendar, follows the plan, and can be withdrawn."""

from __future__ import annotations

import logging
import re
from datetime import datetime
from xml.dom.minidom import parseString

import pytest
from icalendar import Calendar as Read
from service_bench import OTHER, SHOP, once, problem_of, rows_kept
from test_reach import CLOSED, ask, named
from working import worked

FEEDS = f"/v1/shops/{SHOP}/feeds"


@pytest.fixture
def planner(served):
    return served.client("planner")


def made(client, **wanted):
    answer = client.post(FEEDS, json=wanted, headers=once())
    assert answer.status_code == 201, answer.text
    return answer.json()


def events(client, path):
    """Return the entries of a calendar by uid."""
    answer = client.get(path)
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "text/calendar; charset=utf-8"
    return {str(e["UID"]): e for e in Read.from_ical(answer.text).walk("VEVENT")}


def replanned(served, client):
    answer = client.post(f"/v1/shops/{SHOP}/runs", json={"seconds": 0.1}, headers=once())
    assert answer.status_code == 202, answer.text
    assert worked(served).state == "done"


def test_a_feed_is_made_once_its_path_shown_once_and_opens_without_a_token(served, planner):
    key, wanted = once(), {"about": "person", "key": "ines", "label": "her telephone"}
    first = planner.post(FEEDS, json=wanted, headers=key)
    assert first.status_code == 201, first.text
    path = first.json()["path"]
    again = planner.post(FEEDS, json=wanted, headers=key)
    assert again.json() == first.json() | {"path": None}
    (listed,) = planner.get(FEEDS).json()["feeds"]
    assert listed == first.json()["feed"]
    assert events(served.client(None), path)


def test_a_moved_task_keeps_its_uid_and_raises_its_sequence(served, planner):
    path = made(planner)["path"]
    before_any = events(planner, path)
    replanned(served, planner)
    first = events(planner, path)
    assert len(first) > len(before_any) + 100
    assert all(first[uid]["SEQUENCE"] == 0 for uid in first)
    # A day later nothing that was planned for the first day has begun: it moves.
    served.clock.on(days=1)
    answer = planner.post(
        f"/v1/shops/{SHOP}/runs", json={"seconds": 0.1, "keep": False}, headers=once()
    )
    assert answer.status_code == 202, answer.text
    assert worked(served).state == "done"
    second = events(planner, path)
    works = [uid for uid in first if isinstance(first[uid]["DTSTART"].dt, datetime)]
    moved = [
        uid
        for uid in works
        if uid in second and first[uid]["DTSTART"].dt != second[uid]["DTSTART"].dt
    ]
    assert len(moved) > 50
    assert {second[uid]["SEQUENCE"] for uid in moved} == {1}
    assert all(second[uid]["DTSTAMP"].dt > first[uid]["DTSTAMP"].dt for uid in moved)


def test_what_is_called_off_is_told_and_drops_out_after_two_weeks(served, planner):
    path = made(planner)["path"]
    replanned(served, planner)
    first = events(planner, path)
    shop = planner.get(f"/v1/shops/{SHOP}")
    document = shop.json()["scenario"]
    document["orders"] = [o for o in document["orders"] if o["number"] != "1001"]
    owner = served.client("owner")
    put = owner.put(
        f"/v1/shops/{SHOP}",
        json={"scenario": document},
        headers={"If-Match": shop.headers["etag"]},
    )
    assert put.status_code == 200, put.text
    replanned(served, planner)
    off = {uid: e for uid, e in events(planner, path).items() if e["STATUS"] == "CANCELLED"}
    assert set(off) <= set(first)
    # What was for that order alone; a mix that was shared goes on without it.
    alone = {
        uid
        for uid, e in first.items()
        if re.findall(r"Order (\d+)", f"{e['SUMMARY']} {e.get('DESCRIPTION')}") == ["1001"]
    }
    assert len(alone) > 50
    assert alone <= set(off)
    assert {e["SEQUENCE"] for e in off.values()} == {1}
    served.clock.on(days=15)
    assert not set(off) & set(events(planner, path))


def test_a_calendar_that_has_not_changed_is_not_sent_again(served, planner):
    path = made(planner)["path"]
    first = planner.get(path)
    again = planner.get(path, headers={"If-None-Match": first.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")
    replanned(served, planner)
    changed = planner.get(path, headers={"If-None-Match": first.headers["etag"]})
    assert changed.status_code == 200


def test_a_feed_withdrawn_or_unknown_or_of_another_kind_gives_nothing(served, planner):
    found = made(planner)
    anyone = served.client(None)
    for _ in range(2):
        assert planner.delete(f"{FEEDS}/{found['feed']['id']}").status_code == 204
    assert planner.get(FEEDS).json()["feeds"][0]["revoked_at"] is not None
    closed = problem_of(anyone.get(found["path"]), 404, "unknown")
    nowhere = problem_of(anyone.get("/v1/feeds/no-such-secret/calendar.ics"), 404, "unknown")
    assert closed["detail"] == nowhere["detail"]
    problem_of(planner.delete(f"{FEEDS}/no-such"), 404, "unknown")


def test_what_waits_is_given_as_a_feed_that_is_read_again_only_when_it_changed(served, planner):
    found = made(planner, kind="notices")
    assert found["path"].endswith("/notices.atom")
    anyone = served.client(None)
    first = anyone.get(found["path"])
    assert first.status_code == 200
    assert first.headers["content-type"].startswith("application/atom+xml")
    told = [each["text"] for each in planner.get(f"/v1/shops/{SHOP}/today").json()["notices"]]
    assert told
    titles = [
        node.firstChild.data for node in parseString(first.text).getElementsByTagName("title")
    ]
    assert titles[1:] == told
    tag = {"If-None-Match": first.headers["etag"]}
    assert anyone.get(found["path"], headers=tag).status_code == 304
    served.clock.on(days=1)
    assert anyone.get(found["path"], headers=tag).status_code == 200
    # An address gives what it was made for and nothing else.
    calendar = found["path"].replace("notices.atom", "calendar.ics")
    problem_of(anyone.get(calendar), 404, "unknown")


def test_another_shop_neither_sees_nor_withdraws_it(served, planner):
    found = made(planner)
    other = served.client("owner", OTHER)
    there = FEEDS.replace(SHOP, OTHER)
    assert other.get(there).json() == {"feeds": []}
    problem_of(other.delete(f"{there}/{found['feed']['id']}"), 404, "unknown")


def test_a_feed_of_nobody_is_refused_and_says_who_there_is(planner):
    answer = planner.post(FEEDS, json={"about": "person", "key": "nobody"}, headers=once())
    problem = problem_of(answer, 422, "invalid")
    assert [error["pointer"] for error in problem["errors"]] == ["#/key"]
    assert "ines" in problem["errors"][0]["remedy"]


def test_neither_the_database_nor_the_log_has_the_address(served, planner, caplog):
    with caplog.at_level(logging.DEBUG):
        path = made(planner)["path"]
        planner.get(path)
        planner.get(path.replace("calendar.ics", "nothing"))
    secret = path.split("/")[3]
    said = [record.getMessage() + repr(record.__dict__) for record in caplog.records]
    ours = [line for line in said if "mouldwright" in line]
    assert any("/v1/feeds/{secret}/calendar.ics" in line for line in ours)
    assert not [line for line in ours if secret in line]
    kept = rows_kept(served.url)
    assert len(kept) > 5
    assert not [row for row in kept if secret in row]


@pytest.fixture(scope="module")
def bearer(tmp_path_factory):
    from service_bench import service_bench

    bench = service_bench(tmp_path_factory.mktemp("feeds"))
    path = made(bench.client("planner"))["path"]
    client = bench.client(None)
    client.headers["Authorization"] = f"Bearer {path.split('/')[3]}"
    yield client
    bench.opened.close()


@pytest.mark.parametrize("route", named(CLOSED))
def test_the_secret_of_a_feed_opens_no_other_address(bearer, route):
    problem_of(ask(bearer, route), 401, "not-signed-in")
