"""A shop kept by the client in the service itself: signed in, read, written, handed out."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from promise_bench import DEMO
from service_bench import SHOP
from written_shop import WHOLE

from mouldwright.client import Client, Refused
from mouldwright.scenario.kept import KeptScenarios
from mouldwright.usecases.access import promise_sign_in
from mouldwright.usecases.kept import Role
from mouldwright.usecases.session import sign_in_path
from mouldwright.wire.scenario import Scenario


@contextmanager
def refused(kind: str) -> Iterator[None]:
    """Expect a refusal of one kind."""
    with pytest.raises(Refused) as caught:
        yield
    assert caught.value.kind == kind, caught.value


def link(served) -> str:
    bench, address = served
    code = promise_sign_in(
        bench.services.units,
        shop=SHOP,
        role=Role.PLANNER,
        minutes=5,
        now=bench.clock(),
        chance=bench.services.chance,
    )
    return address + sign_in_path(code)


def test_a_link_signs_in_once(served):
    once = link(served)
    with Client.by_link(once) as client:
        me = client.who_am_i()
        assert (me.shop, me.role) == (SHOP, "planner")
    with refused("not-signed-in"):
        Client.by_link(once)


def test_a_token_that_was_rotated_holds_no_more_and_the_new_one_does(served):
    with Client.by_link(link(served)) as client:
        old = client.token
        client.rotate()
        assert client.who_am_i().role == "planner"
        with Client(client.address, old) as other, refused("not-signed-in"):
            other.who_am_i()


def test_a_token_that_was_rotated_holds_on_where_that_was_asked(served):
    with Client.by_link(link(served)) as client:
        old = client.token
        assert client.rotate(overlap_minutes=10).role == "planner"
        assert client.token != old
        with Client(client.address, old) as other:
            assert other.who_am_i().role == "planner"


def test_who_changed_what_is_listed_page_by_page_and_handed_out(served, shop):
    issued = [shop.tokens.issue("viewer", label).token for label in ("door", "desk")]
    told = list(shop.audit.list(thing="token", page=1))
    assert [entry.key for entry in told][:2] == [token.id for token in reversed(issued)]
    assert [entry.key for entry in shop.audit.list(thing="token", key=issued[0].id)] == [
        issued[0].id
    ]
    assert b"desk" in shop.audit.csv()


def test_tokens_are_issued_listed_and_withdrawn(served, shop):
    issued = shop.tokens.issue("viewer", "the window", days=3)
    assert (issued.token.expires_at - issued.token.issued_at).days == 3
    with Client(served[1], issued.secret) as viewer:
        assert [s.key for s in viewer.shops()] == [SHOP]
        with refused("not-allowed"):
            viewer.shop(SHOP).tokens.list()
        shop.tokens.withdraw(issued.token.id)
        with refused("not-signed-in"):
            viewer.shops()
    listed = {token.id: token for token in shop.tokens.list()}
    assert listed[issued.token.id].revoked_at is not None


def test_everyone_is_signed_out_but_who_asks(served, shop):
    issued = shop.tokens.issue("viewer", "the window")
    assert shop.tokens.sign_everyone_out().tokens == 0
    assert shop.tokens.sign_everyone_out(tokens_too=True).tokens >= 1
    with Client(served[1], issued.secret) as viewer, refused("not-signed-in"):
        viewer.shops()
    assert shop.tokens.list()


def test_a_quote_is_shared_by_a_link_that_can_be_withdrawn(served, shop):
    number = shop.quotes.make("stabiliser", 2, process="pressed").value.number
    made = shop.quotes.share(number, days=3, may_answer=False)
    assert made.path is not None
    assert (made.link.expires_at - made.link.made_at).days == 3
    assert shop.quotes.links(number) == (made.link,)
    with Client(served[1], made.path.removeprefix("/q/")) as nobody, refused("not-signed-in"):
        nobody.shops()
    shop.quotes.withdraw_link(number, made.link.id)
    assert shop.quotes.links(number)[0].revoked_at is not None
    with refused("unknown"):
        shop.quotes.share(number + 1000)


def test_health_is_open_to_all(served):
    with Client(served[1]) as nobody:
        assert nobody.health().status == "ok"
        with refused("not-signed-in"):
            nobody.shops()


def test_a_shop_is_added_from_a_file_and_from_a_model_and_reads_back_equal(keeper):
    by_file = keeper.add_shop("by-file", WHOLE)
    with refused("already-there"):
        keeper.add_shop("by-file", WHOLE)
    by_model = keeper.add_shop("by-model", Scenario.of(DEMO))
    assert by_model.read().value.scenario == Scenario.of(DEMO)
    assert KeptScenarios().read_toml(by_model.toml()) == DEMO
    assert KeptScenarios().read_toml(by_file.toml()) == KeptScenarios().read_toml(WHOLE)


def test_a_shop_is_added_once_however_often_it_is_asked_with_one_key(keeper):
    for _ in range(2):
        keeper.add_shop("once", WHOLE, idempotency_key="the-same")
    with refused("key-reused"):
        keeper.add_shop("twice", WHOLE, idempotency_key="the-same")


def test_a_shop_is_replaced_only_by_whoever_read_what_holds(keeper):
    shop = keeper.add_shop("replaced", WHOLE)
    read = shop.read()
    shop.replace(Scenario.of(DEMO), read=read)
    with refused("stale"):
        shop.replace(WHOLE, read=read)
    now = shop.read(known=read)
    assert now.value.version == 2
    assert shop.read(known=now) is now
    assert shop.read(1).value.scenario == read.value.scenario


def test_every_fault_of_a_scenario_comes_back_with_its_place(keeper):
    wrong = WHOLE.replace('"EUR"', '"EURO"').replace("Europe/Berlin", "Europe/Nowhere")
    assert wrong.count("EURO") == wrong.count("Nowhere") == 1
    with pytest.raises(Refused) as caught:
        keeper.add_shop("wrong", wrong)
    assert caught.value.kind == "invalid"
    assert {item.path for item in caught.value.errors} >= {"shop.currency", "shop.time_zone"}
    assert all(item.line and item.remedy for item in caught.value.errors)


@pytest.mark.parametrize("section", ["parts", "processes", "materials", "moulds", "bench_tests"])
def test_each_thing_of_a_shop_is_read_and_written_back_the_same(keeper, section):
    shop = keeper.add_shop(f"things-{section.replace('_', '-')}", Scenario.of(DEMO))
    things = getattr(shop, section)
    every = things.list()
    entries = getattr(every.value, section)
    assert len(entries) > 1
    assert things.list(known=every) is every
    singular = next(name for name in type(entries[0]).model_fields if name != "key")
    read = things.read(entries[0].key)
    written = things.write(entries[0].key, getattr(read.value, singular), read=read)
    assert written.value == read.value
    assert shop.read().value.scenario == Scenario.of(DEMO)


def test_a_thing_is_changed_only_by_whoever_read_what_holds(keeper):
    shop = keeper.add_shop("a-part", Scenario.of(DEMO))
    read = shop.parts.read("stabiliser")
    title = read.value.part.model_copy(update={"title": "Tail foil"})
    written = shop.parts.write("stabiliser", title, read=read)
    assert written.value.part.title == "Tail foil"
    with refused("stale"):
        shop.parts.write("stabiliser", title, read=read)
    with refused("invalid"):
        shop.parts.remove("stabiliser", read=written)
    printed = title.model_copy(update={"made_by": ["printed"]})
    copied = shop.parts.write("spare", printed, read=written)
    shop.parts.remove("spare", read=copied)
    with refused("unknown"):
        shop.parts.read("spare")
