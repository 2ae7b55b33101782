"""Who may do what, over HTTP: each verb takes its role, and nobody reaches another's shop."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest

from mouldwright.client import Client, Kept, Refused, Shop
from mouldwright.wire.service.order import BookedOrder, OrderChangeAsk
from mouldwright.wire.service.quote import KeptQuoteAnswer, QuoteReviseAsk


@dataclass(frozen=True)
class Seats:
    """Clients by role, and the shop they ask."""

    key: str
    clients: dict[str, Client]

    def shop(self, name: str) -> Shop:
        return self.clients[name].shop(self.key)


ROLES = ("viewer", "bench", "planner", "owner", "keeper")

# Numbers that nobody has.
NO_QUOTE = Kept(KeptQuoteAnswer.model_construct(number=999, revision=1), '"999-1"')
NO_ORDER = Kept(BookedOrder.model_construct(number="Q999"), '"1"')


def _written_back(shop: Shop) -> object:
    read = shop.parts.read("camera-boom")
    return shop.parts.write("camera-boom", read.value.part, read=read)


# Each verb with the least role that may: to look is for whoever may come in, promises and plans
# are the planner's, who may come in and what the shop is are the owner's. What is done with a
# number that nobody has ends in "unknown" for those who may, and changes nothing.
VERBS: dict[str, tuple[str, Callable[[Shop], object]]] = {
    "read the shop": ("viewer", lambda shop: shop.read()),
    "take the shop out as a file": ("viewer", lambda shop: shop.toml()),
    "list parts": ("viewer", lambda shop: shop.parts.list()),
    "list processes": ("viewer", lambda shop: shop.processes.list()),
    "list materials": ("viewer", lambda shop: shop.materials.list()),
    "list moulds": ("viewer", lambda shop: shop.moulds.list()),
    "compare": ("viewer", lambda shop: shop.ask.compare("stabiliser", 2, finish="by_rate")),
    "ask what would change": (
        "viewer",
        lambda shop: shop.ask.what_changes("stabiliser", 2, aim="lightest"),
    ),
    "price": (
        "viewer",
        lambda shop: shop.ask.price("stabiliser", 2, process="printed", finish="by_rate"),
    ),
    "bend": ("viewer", lambda shop: shop.ask.deflection("stabiliser", "cast")),
    "rate": ("viewer", lambda shop: shop.ask.rate("stabiliser", "cast")),
    "list quotes": ("viewer", lambda shop: list(shop.quotes.list())),
    "read a quote": ("viewer", lambda shop: shop.quotes.read(999)),
    "list orders": ("viewer", lambda shop: list(shop.orders.list())),
    "read an order": ("viewer", lambda shop: shop.orders.read("Q999")),
    "list runs": ("viewer", lambda shop: list(shop.runs.list())),
    "read a run": ("viewer", lambda shop: shop.runs.read("none")),
    "watch a run": ("viewer", lambda shop: list(shop.runs.watch("none"))),
    "read the plan": ("viewer", lambda shop: shop.plan.read()),
    "read a day": ("viewer", lambda shop: shop.plan.tasks(person="ines")),
    "make a quote": ("planner", lambda shop: shop.quotes.make("stabiliser", 1, process="none")),
    "revise a quote": (
        "planner",
        lambda shop: shop.quotes.revise(NO_QUOTE, QuoteReviseAsk(quantity=2)),
    ),
    "send a quote": ("planner", lambda shop: shop.quotes.send(NO_QUOTE)),
    "decline a quote": ("planner", lambda shop: shop.quotes.decline(NO_QUOTE)),
    "share a quote": ("planner", lambda shop: shop.quotes.share(999)),
    "list a quote's links": ("planner", lambda shop: shop.quotes.links(999)),
    "withdraw a quote's link": ("planner", lambda shop: shop.quotes.withdraw_link(999, "none")),
    "accept a quote": ("planner", lambda shop: shop.quotes.accept(NO_QUOTE)),
    "change an order": (
        "planner",
        lambda shop: shop.orders.change(NO_ORDER, OrderChangeAsk(weight=2)),
    ),
    "call an order off": ("planner", lambda shop: shop.orders.call_off(NO_ORDER, by="shop")),
    "stop a run": ("planner", lambda shop: shop.runs.cancel("none")),
    "publish a run": ("planner", lambda shop: shop.runs.publish("none")),
    "write a part": ("planner", lambda shop: _written_back(shop)),
    "remove a part": ("planner", lambda shop: shop.parts.remove("none", read=shop.parts.list())),
    "replace the shop": ("owner", lambda shop: shop.replace("not a shop", read=shop.read())),
    "list tokens": ("owner", lambda shop: shop.tokens.list()),
    "issue a token": ("owner", lambda shop: shop.tokens.issue("viewer", "another")),
    "withdraw a token": ("owner", lambda shop: shop.tokens.withdraw("none")),
    "erase a customer": ("owner", lambda shop: shop.erase_customer("nobody at all")),
}
# What those who may are told where there is nothing of that name or it cannot be so.
_LET_IN = {"done", "unknown", "invalid", "stale", "conflict"}


@pytest.fixture(scope="module")
def seats(server, keeper, new_shop_key, demo):
    """A client of each role in one shop, one who owns another, and one who shows no token."""
    shop = keeper.add_shop(new_shop_key(), demo)
    other = keeper.add_shop(new_shop_key(), demo)
    issued = {role: shop.tokens.issue(role, role).secret for role in ROLES if role != "keeper"}
    issued |= {"stranger": other.tokens.issue("owner", "next door").secret, "nobody": None}
    clients = {name: Client(server.address, secret) for name, secret in issued.items()}
    yield Seats(shop.key, {**clients, "keeper": keeper})
    for client in clients.values():
        client.close()


@pytest.mark.parametrize("verb", VERBS)
def test_a_verb_is_for_those_whose_role_reaches_so_far(seats, verb):
    least, ask = VERBS[verb]
    for role in ROLES:
        told = outcome(ask, seats.shop(role))
        if ROLES.index(role) < ROLES.index(least):
            assert told == "not-allowed", role
        else:
            assert told in _LET_IN, role


@pytest.mark.parametrize("verb", VERBS)
def test_nobody_reaches_a_shop_that_is_not_theirs_nor_learns_that_it_is_there(seats, verb):
    ask = VERBS[verb][1]
    assert outcome(ask, seats.shop("nobody")) == "not-signed-in"
    with pytest.raises(Refused) as caught:
        ask(seats.shop("stranger"))
    assert caught.value.kind == "unknown"
    assert caught.value.detail == f"There is no shop '{seats.key}'."


def test_a_keeper_alone_adds_shops_and_each_sees_their_own(seats, keeper, new_shop_key, demo):
    for role in ("viewer", "bench", "planner", "owner", "stranger"):
        client = seats.clients[role]
        mine = {s.key for s in client.shops()}
        assert len(mine) == 1
        with pytest.raises(Refused) as caught:
            client.add_shop(new_shop_key(), demo)
        assert caught.value.kind == "not-allowed"
    assert len(keeper.shops()) > 1


def outcome(ask: Callable[[Shop], object], shop: Shop) -> str:
    try:
        ask(shop)
    except Refused as refused:
        return refused.kind
    return "done"
