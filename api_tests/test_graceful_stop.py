"""Told to stop at work: what was begun is answered, what was acknowledged is kept."""

from __future__ import annotations

import json
import random
import re
import signal
import threading
from contextlib import contextmanager
from itertools import count

import httpx
import psycopg
import pytest
from sqlalchemy import create_engine

from mouldwright.client import Client
from serving import Server, signed_in, wait_until
from test_workers_apart import worker

# Generous: the machine may be at other work. What takes a run or a request its time is far longer.
BOUND_S = 300.0
KINDS = ("sqlite", "postgresql")


@pytest.fixture
def stopped(request, new_database, tmp_path):
    """A server that is told to stop; ended with the test however it goes."""
    kind, settings = request.param
    server = Server(tmp_path, new_database(kind, tmp_path), **settings)
    server.start()
    yield server
    if server.runs:
        server.kill()


def each(**settings):
    return pytest.mark.parametrize(
        "stopped", [(kind, settings) for kind in KINDS], ids=KINDS, indirect=True
    )


def told_to_stop(server: Server) -> int:
    """Tell it as a supervisor does; return its exit code."""
    server.send(signal.SIGTERM)
    return server.ended(BOUND_S)


def requests_logged(server: Server) -> dict[str, int]:
    """Return the status of every request that the server says it has answered, by its id."""
    lines = [json.loads(line) for line in server.said.splitlines() if line.startswith("{")]
    return {line["request"]: line["status"] for line in lines if line["said"] == "request"}


class Askers:
    """People who ask on connections of their own, one after another, until they get no answer."""

    def __init__(self, server: Server, token: str, shop: str, *, people: int) -> None:
        self.got: dict[str, httpx.Response | None] = {}
        self._address, self._shop, self._ids = server.address, shop, count(1)
        self._headers = {"Authorization": f"Bearer {token}", "Connection": "close"}
        self._over = threading.Event()
        self._threads = [
            threading.Thread(target=self._ask, args=(n,), daemon=True) for n in range(people)
        ]
        for thread in self._threads:
            thread.start()

    def end(self) -> None:
        self._over.set()
        for thread in self._threads:
            thread.join(BOUND_S)
            assert not thread.is_alive()

    def _ask(self, seed: int) -> None:
        drawn = random.Random(seed)
        with httpx.Client(base_url=f"{self._address}/v1/shops/{self._shop}", timeout=60) as client:
            while not self._over.is_set():
                asked = f"asked-{next(self._ids):06d}"
                headers = {**self._headers, "X-Request-Id": asked, "Idempotency-Key": asked}
                self.got[asked] = None
                try:
                    if drawn.random() < 0.5:
                        body = {"part": "stabiliser", "process": "printed", "quantity": 2}
                        self.got[asked] = client.post("/quotes", json=body, headers=headers)
                    else:
                        self.got[asked] = client.get("/orders", headers=headers)
                except httpx.TransportError:
                    # Nobody listens any more, or it closed before it read what was asked.
                    return


@each(stop_seconds=100, busy_seconds=100)
@pytest.mark.timeout(1800)
def test_what_was_begun_is_answered_what_was_acknowledged_is_kept_and_the_run_goes_on(
    stopped, demo
):
    with signed_in(stopped) as keeper:
        shop = keeper.add_shop("foils", demo)
        owner = shop.tokens.issue("owner", "at work").secret
        run = shop.runs.start(seconds=300.0).value.id
        wait_until(lambda: shop.runs.read(run).value.state == "running", BOUND_S)
    askers = Askers(stopped, owner, shop.key, people=6)
    wait_until(lambda: sum(got is not None for got in askers.got.values()) > 20, BOUND_S)
    watched: list[str] = []
    watching = threading.Thread(
        target=watch, args=(stopped, owner, shop.key, run, watched), daemon=True
    )
    watching.start()
    wait_until(lambda: watched, BOUND_S)

    assert told_to_stop(stopped) == 0
    askers.end()
    watching.join(BOUND_S)
    assert watched[-1] == "ended", "the stream was cut off and not ended"
    assert "Traceback" not in stopped.said, stopped.said
    assert '"level": "error"' not in stopped.said, stopped.said
    logged = requests_logged(stopped)
    answered = {asked: got for asked, got in askers.got.items() if got is not None}
    # What the server began is what was answered, as it says; what it did not begin is neither.
    assert {asked: got.status_code for asked, got in answered.items()} == {
        asked: status for asked, status in logged.items() if asked.startswith("asked-")
    }
    # 503 says that others were writing for too long, and that nothing was changed.
    assert {got.status_code for got in answered.values()} <= {200, 201, 503}

    made = {asked: got.json() for asked, got in answered.items() if got.status_code == 201}
    assert made
    stopped.start()
    with Client(stopped.address, owner) as client:
        now = client.shop(shop.key)
        listed = {entry.number for entry in now.quotes.list(page=200)}
        assert listed == set(range(1, len(listed) + 1))
        assert {quote["number"] for quote in made.values()} == listed
        wait_until(lambda: now.runs.read(run).value.state == "running", BOUND_S)
        now.runs.cancel(run)
        end = now.runs.wait(run)
        # Given back, so that the attempt does not count; or, where the machine was too busy for its
        # worker to do so in time, taken up once its lease was over.
        assert end.state == "cancelled"
        assert end.attempts in (1, 2)


