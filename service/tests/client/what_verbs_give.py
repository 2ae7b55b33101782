"""Read by the type checker alone: what a verb gives, asked in turn and beside other work.

Each verb is written once; what is told here is that both callers are still told its true type, and
that a wrong argument is still one.
"""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterator
from typing import assert_type

from mouldwright.client import AsyncClient, AsyncShop, Client, Kept, Shop
from mouldwright.wire.service.access import TokenAnswer
from mouldwright.wire.service.quote import KeptQuoteAnswer, QuoteEntry
from mouldwright.wire.service.run import RunAnswer
from mouldwright.wire.service.shop import PartEntry


def in_turn(client: Client) -> None:
    assert_type(client.who_am_i(), TokenAnswer)
    shop = client.shop("foils")
    assert_type(shop, Shop)
    assert_type(client.add_shop("foils", ""), Shop)
    assert_type(shop.quotes.make("fin", 4), Kept[KeptQuoteAnswer])
    assert_type(shop.quotes.list(), Iterator[QuoteEntry])
    assert_type(shop.parts.read("fin"), Kept[PartEntry])
    assert_type(shop.runs.watch("r1"), Iterator[RunAnswer])
    shop.quotes.make("fin", "four")  # type: ignore[arg-type]
    shop.quotes.make("fin", 4, colour="red")  # type: ignore[call-arg]


async def beside(client: AsyncClient) -> None:
    assert_type(await client.who_am_i(), TokenAnswer)
    shop = client.shop("foils")
    assert_type(shop, AsyncShop)
    assert_type(await client.add_shop("foils", ""), AsyncShop)
    assert_type(await shop.quotes.make("fin", 4), Kept[KeptQuoteAnswer])
    assert_type(shop.quotes.list(), AsyncIterator[QuoteEntry])
    assert_type(await shop.parts.read("fin"), Kept[PartEntry])
    assert_type(shop.runs.watch("r1"), AsyncIterator[RunAnswer])
    await shop.quotes.make("fin", "four")  # type: ignore[arg-type]
