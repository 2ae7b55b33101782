"""Money: whether every amount can be paid in the shop's currency."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from mouldwright.domain.consistency.finding import Where, fault, warning
from mouldwright.domain.errors import Fault
from mouldwright.domain.key_path import entries, key_path
from mouldwright.domain.money import Currency
from mouldwright.domain.shop import Shop

Amounts = Iterator[tuple[Where, Decimal | None]]


# So many amounts that cannot be paid are no slips: they are of another currency.
_OF_ANOTHER_CURRENCY = 3


def money_faults(shop: Shop) -> Iterator[Fault]:
    """Yield amounts with more decimals than the currency has, and amounts below nothing.

    Where several cannot be paid, one fault says so of all: the prices are of another currency.
    """
    yield from _tax(shop)
    currency = shop.currency
    unpayable = []
    for where, amount in _amounts(shop):
        if amount is None:
            continue
        if amount < 0:
            yield fault(where, f"{amount:f}", "an amount cannot be negative.", "Write 0 or more.")
        elif not currency.holds(amount):
            unpayable.append((where, amount))
    if len(unpayable) >= _OF_ANOTHER_CURRENCY:
        yield _to_convert(currency, unpayable)
        return
    for where, amount in unpayable:
        yield fault(
            where,
            f"{amount:f}",
            f"{currency.code} has {_decimals(currency)}.",
            _payable(currency, amount),
        )


def _to_convert(currency: Currency, unpayable: list[tuple[Where, Decimal]]) -> Fault:
    """Return the one fault of prices that were not converted, with every place."""
    places = ", ".join(f"{key_path(*where)} = {amount:f}" for where, amount in unpayable)
    return fault(
        ("shop", "currency"),
        currency.code,
        f"{currency.code} has {_decimals(currency)}, and {len(unpayable)} amounts have more.",
        f"Convert every amount of the shop to {currency.code}, not these alone, or write here the "
        f"currency they are in. These cannot be paid: {places}.",
    )


def _decimals(currency: Currency) -> str:
    return f"{currency.digits} decimals" if currency.digits else "no decimals"


def _payable(currency: Currency, amount: Decimal) -> str:
    """Return what to write instead; what costs something is never made free."""
    if currency.round(amount):
        return f'Write "{currency.text(amount)}".'
    least = currency.text(currency.minor_unit)
    return f'Write "{least}", rounded up: {currency.code} holds nothing between 0 and that.'


def _tax(shop: Shop) -> Iterator[Fault]:
    rate = shop.price.tax_rate
    if rate >= 1:
        yield warning(
            ("shop", "price", "tax_rate"),
            f"{rate:f}",
            f"that is a tax of {rate * 100:f} % of the net.",
            f"{rate:f} % is written {(rate / 100).normalize():f}.",
        )


def _amounts(shop: Shop) -> Amounts:
    yield ("shop", "overhead_per_hour"), shop.overhead_per_hour
    yield ("shop", "packaging_per_part"), shop.packaging_per_part
    yield ("shop", "price", "least_order"), shop.price.least_order
    for key, person in shop.people.items():
        yield ("people", key, "wage_per_hour"), person.wage_per_hour
    for key, station in shop.stations.items():
        yield ("stations", key, "cost_per_hour"), station.cost_per_hour
    for key, material in shop.materials.items():
        yield ("materials", key, "cost_per_kg"), material.cost_per_kg
        yield ("materials", key, "cost_per_m"), material.cost_per_m
    for key, family in shop.moulds.items():
        yield ("moulds", key, "cost"), family.cost
    yield from _bought(shop)


def _bought(shop: Shop) -> Amounts:
    for key, supplier in shop.suppliers.items():
        yield ("suppliers", key, "shipping"), supplier.shipping
        yield ("suppliers", key, "hazard_surcharge"), supplier.hazard_surcharge
        for place, offer in enumerate(supplier.offers):
            at: Where = ("suppliers", key, "offers", place)
            yield (*at, "price"), offer.price
            for number, (_, price) in enumerate(offer.price_breaks):
                yield (*at, "price_breaks", number), price
    for key, process in shop.processes.items():
        shown = entries([used.name for used in process.consumables])
        for used, name in zip(process.consumables, shown, strict=True):
            yield ("processes", key, "consumables", name, "cost"), used.cost
    for key, part_set in shop.sets.items():
        shown = entries([item.name for item in part_set.items])
        for item, name in zip(part_set.items, shown, strict=True):
            yield ("sets", key, "items", name, "cost"), item.cost
