"""Fifty people at once: numbers without gap or repeat, and nothing done twice."""

from __future__ import annotations

from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal
from pathlib import Path

import pytest

from mouldwright.client import Client, Refused, Retry, Shop

WRITERS = 50
SCENARIOS = Path(__file__).parent.parent / "scenarios"


@pytest.fixture
def shop(keeper, new_shop_key) -> Shop:
    """A shop with one part, which is quickly planned."""
    toml = (SCENARIOS / "first-part" / "shop.toml").read_text(encoding="utf-8")
    return keeper.add_shop(new_shop_key(), toml)


@pytest.fixture
def writers(server, keeper, shop):
    """As many clients, each with a connection of its own."""
    planner = shop.tokens.issue("planner", "many hands").secret
    clients = [
        Client(server.address, planner, retry=Retry(attempts=40, longest_s=1.0))
        for _ in range(WRITERS)
    ]
    yield [client.shop(shop.key) for client in clients]
    for client in clients:
        client.close()


def all_at_once(work, writers) -> list:
    with ThreadPoolExecutor(WRITERS) as pool:
        return list(pool.map(work, writers, range(WRITERS)))


def test_fifty_make_send_and_accept_quotes_at_once(shop, writers):
    def make(mine, n: int):
        # Every key is sent twice, at the same time as everybody else's.
        both = [
            mine.quotes.make(
                "arm", 1 + n % 4, process="cast", customer=f"customer {n}", key=f"make-{n}"
            )
            for _ in range(2)
        ]
        assert both[0] == both[1]
        return both[0]

    made = all_at_once(make, writers)
    numbers = sorted(quote.value.number for quote in made)
    assert numbers == list(range(1, WRITERS + 1))
    assert {q.value.number: q.value.quantity for q in made} == {
        q.number: q.quantity for q in shop.quotes.list(page=17)
    }

    def book(mine, n: int):
        sent = mine.quotes.send(made[n])
        first = mine.quotes.accept(sent, key=f"accept-{n}")
        if n % 10 == 0:
            again = mine.quotes.accept(sent, key=f"accept-{n}")
            assert (again.order.number, again.run) == (first.order.number, first.run)
        return first

    booked = all_at_once(book, writers)
    assert {a.order.number for a in booked} == {f"Q{n}" for n in numbers}
    orders = list(shop.orders.list(page=13))
    assert Counter(order.quote for order in orders) == Counter(numbers)
    entries = list(shop.quotes.list(page=200))
    assert {entry.state for entry in entries} == {"accepted"}
    for order in orders:
        kept = shop.quotes.read(order.quote).value
        assert (order.quantity, order.customer) == (kept.quantity, kept.customer)
        lines = sum(Decimal(line.amount) for line in kept.quote.lines)
        assert lines == Decimal(kept.quote.net)
    waiting = [run for run in shop.runs.list() if run.state == "waiting"]
    assert len(waiting) <= 1, "a plan that waits already will do"
    for run in shop.runs.list():
        if run.state in ("waiting", "running"):
            shop.runs.cancel(run.id)


def test_of_fifty_who_send_one_key_at_once_one_makes_a_quote_and_all_are_told_of_it(shop, writers):
    made = all_at_once(
        lambda mine, _: mine.quotes.make("arm", 5, process="cast", key="one"), writers
    )
    assert {quote.value.number for quote in made} == {1}
    assert len(list(shop.quotes.list())) == 1
    with pytest.raises(Refused) as caught:
        writers[0].quotes.make("arm", 6, process="cast", key="one")
    assert caught.value.kind == "key-reused"


def test_of_fifty_who_change_one_part_at_once_one_does_and_the_others_are_told(keeper, shop):
    read = shop.parts.read("arm")
    owner = shop.tokens.issue("owner", "many hands").secret

    def change(n: int) -> str:
        part = read.value.part.model_copy(update={"title": f"Long arm {n}"})
        with Client(keeper.address, owner, retry=Retry(attempts=40, longest_s=1.0)) as client:
            try:
                client.shop(shop.key).parts.write("arm", part, read=read)
            except Refused as refused:
                return refused.kind
        return "done"

    with ThreadPoolExecutor(WRITERS) as pool:
        ended = Counter(pool.map(change, range(WRITERS)))
    assert ended == {"done": 1, "stale": WRITERS - 1}
    assert shop.read().value.version == read_version(read) + 1


def read_version(read) -> int:
    return int(read.etag.strip('"'))