def watch(server: Server, token: str, shop: str, run: str, told: list[str]) -> None:
    """Listen to a run's events until the stream ends; note each, and how it ended."""
    address = f"{server.address}/v1/shops/{shop}/runs/{run}/events"
    headers = {"Authorization": f"Bearer {token}"}
    try:
        with httpx.stream("GET", address, headers=headers, timeout=60) as stream:
            told.extend("told" for line in stream.iter_lines() if line.startswith("data:"))
        told.append("ended")
    except httpx.TransportError as error:
        told.append(repr(error))


@contextmanager
def nobody_else_writes(url: str):
    """Hold what every writer waits for, as someone does who writes and writes."""
    if url.startswith("sqlite"):
        engine = create_engine(url)
        with engine.connect() as connection:
            connection.connection.driver_connection.execute("BEGIN IMMEDIATE")
            yield
            connection.connection.driver_connection.execute("ROLLBACK")
        engine.dispose()
    else:
        with psycopg.connect(url) as connection:
            connection.execute("LOCK TABLE quote, counter IN ACCESS EXCLUSIVE MODE")
            yield
            connection.rollback()


def asked_and_waiting(server: Server, shop, owner: str, got: list) -> threading.Thread:
    """Ask for a quote that cannot be kept yet; return once the server is at it."""
    body = {"part": "stabiliser", "process": "printed", "quantity": 2}
    headers = {"Authorization": f"Bearer {owner}", "Idempotency-Key": "waits"}

    def ask() -> None:
        address = f"{server.address}/v1/shops/{shop.key}/quotes"
        got.append(httpx.post(address, json=body, headers=headers, timeout=60))

    asking = threading.Thread(target=ask, daemon=True)
    asking.start()
    return asking


def at_work(server: Server, keeper: Client) -> int:
    """Return how many requests the server is at, the one that asks this left out."""
    headers = {"Authorization": f"Bearer {keeper.token}"}
    text = httpx.get(f"{server.address}/metrics", headers=headers).text
    found = re.search(r"^mouldwright_requests_open (\S+)", text, re.M)
    assert found is not None
    return int(float(found[1])) - 1


@contextmanager
def one_under_way(server: Server, demo):
    """Have a quote asked for that the server is at, and cannot keep until this is left."""
    with signed_in(server) as keeper:
        shop = keeper.add_shop("foils", demo)
        owner = shop.tokens.issue("owner", "at work").secret
        got: list[httpx.Response] = []
        with nobody_else_writes(server.url):
            asking = asked_and_waiting(server, shop, owner, got)
            wait_until(lambda: at_work(server, keeper) == 1, BOUND_S)
            yield owner, asking, got


@each(stop_seconds=60, busy_seconds=60)
@pytest.mark.timeout(1800)
def test_a_request_under_way_is_done_with_before_it_stops(stopped, demo):
    with one_under_way(stopped, demo) as (owner, asking, got):
        stopped.send(signal.SIGTERM)
        wait_until(lambda: not stopped.listens(), BOUND_S)
        assert stopped.runs
    assert stopped.ended(BOUND_S) == 0
    asking.join(BOUND_S)
    assert got[0].status_code == 201
    stopped.start()
    with Client(stopped.address, owner) as client:
        assert [entry.number for entry in client.shop("foils").quotes.list()] == [1]


@each(stop_seconds=1, busy_seconds=60)
@pytest.mark.timeout(1800)
def test_a_request_that_takes_too_long_is_refused_in_words_and_nothing_of_it_is_kept(stopped, demo):
    with one_under_way(stopped, demo) as (owner, asking, got):
        assert told_to_stop(stopped) == 0
        asking.join(BOUND_S)
    assert got[0].status_code == 503
    assert got[0].json()["type"] == "/v1/problems/stopping"
    assert "Traceback" not in stopped.said, stopped.said
    stopped.start()
    with Client(stopped.address, owner) as client:
        quotes = client.shop("foils").quotes
        assert quotes.list() == [] or list(quotes.list()) == []
        # Asked again with its key it is done, once.
        again = quotes.make("stabiliser", 2, process="printed", key="waits")
        assert again.value.number == 1


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.timeout(1800)
def test_a_worker_told_to_stop_gives_its_run_back_and_the_next_one_takes_it_up(
    kind, new_database, tmp_path, demo
):
    server = Server(tmp_path, new_database(kind, tmp_path), workers=0)
    server.start()
    started = []
    try:
        with signed_in(server) as keeper:
            shop = keeper.add_shop("foils", demo)
            run = shop.runs.start(seconds=300.0).value.id
            started.append(worker(server))
            wait_until(lambda: shop.runs.read(run).value.state == "running", BOUND_S)
            started[0].send_signal(signal.SIGTERM)
            assert started[0].wait(BOUND_S) == 0
            given_back = shop.runs.read(run).value
            assert (given_back.state, given_back.attempts) == ("waiting", 0)
            started.append(worker(server))
            wait_until(lambda: shop.runs.read(run).value.state == "running", BOUND_S)
            shop.runs.cancel(run)
            end = shop.runs.wait(run)
            assert (end.state, end.attempts) == ("cancelled", 1)
    finally:
        for process in started:
            process.kill()
            process.wait()
        server.stop()
