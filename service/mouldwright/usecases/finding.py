"""Finding a quote, an order, a mould, a customer or anything of the bench by number or name."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.order import Order
from mouldwright.domain.shop import Shop
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept_run import Page
from mouldwright.usecases.ledgers import Ledgers, ledgers
from mouldwright.usecases.promise_ports import PromiseReading
from mouldwright.usecases.services import Services
from mouldwright.usecases.shelf import open_kept

LONGEST_SOUGHT = 100
MOST_DIGITS = 9
# How far back customers are looked for, the newest first, and how many of each are shown.
LOOKED_BACK = 2_000
MOST_OF_A_KIND = 20

FoundKind = Literal[
    "quote", "order", "serial", "mould", "moulds", "part", "set", "process", "material", "person"
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """Something found.

    Attributes:
        key: Its number or key; of a mould, its family's key and its number.
        name: As people say it.
        about: What else tells it from others: its customer, what it is of.
    """

    kind: FoundKind
    key: str
    name: str
    about: str = ""


def find(services: Services, shop: str, sought: str) -> tuple[Shop, tuple[Found, ...]]:
    """Return a shop and all of it that fits what is sought; numbers fit whole, names in part.

    Raises:
        Unknown: if there is no such shop.
    """
    kept = open_kept(services.units, services.written, shop).shop
    words = _folded(sought[:LONGEST_SOUGHT]).split()
    if not words:
        return kept, ()
    with services.units.read(shop) as unit:
        found = [*_promises(unit, kept, words), *_things(kept, words)]
    found += _serials(ledgers(services, shop), sought)
    return kept, tuple(dict.fromkeys(found))


def _serials(found: Ledgers, sought: str) -> Iterator[Found]:
    """Yield the part of that serial, where the log tells of it."""
    if "-" not in sought or not found.shop.log:
        return
    try:
        record = found.records().part(sought)
    except InvalidInput:
        return
    about = f"of order {record.serial.order}"
    yield Found(kind="serial", key=str(record.serial), name=f"Part {record.serial}", about=about)


def _folded(text: str) -> str:
    """Return text without accents and capitals, as people type it in a hurry."""
    parted = unicodedata.normalize("NFD", text.casefold())
    return "".join(letter for letter in parted if not unicodedata.combining(letter)).strip()


def _fits(words: Iterable[str], *names: str) -> bool:
    text = _folded(" ".join(names))
    return all(word in text for word in words)


def _promises(unit: PromiseReading, shop: Shop, words: list[str]) -> Iterator[Found]:
    """Yield orders and quotes of that number, then those of such a customer."""
    sought = " ".join(words)
    titles = {key: part.title for key, part in shop.parts.items()}
    titles |= {key: sold.title for key, sold in shop.sets.items()}

    def order(each: Order) -> Found:
        about = f"{each.quantity:,} × {titles.get(each.part, each.part)}"
        return Found(
            kind="order",
            key=each.number,
            name=f"Order {each.number}",
            about=f"{about}, {each.customer}" if each.customer else about,
        )

    yield from (order(each) for each in shop.orders if _folded(each.number) == sought)
    number = _number(sought)
    if number is not None:
        try:
            quote = unit.quotes.revision(number)
        except Unknown:
            pass
        else:
            yield _quote(number, quote.customer, titles.get(quote.inputs.part, quote.inputs.part))
        booking = unit.bookings.by_quote(number)
        if booking is not None:
            yield order(booking.order)
    yield from [order(each) for each in shop.orders if _is_of(each.customer, words)]
    quotes = unit.quotes.listed(Page(limit=LOOKED_BACK))
    of_quotes = [each for each in quotes if _is_of(each.customer, words)][:MOST_OF_A_KIND]
    for summary in of_quotes:
        yield _quote(summary.number, summary.customer, titles.get(summary.part, summary.part))
    for summary in of_quotes:
        booking = unit.bookings.by_quote(summary.number) if summary.state == "accepted" else None
        if booking is not None:
            yield order(booking.order)


def _is_of(customer: str, words: list[str]) -> bool:
    return bool(customer) and _fits(words, customer)


def _quote(number: int, customer: str, title: str) -> Found:
    about = f"{title}, {customer}" if customer else title
    return Found(kind="quote", key=str(number), name=f"Quote {number}", about=about)


def _number(sought: str) -> int | None:
    digits = sought.removeprefix("quote").removeprefix("q").strip()
    is_number = digits.isascii() and digits.isdigit() and len(digits) <= MOST_DIGITS
    return int(digits) if is_number else None


def _things(shop: Shop, words: list[str]) -> Iterator[Found]:
    """Yield what is called so. Of moulds the number counts, so it must be there whole."""
    for family in shop.moulds.values():
        for mould in family.moulds:
            *names, number = words
            if number == _folded(mould.number) and names and _fits(names, family.key, family.title):
                yield Found(
                    kind="mould", key=f"{family.key} {mould.number}", name=family.name(mould)
                )
    kinds: tuple[tuple[FoundKind, Iterable[tuple[str, str]]], ...] = (
        ("part", [(each.key, each.title) for each in shop.parts.values()]),
        ("set", [(each.key, each.title) for each in shop.sets.values()]),
        ("process", [(each.key, each.title) for each in shop.processes.values()]),
        ("material", [(each.key, each.title) for each in shop.materials.values()]),
        ("person", [(each.key, each.title) for each in shop.people.values()]),
        ("moulds", [(each.key, each.title or each.key) for each in shop.moulds.values()]),
    )
    for kind, things in kinds:
        for key, title in things:
            if _fits(words, key, title):
                yield Found(kind=kind, key=key, name=title)
