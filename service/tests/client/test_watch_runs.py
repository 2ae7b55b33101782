"""A run watched to its end, over events, over events that break off, and by asking."""

from __future__ import annotations

import asyncio
import json

import httpx
import pytest
from answering import Service, ok, problem

from mouldwright.client.errors import NoAnswer, Refused
from mouldwright.client.runs import Runs
from mouldwright.client.watching import Watch
from mouldwright.wire.service.run import RunAnswer

RUN = {
    "id": "r1",
    "state": "waiting",
    "why": "asked for",
    "seconds": 5.0,
    "seed": 1,
    "asked_at": "2027-03-01T09:10:00Z",
    "attempts": 0,
    "begun_at": None,
    "ended_at": None,
    "cancel_asked": False,
    "progress": None,
    "problems": [],
    "plan_version": None,
}


def run(state: str, attempts: int = 1) -> dict:
    return {**RUN, "state": state, "attempts": attempts}


class Events(httpx.SyncByteStream, httpx.AsyncByteStream):
    """A stream that is read in turn or beside other work."""

    def __init__(self, text: str, *, breaks: bool) -> None:
        self.text, self.breaks = text, breaks

    def __iter__(self):
        yield self.text.encode()
        if self.breaks:
            raise httpx.ReadError("cut off")

    async def __aiter__(self):
        for part in self:
            yield part


def stream(*runs: tuple[str, dict], breaks: bool = False):
    """Return an answer of events, cut off before the last one is whole where it breaks."""
    text = ": here\n\n" + "".join(
        f"id: {name}\nevent: run\ndata: {json.dumps(value)}\n\n" for name, value in runs
    )

    return lambda _: httpx.Response(
        200,
        stream=Events(text, breaks=breaks),
        headers={"content-type": "text/event-stream; charset=utf-8"},
    )


def watched(service: Service) -> list[str]:
    asker = service.asker()
    watch = Watch(asker.connection, "/v1/shops/a/runs/r1", every_s=0.5)
    return [seen.state for seen in asker.told(watch.told())]


def test_a_run_is_told_of_as_it_goes_and_ends_with_its_end(answering):
    service = answering(stream(("1", run("waiting")), ("2", run("running")), ("3", run("done"))))
    assert watched(service) == ["waiting", "running", "done"]
    assert service.sent("accept") == ["text/event-stream"]


def test_events_that_break_off_are_taken_up_after_the_last_one_that_came(answering):
    service = answering(
        stream(("1", run("waiting")), ("2", run("running")), breaks=True),
        stream(("3", run("running", 2)), ("4", run("done", 2))),
    )
    assert watched(service) == ["waiting", "running", "running", "done"]
    assert service.sent("last-event-id") == [None, "2"]


@pytest.mark.parametrize(
    "no_events",
    [problem(406, "no-such-type"), httpx.Response(502), httpx.ReadError("cut off"), ok(RUN)],
)
def test_where_no_events_come_through_it_is_asked_for(answering, no_events):
    service = answering(
        no_events,
        ok(run("waiting"), etag='"1"'),
        httpx.Response(304),
        ok(run("running"), etag='"2"'),
        ok(run("done"), etag='"3"'),
    )
    assert watched(service) == ["waiting", "running", "done"]
    assert service.sent("if-none-match")[1:] == [None, '"1"', '"1"', '"2"']
    assert service.waits == [0.5, 0.5, 0.5]


def test_events_that_stop_without_an_end_and_bring_nothing_new_are_given_up_for_asking(answering):
    service = answering(
        stream(("1", run("running"))), stream(), ok(run("running")), ok(run("cancelled"))
    )
    assert watched(service) == ["running", "cancelled"]


@pytest.mark.parametrize("status", [401, 403, 404])
def test_a_run_that_is_not_to_be_seen_is_refused_at_once(answering, status):
    service = answering(problem(status, "some-kind"))
    with pytest.raises(Refused):
        watched(service)
    assert len(service.asked) == 1


def test_a_service_that_is_gone_ends_the_watching(answering):
    with pytest.raises(NoAnswer):
        watched(answering(httpx.ConnectError("refused")))


def test_waiting_gives_the_run_as_it_ended(answering):
    service = answering(stream(("1", run("running")), ("2", run("done"))))
    runs = Runs(service.asker().connection, "/v1/shops/a")
    ended = asyncio.run(runs.wait("r1")) if service.beside else runs.wait("r1")
    assert ended == RunAnswer(**run("done"))
