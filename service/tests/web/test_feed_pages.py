"""Feeds on a page: made, shown once with a button to copy, listed, withdrawn."""

from __future__ import annotations

import html
import re

import pytest
from promise_bench import KEY
from web_bench import plain

from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.feeds import opened_feed
from mouldwright.usecases.kept import Role

HERE = f"/shops/{KEY}/feeds"


def made(visitor, of="person/ines", once="a-key"):
    answer = visitor.post(HERE, {"of": of, "label": "her telephone", "once": once})
    assert answer.status_code == 200, answer.text
    assert answer.headers["cache-control"] == "no-store"
    found = re.search(r'<input id="secret"[^>]* value="([^"]+)"', answer.text)
    return answer, html.unescape(found[1]) if found else ""


def secret_of(address):
    return address.split("/v1/feeds/")[1].split("/")[0]


def test_a_feed_is_made_shown_once_and_withdrawn(web):
    planner = web.visitor(Role.PLANNER)
    assert "There is none yet" in planner.page(HERE)
    page, address = made(planner)
    assert address.endswith("/calendar.ics")
    assert 'data-copy="secret"' in page.text
    feed = opened_feed(web.services.units, secret_of(address), "calendar")
    assert (feed.about, feed.key, feed.label) == ("person", "ines", "her telephone")
    again, nothing = made(planner)
    assert nothing == ""
    assert "Shown before" in again.text
    listed = planner.page(HERE)
    assert "Calendar: Inês" in plain(listed)
    assert secret_of(address) not in listed
    gone = planner.post(f"{HERE}/{feed.id}/withdraw")
    assert (gone.status_code, gone.headers["location"]) == (303, HERE)
    with pytest.raises(Unknown):
        opened_feed(web.services.units, secret_of(address), "calendar")
    assert "1 withdrawn" in plain(planner.page(HERE))


def test_every_feed_that_can_be_chosen_can_be_made(web):
    planner = web.visitor(Role.PLANNER)
    options = re.findall(r'<option value="([^"]+)"', planner.page(HERE))
    assert len(options) > 10
    for number, option in enumerate(options):
        assert made(planner, html.unescape(option), f"key-{number}")[1]


def test_what_is_not_on_the_list_is_refused(web):
    answer = web.visitor().post(HERE, {"of": "person/nobody", "once": "a-key"})
    assert answer.status_code == 422
    assert "no such feed" in answer.text


def test_someone_at_the_bench_makes_none_and_is_told_whom_to_ask(web):
    bench = web.visitor(Role.BENCH)
    assert "Ask one for the address" in plain(bench.page(HERE))
    assert bench.post(HERE, {"of": "shop/", "once": "a-key"}).status_code == 403
