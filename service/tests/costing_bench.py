"""Shops, processes and charges for the tests of cost, batches and rate. All invented."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

from mouldwright.domain.hours.opening import DayTimes, OpeningHours
from mouldwright.domain.material import Material, Mix
from mouldwright.domain.money import Currency
from mouldwright.domain.part.constituent import Charge, Constituent
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.part.shape import Rectangle
from mouldwright.domain.process.mould import Mould, MouldFamily
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Hold, Process
from mouldwright.domain.shop import Person, PricePolicy, Shop, Station
from mouldwright.domain.structure.kinds import MeasuredStructure
from mouldwright.domain.supplier import Offer, Supplier

EIGHT_HOURS: DayTimes = ((480, 720), (720 + 45, 1005))  # 08:00-12:00 and 12:45-16:45
WORKING_WEEK = (EIGHT_HOURS,) * 5 + ((), ())


def loaded(material_: str, grams: float = 0.0, metres: float = 0.0) -> Constituent:
    """Return one constituent of which all that is loaded stays."""
    return Constituent(
        material=material_, finished_g=grams, loaded_g=grams, density_kg_m3=1100.0, metres=metres
    )


def charged(*constituents: Constituent) -> Charge:
    """Return a charge for one part."""
    return Charge(constituents=constituents, volume_mm3=1000.0)


def person(key: str = "ann", *skills: str, wage: str = "36", **more: Any) -> Person:
    return Person(
        key=key,
        title=key.title(),
        skills=frozenset(skills or ("wet",)),
        wage_per_hour=Decimal(wage),
        **more,
    )


def attended(name: str, per: str, minutes: str = "0", **more: Any) -> Operation:
    more.setdefault("skill", "wet")
    return Operation(name=name, per=per, attended=True, fixed_min=Decimal(minutes), **more)


def unattended(name: str, per: str, minutes: str = "0", **more: Any) -> Operation:
    return Operation(name=name, per=per, attended=False, fixed_min=Decimal(minutes), **more)


def process(
    *operations: Operation, key: str = "way", holds: tuple[Hold, ...] = (), **more: Any
) -> Process:
    more.setdefault("structure", MeasuredStructure(modulus_gpa=3.0, density_kg_m3=1200.0))
    return Process(key=key, title=key.title(), operations=operations, holds=holds, **more)


def mould_hold(first: str, last: str) -> Hold:
    return Hold(resource="mould", first=first, last=last)


def family(count: int = 1, *, of: str = "way", part: str = "fin", **more: Any) -> MouldFamily:
    moulds = tuple(Mould(number=str(n)) for n in range(1, count + 1))
    key = more.pop("key", f"{part}-{of}")
    return MouldFamily(key=key, part=part, process=of, moulds=more.pop("moulds", moulds), **more)


def part(key: str = "fin", *made_by: str) -> Part:
    section = Rectangle(width_mm=40.0, height_mm=5.0)
    return Part(key=key, title=key.title(), span_mm=200.0, section=section, made_by=made_by)


def material(key: str, **more: Any) -> Material:
    more.setdefault("density_kg_m3", 1100.0)
    return Material(key=key, title=key.replace("-", " ").capitalize(), **more)


def resin(key: str = "resin", **more: Any) -> Material:
    """Return a resin mixed 100 : 30 by mass unless told otherwise."""
    more.setdefault("parts", {"part-a": Decimal(100), "part-b": Decimal(30)})
    more.setdefault("pot_life_min", 60)
    more.setdefault("most_mixed_g", Decimal(400))
    return material(key, mix=Mix(**more))


def offer(number: int, price: str, supplier: str = "weir", **contains: Any) -> Offer:
    grams = {k.replace("_", "-"): Decimal(v) for k, v in contains.pop("grams", {}).items()}
    metres = {k.replace("_", "-"): Decimal(v) for k, v in contains.pop("metres", {}).items()}
    return Offer(
        supplier=supplier,
        number=number,
        price=Decimal(price),
        contains_g=grams,
        contains_m=metres,
        **contains,
    )


def sold_by(*offers: Offer, key: str = "weir") -> dict[str, Supplier]:
    return {key: Supplier(key=key, title=key.title(), offers=offers)}


def shop(
    *things: Person | Station | Material | MouldFamily | Process | Part,
    weekly: tuple[DayTimes, ...] = WORKING_WEEK,
    **more: Any,
) -> Shop:
    """Return a shop of those things, one person with the skill "wet" unless people are given."""
    if not any(isinstance(thing, Person) for thing in things):
        things = (*things, person())

    def of(kind: type) -> dict[str, Any]:
        return {thing.key: thing for thing in things if isinstance(thing, kind)}

    more.setdefault("service_level", None)
    more.setdefault("price", PricePolicy())
    return Shop(
        name="Test bench",
        currency=Currency("EUR"),
        hours=OpeningHours(weekly=weekly, zone="Europe/Lisbon"),
        people=of(Person),
        stations=of(Station),
        materials=of(Material),
        moulds=of(MouldFamily),
        processes=of(Process),
        parts=of(Part),
        **more,
    )


def stated(material_: Material, per_kg: str) -> Material:
    return replace(material_, cost_per_kg=Decimal(per_kg))
