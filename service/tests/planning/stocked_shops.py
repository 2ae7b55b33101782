"""A shop that plans from its stock, in a few words, for tests.

A part of builders.part() is 20 x 5 x 100 mm: 10 cm3, 11 g of a resin of 1100 kg/m3, mixed of
equal masses of two components.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import builders as build

from mouldwright.domain.material import Lot, Material, Stock
from mouldwright.domain.order import Order
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import CastStructure
from mouldwright.domain.supplier import Offer, Supplier


def stocked(key: str) -> Material:
    return Material(key=key, title=key, density_kg_m3=1100.0, cost_per_kg=Decimal(10))


def lot(material: str, grams: int, **more: Any) -> Lot:
    return Lot(material=material, grams=Decimal(grams), **more)


def shop_of(orders: list[Order], *lots: Lot, lead_days: int | None = None) -> Shop:
    process = build.process(
        build.hands("mix", 2, per="batch", material="resin", pot_life_until="pour"),
        build.hands("pour", 3),
        build.alone("cure", 60),
        build.hands("demould", 5),
        holds=[build.hold("pour", "demould")],
        structure=CastStructure(matrix="resin"),
    )
    by_material: dict[str, tuple[Lot, ...]] = {}
    for one in lots:
        by_material[one.material] = (*by_material.get(one.material, ()), one)
    suppliers = {}
    if lead_days is not None:
        offer = Offer(
            number=1, supplier="quay", contains_g={"resin-b": Decimal(500)}, price=Decimal(9)
        )
        suppliers["quay"] = Supplier(
            key="quay", title="The quay", lead_days=lead_days, offers=(offer,)
        )
    return build.shop(
        process,
        orders,
        people=[build.person("ana")],
        moulds=[build.moulds(2)],
        materials=[build.mixed(), stocked("resin-a"), stocked("resin-b")],
        stock=Stock(lots=by_material),
        suppliers=suppliers,
        materials_planned="from stock",
    )
