"""Killed at any moment: what was acknowledged is kept, what was begun is finished.

``MOULDWRIGHT_KILLS`` sets how often it is killed under load.
"""

from __future__ import annotations

import os
import random
import time
from collections import Counter
from pathlib import Path

import pytest

from load import Load
from mouldwright.client import Client
from serving import Server, kill, signed_in, wait_until

KILLS = int(os.environ.get("MOULDWRIGHT_KILLS", "3"))
FIRST_PART = Path(__file__).parent.parent / "scenarios" / "first-part" / "shop.toml"
_UNDER_WAY = ("waiting", "running")


@pytest.fixture(params=["sqlite", "postgresql"])
def killed(request, new_database, tmp_path):
    """A server to be killed; a run whose worker is lost waits little more than a second."""
    server = Server(tmp_path, new_database(request.param, tmp_path), lease_seconds=1.5)
    server.start()
    yield server
    if server.runs:
        server.kill()


@pytest.fixture
def shop(killed):
    with signed_in(killed) as client:
        yield client.add_shop("arms", FIRST_PART.read_text(encoding="utf-8"))


def states(shop) -> list[str]:
    return [run.state for run in shop.runs.list()]


@pytest.mark.parametrize("what", ["worker", "server and worker"])
def test_a_run_whose_worker_is_killed_is_finished_by_the_next_one(killed, shop, what):
    accepted(shop, 2, of=5)
    for run in shop.runs.list():
        shop.runs.cancel(run.id)
    wait_until(lambda: not set(states(shop)) & set(_UNDER_WAY), 300.0)
    # A run that was done before the kill came shows nothing: then another is killed.
    for _ in range(5):
        run = shop.runs.start(seconds=4.0).value
        wait_until(lambda number=run.id: shop.runs.read(number).value.state != "waiting", 300.0)
        before = killed.workers
        if what == "worker":
            for pid in before:
                kill(pid)
        else:
            killed.kill()
            killed.start()
        done = shop.runs.wait(run.id)
        if done.attempts > 1:
            break
    assert (done.state, done.attempts) == ("done", 2), done.problems
    assert not set(before) & set(killed.workers)
    plan = shop.plan.read().value
    assert (plan.run, plan.is_current, plan.plan.checked) == (run.id, True, True)


@pytest.mark.timeout(600 + 15 * KILLS)
def test_killed_at_any_moment_nothing_acknowledged_is_lost_and_nothing_is_done_twice(
    killed, shop, record_property
):
    drawn = random.Random(20270301)
    owner = shop.tokens.issue("owner", "load").secret
    load = Load(killed.address, owner, shop.key, people=4)
    load.start()
    for _ in range(KILLS):
        time.sleep(drawn.uniform(0.2, 2.0))
        victim = drawn.choice(("worker", "server", "both"))
        if victim == "worker":
            for pid in killed.workers:
                kill(pid)
            continue
        killed.kill(with_workers=victim == "both")
        killed.start()
    told = load.stop()
    for name, counted in (("quotes", told.made), ("orders", told.accepted)):
        record_property(f"{name} acknowledged", len(counted))
    assert len(told.made) > KILLS, "so little was done that nothing is shown"
    assert told.refusals == []

    with Client(killed.address, owner) as client:
        now = client.shop(shop.key)
        for key, made in told.made.items():
            kept = now.quotes.revision(made.number, 1).value
            assert (kept.quote, kept.customer) == (made.quote, key)
        entries = {entry.number: entry for entry in now.quotes.list(page=200)}
        assert sorted(entries) == list(range(1, len(entries) + 1)), "a number is missing"
        assert max(Counter(e.customer for e in entries.values()).values()) == 1, "made twice"
        for key, made in list(told.made.items())[-10:]:
            again = now.quotes.make("arm", 1, process="cast", customer=key, key=key)
            assert again.value.number == made.number

        orders = {order.number: order for order in now.orders.list(page=200)}
        by_quote = Counter(order.quote for order in orders.values())
        for number, order in told.accepted.items():
            assert orders[order].quote == number
        # Whether its answer came or not: an accepted quote has its one order, and no other has.
        assert by_quote == Counter(n for n, e in entries.items() if e.state == "accepted")

        for run in now.runs.list():
            if run.state in _UNDER_WAY:
                now.runs.cancel(run.id)
        wait_until(lambda: not set(states(now)) & set(_UNDER_WAY), 300.0, lambda: str(states(now)))
        last = now.runs.wait(now.runs.start(seconds=0.2).value.id)
        assert last.state == "done", last.problems
        assert {o.number for o in now.plan.read().value.plan.orders} >= set(orders)


def accepted(shop, how_many: int, of: int) -> None:
    for n in range(how_many):
        quote = shop.quotes.make("arm", of, process="cast", customer=f"customer {n}")
        shop.quotes.accept(shop.quotes.send(quote))
