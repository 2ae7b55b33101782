"""Learnt at the bench, as a sheet: beside the standard, taken with one button, undone with one."""

from __future__ import annotations

import re

import pytest
from bench_log import done, entry, logged, members, work
from learnt_log import slow_demoulds, timed_demoulds
from promise_bench import KEY
from web_bench import plain

from mouldwright.domain.record.log import Happening

HERE = f"/shops/{KEY}/learnt"


@pytest.fixture
def taught(web):
    with web.services.units.write(KEY) as unit:
        unit.log.bring(slow_demoulds(6))
        unit.commit()
    web.now = web.now.replace(day=20)
    return web


def test_without_a_log_the_sheet_says_what_to_do(web):
    assert "Note on the day sheet when work begins" in plain(web.visitor().page(HERE))


def test_the_sheet_sets_times_beside_the_standard_and_proposes(taught):
    words = plain(taught.visitor().page(HERE))
    assert "demould" in words
    assert "in the last 12 times it was noted" in words
    assert "Tomás" in words
    assert "Take it into the shop" in words


def test_what_is_taken_stands_in_the_process_and_can_be_undone(taught):
    visitor = taught.visitor()
    form = re.search(r"<form[^>]*learnt/taken.*?</form>", visitor.page(HERE), re.S)[0]
    fields = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', form))
    answer = visitor.post(f"{HERE}/taken", fields)
    assert answer.status_code == 303
    there = answer.headers["location"]
    assert re.search(r"/edit/processes/pressed\?changed=\d+$", there)
    assert "Undo" in plain(visitor.page(there))


def test_what_is_left_is_told_small_and_can_be_proposed_again(taught):
    visitor = taught.visitor()
    form = {"key": "time:pressed:demould"}
    assert visitor.post(f"{HERE}/declined", form).status_code == 303
    words = plain(visitor.page(HERE))
    assert "Left: demould" in words
    assert "Take it into the shop" not in words
    assert visitor.post(f"{HERE}/again", form).status_code == 303
    assert "Take it into the shop" in plain(visitor.page(HERE))


def test_seconds_are_told_apart_from_scrap_and_proposed_with_the_yield(web):
    made = entry(Happening.SECOND, 24 * 90, members=members("1001", parts=range(1, 13)))
    with web.services.units.write(KEY) as unit:
        unit.log.bring(logged(*timed_demoulds([6] * 40), made))
        unit.commit()
    web.now = web.now.replace(year=web.now.year + 1)
    words = plain(web.visitor().page(HERE))
    assert "0 of 40 parts were scrapped, 12 seconds besides." in words
    # (0.5 + 12) / 60, as worked beside the sum itself.
    assert "Comes out as seconds 0 % 20.8 %" in words


def printed(number, *, failed):
    """Return entries of one print of 73 min, which failed after half an hour or came through."""
    task = work("print", order="1001", process="printed-small", part="winglet", parts=[number])
    began = 24.0 * number + 9
    if not failed:
        return done(began + 73 / 60, task, began=began)
    stopped = entry(Happening.STOPPED, began + 0.5, task=task)
    return entry(Happening.STARTED, began, task=task), stopped


def test_prints_that_failed_are_told_and_their_rate_taken_with_one_button(web):
    log = logged(*(each for n in range(1, 31) for each in printed(n, failed=n > 25)))
    with web.services.units.write(KEY) as unit:
        unit.log.bring(log)
        unit.commit()
    web.now = web.now.replace(year=web.now.year + 1)
    visitor = web.visitor()
    page = visitor.page(HERE)
    assert "5 of 30 runs failed, in 32.9 hours." in plain(page)
    form = re.search(r"<form[^>]*learnt/taken.*?</form>", page, re.S)[0]
    fields = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', form))
    assert fields["key"] == "failures:printed-small:print"
    answer = visitor.post(f"{HERE}/taken", fields)
    assert answer.headers["location"].startswith(f"/shops/{KEY}/edit/processes/printed-small")
    assert "Take it into the shop" not in plain(visitor.page(HERE))
    assert "learnt-failures" in page
