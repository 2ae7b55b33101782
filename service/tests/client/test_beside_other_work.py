"""The service asked beside other work: many at once, given up half way, and as it comes."""

from __future__ import annotations

import asyncio
import inspect

import httpx
import pytest
from answering import ADDRESS, Service, ok, problem

from mouldwright.client import AsyncClient, Client, Refused, Retry
from mouldwright.client.call import Call
from mouldwright.client.steps import Tell
from mouldwright.client.verbs import Told, Verb

FINE = {"status": "ok", "version": "1"}


def test_many_quotes_asked_for_at_once_are_each_made_once(served):
    bench, address = served

    async def twelve() -> list[int]:
        async with AsyncClient(address, bench.secret("owner")) as client:
            quotes, keys = client.shop("foils").quotes, [f"enquiry-{at % 6}" for at in range(12)]
            made = await asyncio.gather(
                *(quotes.make("stabiliser", 4, process="cast", key=key) for key in keys)
            )
            listed = [entry.number async for entry in quotes.list(page=4)]
            assert {quote.value.number for quote in made} == set(listed)
            return listed

    # Six keys, each sent twice.
    assert asyncio.run(twelve()) == [6, 5, 4, 3, 2, 1]


def test_a_quote_is_sent_and_accepted_and_its_order_read(served):
    bench, address = served

    async def booked() -> tuple[str, str]:
        async with AsyncClient(address, bench.secret("owner")) as client:
            shop = client.shop("foils")
            quote = await shop.quotes.make("stabiliser", 2, process="cast")
            accepted = await shop.quotes.accept(await shop.quotes.send(quote))
            with pytest.raises(Refused) as late:
                await shop.quotes.accept(quote)
            return (await shop.orders.read(accepted.order.number)).value.number, late.value.kind

    number, kind = asyncio.run(booked())
    assert number.startswith("Q")
    assert kind == "stale"


def test_signing_in_takes_the_token_for_what_is_asked_next(served):
    async def who(address: str) -> int:
        async with AsyncClient(address, "no-such-token") as client:
            with pytest.raises(Refused) as caught:
                await client.who_am_i()
            return caught.value.status

    assert asyncio.run(who(served[1])) == 401
    with pytest.raises(ValueError, match="no sign-in link"):
        asyncio.run(AsyncClient.by_link("http://a/?code="))


def test_what_is_given_up_half_way_leaves_the_client_able_to_ask():
    class Slow(httpx.AsyncBaseTransport):
        asked = 0

        async def handle_async_request(self, request: httpx.Request) -> httpx.Response:
            self.asked += 1
            if self.asked == 1:
                await asyncio.sleep(30)
            return ok(FINE)

    async def asked() -> str:
        async with AsyncClient(ADDRESS, transport=Slow()) as client:
            with pytest.raises(TimeoutError):
                await asyncio.wait_for(client.health(), 0.02)
            return (await client.health()).version

    assert asyncio.run(asked()) == "1"


def test_while_one_waits_to_ask_again_others_go_on():
    busy = [problem(503, "busy")] * 3

    async def order() -> list[str]:
        ended = []
        patient = Service(*busy, ok(FINE))

        async def ask(name: str, client: AsyncClient) -> None:
            await client.health()
            ended.append(name)

        waits = Retry(first_s=0.05, longest_s=0.05)
        async with (
            AsyncClient(ADDRESS, transport=patient.transport, retry=waits) as slow,
            AsyncClient(ADDRESS, transport=Service(ok(FINE)).transport) as quick,
        ):
            await asyncio.gather(ask("slow", slow), ask("quick", quick))
        assert len(patient.asked) == 4
        return ended

    assert asyncio.run(order()) == ["quick", "slow"]


def test_a_stream_that_is_left_early_is_closed_in_both_ways(answering):
    class Events(httpx.SyncByteStream, httpx.AsyncByteStream):
        closed = False

        def __iter__(self):
            yield b"data: one\n\ndata: two\n\n"

        async def __aiter__(self):
            for part in self:
                yield part

        def close(self):
            self.closed = True

        async def aclose(self):
            self.closed = True

    stream = Events()
    service = answering(lambda _: httpx.Response(200, stream=stream))
    asker = service.asker()

    def steps():
        yield from asker.connection.open(Call(method="GET", path="/v1/a"))
        while (line := (yield from asker.connection.line())) is not None:
            yield Tell(line)

    if service.beside:

        async def first() -> str:
            told = asker.connection.told(steps())
            line = await anext(told)
            await told.aclose()
            return line

        assert asyncio.run(first()) == "data: one"
    else:
        told = asker.connection.told(steps())
        assert next(told) == "data: one"
        told.close()
    assert stream.closed


def test_both_clients_show_the_same_verbs_with_their_signatures_and_what_they_do():
    in_turn, beside = Client(ADDRESS), AsyncClient(ADDRESS)
    seen = 0
    for one, other in ((in_turn, beside), (in_turn.shop("a"), beside.shop("a"))):
        things = [(one, other)]
        things += [
            (value, vars(other)[name])
            for name, value in vars(one).items()
            if not name.startswith("_") and name != "key"
        ]
        for mine, its in things:
            assert {n for n in dir(mine) if n[0] != "_"} == {n for n in dir(its) if n[0] != "_"}
            for name in dir(type(mine)):
                verb = inspect.getattr_static(type(mine), name)
                if not isinstance(verb, Verb | Told):
                    continue
                seen += 1
                asked = getattr(mine, name)
                assert asked.__doc__, name
                assert "self" not in inspect.signature(asked).parameters
                assert inspect.signature(asked) == inspect.signature(getattr(its, name))
    assert seen > 60
    in_turn.close()
    asyncio.run(beside.close())
