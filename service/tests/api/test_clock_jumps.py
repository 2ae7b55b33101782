"""The clock set forwards and back, and over both clock changes: nothing is lost or doubled."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from icalendar import Calendar
from quoting import QUOTES, RUNS, made
from service_bench import SHOP, once, problem_of
from test_access import bearer, code_for
from working import worked

LOG = f"/v1/shops/{SHOP}/log"
# Back to the start at the end, by way of days before and after it.
JUMPS_H = (24 * 20, -24 * 25, 1, -1, 24 * 10, -24 * 5)


def away(served) -> dict:
    """Return an entry of now: somebody goes home for a quarter of an hour."""
    until = served.clock.now + timedelta(minutes=15)
    return {"what": "person away", "people": ["ines"], "until": until.isoformat()}


def test_a_token_that_was_withdrawn_or_a_code_that_was_used_holds_at_no_hour_again(served):
    owner, nobody = served.client(), served.client(None)
    tokens = f"/v1/shops/{SHOP}/tokens"
    asked = {"role": "bench", "label": "x"}
    gone = owner.post(tokens, json=asked, headers=once()).json()
    assert owner.delete(f"{tokens}/{gone['token']['id']}").status_code == 204
    code = code_for(served)
    assert nobody.post("/v1/sign-in", json={"code": code}).status_code == 201
    for hours in JUMPS_H:
        served.clock.on(hours=hours)
        problem_of(nobody.get("/v1/me", headers=bearer(gone["secret"])), 401, "not-signed-in")
        problem_of(nobody.post("/v1/sign-in", json={"code": code}), 401, "not-signed-in")
        assert owner.get("/v1/me").status_code == 200


def test_quotes_are_numbered_on_and_asked_for_once_wherever_the_clock_jumps(served):
    planner = served.client("planner")
    key = once()
    body = {"part": "stabiliser", "process": "pressed", "quantity": 3}
    first = planner.post(QUOTES, json=body, headers=key).json()
    numbers = [first["number"]]
    for hours in JUMPS_H:
        served.clock.on(hours=hours)
        numbers.append(made(planner, quantity=3).json()["number"])
        # A request made twice is done once, however late or early its second time seems.
        assert planner.post(QUOTES, json=body, headers=key).json() == first
    assert numbers == list(range(1, len(JUMPS_H) + 2))
    listed = [quote["number"] for quote in planner.get(QUOTES).json()["quotes"]]
    assert sorted(listed) == numbers


def test_the_log_keeps_the_order_in_which_it_was_written(served):
    bench = served.client("bench")
    written = []
    for hours in (0, *JUMPS_H):
        served.clock.on(hours=hours)
        answer = bench.post(LOG, json=away(served), headers=once())
        assert answer.status_code == 201, answer.text
        written.append(answer.json()["number"])
    assert written == list(range(1, len(JUMPS_H) + 2))
    pages, cursor = [], None
    while True:
        answer = bench.get(LOG, params={"limit": 2} | ({"cursor": cursor} if cursor else {})).json()
        pages += [entry["number"] for entry in answer["entries"]]
        cursor = answer["next"]
        if not cursor:
            break
    # A page at a time, the latest written first, each once.
    assert pages == written[::-1]


@pytest.mark.parametrize(
    ("first", "shown"),
    [
        # In Lisbon, by EU directive 2000/84: both changes are at 01:00 UTC.
        (
            datetime(2027, 3, 28, 0, 30, tzinfo=UTC),
            ["2027-03-28T00:30:00Z", "2027-03-28T02:30:00+01:00"],
        ),
        (
            datetime(2027, 10, 31, 0, 30, tzinfo=UTC),
            ["2027-10-31T01:30:00+01:00", "2027-10-31T01:30:00Z"],
        ),
    ],
    ids=["the hour that is left out", "the hour that comes twice"],
)
def test_an_hour_apart_over_a_clock_change_stays_an_hour_apart(served, first, shown):
    served.clock.now = first
    bench = served.client("bench")
    answers = []
    for hours in (0, 1):
        served.clock.on(hours=hours)
        answers.append(bench.post(LOG, json=away(served), headers=once()).json())
    assert [answer["number"] for answer in answers] == [1, 2]
    assert [answer["at"] for answer in answers] == shown
    listed = bench.get(LOG, params={"day": str(first.date())}).json()["entries"]
    assert [entry["number"] for entry in listed] == [2, 1]


def test_a_calendar_never_goes_back_to_a_lower_sequence(served):
    """A reader takes the higher SEQUENCE for the newer (RFC 5546, 2.1.4)."""
    planner = served.client("planner")
    feed = planner.post(f"/v1/shops/{SHOP}/feeds", json={}, headers=once()).json()["path"]

    def sequences() -> dict[str, int]:
        read = Calendar.from_ical(planner.get(feed).text)
        events = read.walk("VEVENT")
        assert len({str(event["UID"]) for event in events}) == len(events)
        return {str(event["UID"]): int(event["SEQUENCE"]) for event in events}

    seen: dict[str, int] = {}
    for hours in (0, 30, -54, 30):
        served.clock.on(hours=hours)
        asked = {"seconds": 0.05, "keep": False}
        assert planner.post(RUNS, json=asked, headers=once()).status_code == 202
        assert worked(served).state == "done"
        now = sequences()
        assert now
        assert all(now[uid] >= seen[uid] for uid in now if uid in seen)
        seen |= now
    assert max(seen.values()) > 0
