"""The numbers of a shop that its costs rest on: prices, wages, stations, policies."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from decimal import Decimal
from typing import Any

from mouldwright.domain.key_path import key_path
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import materials_of
from mouldwright.domain.supplier import Offer
from mouldwright.domain.switching.input import (
    Input,
    Look,
    finest,
    in_shop,
    number,
    of_entry,
    of_itself,
    with_entry,
    with_value,
)

_HIGHEST_SHARE = Decimal("0.999")


def shop_inputs(shop: Shop, processes: Iterable[Process]) -> Iterator[Input]:
    """Yield the numbers outside parts, moulds and processes that move the cost of those."""
    used = tuple(processes)
    materials = _materials(shop, used)
    yield from _people(shop, used)
    yield from _stations(shop, used)
    yield from _offers(shop, materials)
    yield from _stated_costs(shop, materials)
    yield from _policies(shop)


def money(
    shop: Shop,
    path: tuple[Any, ...],
    title: str,
    per: str,
    value: Decimal,
    put: Callable[[Shop, Decimal], Shop],
    *,
    look: Look = "kinked",
    processes: frozenset[str] | None = None,
) -> Input:
    """Return an amount of money as an input."""
    return Input(
        key=key_path(*path),
        title=title,
        unit=f"{shop.currency.code}{per}",
        value=value,
        step=finest(value, str(shop.currency.minor_unit)),
        look=look,
        processes=processes,
        put=in_shop(put),
    )


def share(
    path: tuple[Any, ...],
    title: str,
    value: Decimal,
    put: Callable[[Shop, Decimal], Shop],
    *,
    most: Decimal | None = _HIGHEST_SHARE,
    look: Look = "stepped",
) -> Input:
    """Return a share as an input."""
    return Input(
        key=key_path(*path),
        title=title,
        unit="",
        value=value,
        step=finest(value, "0.001"),
        most=most,
        look=look,
        put=in_shop(put),
    )


def _materials(shop: Shop, processes: Iterable[Process]) -> frozenset[str]:
    """Return the materials those processes take, and what they are mixed from."""
    found = {key for process in processes for key in materials_of(process.structure)}
    for process in processes:
        found |= {operation.material for operation in process.operations if operation.material}
    for key in tuple(found):
        material = shop.materials.get(key)
        if material is not None and material.mix is not None:
            found |= set(material.mix.parts)
    return frozenset(found)


def _people(shop: Shop, processes: Iterable[Process]) -> Iterator[Input]:
    asked = {o.skill for p in processes for o in (*p.operations, *_upkeep(p)) if o.attended}
    for key, person in shop.people.items():
        if not any(skill is None or skill in person.skills for skill in asked):
            continue
        yield money(
            shop,
            ("people", key, "wage_per_hour"),
            f"{person.title}’s wage",
            "/h",
            person.wage_per_hour,
            of_entry("people", key, "wage_per_hour"),
        )
        yield share(
            ("people", key, "on_cost_rate"),
            f"on-costs on {person.title}’s wage",
            person.on_cost_rate,
            of_entry("people", key, "on_cost_rate"),
            most=None,
            look="kinked",
        )


def _upkeep(process: Process) -> tuple[Any, ...]:
    return () if process.conditioning is None else (process.conditioning,)


def _stations(shop: Shop, processes: Iterable[Process]) -> Iterator[Input]:
    used = {o.station for p in processes for o in p.operations}
    used |= {hold.resource for p in processes for hold in p.holds}
    for key, station in shop.stations.items():
        if key in used:
            yield money(
                shop,
                ("stations", key, "cost_per_hour"),
                f"an hour of {station.title}",
                "/h",
                station.cost_per_hour,
                of_entry("stations", key, "cost_per_hour"),
            )


def _offers(shop: Shop, materials: frozenset[str]) -> Iterator[Input]:
    # Whole packs of the cheapest offer make the cost jump where another becomes that.
    look: Look = "kinked" if shop.materials_charged == "used" else "stepped"
    for supplier in shop.suppliers.values():
        for offer in supplier.offers:
            if not offer.materials & materials:
                continue

            def put(
                s: Shop, v: Decimal, key: str = supplier.key, place: int = offer.number - 1
            ) -> Shop:
                offers = list(s.suppliers[key].offers)
                offers[place] = replace(offers[place], price=v)
                return with_entry(s, "suppliers", key, offers=tuple(offers))

            yield money(
                shop,
                ("suppliers", supplier.key, "offers", offer.number - 1, "price"),
                f"{supplier.title}’s price of {_pack(shop, offer)}",
                " a pack",
                offer.price,
                put,
                look=look,
            )


def _pack(shop: Shop, offer: Offer) -> str:
    held = [f"{g:f} g of {shop.material_title(k)}" for k, g in offer.contains_g.items()]
    held += [f"{m:f} m of {shop.material_title(k)}" for k, m in offer.contains_m.items()]
    return " with ".join(held)


def _stated_costs(shop: Shop, materials: frozenset[str]) -> Iterator[Input]:
    for key in sorted(materials & set(shop.materials)):
        material = shop.materials[key]
        for name, per in (("cost_per_kg", "/kg"), ("cost_per_m", "/m")):
            value = getattr(material, name)
            if value is not None:
                yield money(
                    shop,
                    ("materials", key, name),
                    f"the stated cost of {material.title}",
                    per,
                    value,
                    of_entry("materials", key, name),
                )


def _of_outbound(name: str) -> Callable[[Shop, Decimal], Shop]:
    return lambda shop, value: replace(shop, outbound=with_value(shop.outbound, name, value))


def _policies(shop: Shop) -> Iterator[Input]:
    for name, title, per in (
        ("overhead_per_hour", "overhead", "/h"),
        ("packaging_per_part", "packaging of one part", " a part"),
    ):
        yield money(
            shop,
            ("shop", name),
            title,
            per,
            getattr(shop, name),
            of_itself(name),
        )
    for name, title, per in (
        ("per_order", "freight of one order", " an order"),
        ("per_part", "freight of one part", " a part"),
    ):
        yield money(
            shop,
            ("shop", "outbound", name),
            title,
            per,
            getattr(shop.outbound, name),
            _of_outbound(name),
        )
    yield share(
        ("shop", "outbound", "returns_share"),
        "the share for returns and repairs",
        shop.outbound.returns_share,
        _of_outbound("returns_share"),
    )
    yield share(
        ("shop", "unbillable_share"),
        "the unbillable share of the day",
        shop.unbillable_share,
        of_itself("unbillable_share"),
        look="once",  # lines in 1 / (1 - share)
    )
    yield share(
        ("shop", "price", "rate"),
        "the margin" if shop.price.rule == "margin" else "the mark-up",
        shop.price.rate,
        lambda s, v: replace(s, price=replace(s.price, rate=v)),
    )
    if shop.service_level is not None:
        yield replace(
            share(
                ("shop", "service_level"),
                "the chance of enough good parts that starts are planned for",
                shop.service_level,
                lambda s, v: replace(s, service_level=v),
            ),
            least=Decimal("0.001"),
            moves=frozenset({"cost", "time"}),
        )
    factor = number(shop.theory_factor)
    yield replace(
        share(
            ("shop", "theory_factor"),
            "the share of computed stiffness counted on",
            factor,
            lambda s, v: replace(s, theory_factor=float(v)),
            most=Decimal(1),
            look="once",
        ),
        least=Decimal("0.001"),
        moves=frozenset({"strength"}),
    )
