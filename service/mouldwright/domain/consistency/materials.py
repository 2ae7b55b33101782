"""Materials: whether what is named exists, has what is asked of it, and has a price."""

from __future__ import annotations

from collections.abc import Iterator

from mouldwright.domain.consistency.finding import Where, fault, routings, unknown, warning
from mouldwright.domain.costing.skin_waste import skin_without_waste
from mouldwright.domain.errors import Fault
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.material import Material
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import (
    CastStructure,
    HybridStructure,
    MeasuredStructure,
    MixStructure,
    PrintStructure,
    Structure,
)

_NEEDS = {
    "fibre": "length_mm and diameter_um",
    "rod": "diameter_mm",
    "modulus_gpa": "Young's modulus in GPa",
}


def material_faults(shop: Shop) -> Iterator[Fault]:
    """Yield the faults of materials, offers, stock and structures."""
    yield from _mixes(shop)
    yield from _offers_and_stock(shop)
    for key, process in shop.processes.items():
        yield from _structure(shop, key, process)
        yield from _skin(shop, key, process)
    yield from _prices(shop)


def _mixes(shop: Shop) -> Iterator[Fault]:
    for key, material in shop.materials.items():
        for component in material.mix.parts if material.mix else ():
            at: Where = ("materials", key, "mix", "parts", component)
            if component not in shop.materials:
                yield unknown(at, component, "material", shop.materials)
            elif shop.materials[component].mix is not None:
                yield fault(
                    at,
                    component,
                    "a component is stocked, and this material is itself mixed.",
                    "Name the materials it is mixed from.",
                )


def _offers_and_stock(shop: Shop) -> Iterator[Fault]:
    for supplier in shop.suppliers.values():
        for place, offer in enumerate(supplier.offers):
            at: Where = ("suppliers", supplier.key, "offers", place)
            for name, contents in (
                ("contains", offer.contains_g),
                ("contains_m", offer.contains_m),
            ):
                for key in contents:
                    if key not in shop.materials:
                        yield unknown((*at, name, key), key, "material", shop.materials)
                    elif shop.materials[key].mix is not None:
                        yield fault(
                            (*at, name, key),
                            key,
                            "a mixed material is not bought; its components are.",
                            f"Name {', '.join(_components(shop.materials[key]))}.",
                        )
    today = local(minute_of(shop.start), shop.zone).date() if shop.start else None
    for key, lots in shop.stock.lots.items():
        if key not in shop.materials:
            yield unknown(("stock", key), key, "material", shop.materials)
        for place, lot in enumerate(lots):
            if lot.arrives is not None and shop.materials_planned == "assumed":
                yield warning(
                    ("stock", key, place, "arrives"),
                    str(lot.arrives),
                    "plans take materials as there, so no order waits for this delivery.",
                    'Write materials_planned = "from stock" under shop, or leave this out.',
                )
            if lot.expires is not None and today is not None and lot.expires < today:
                yield warning(
                    ("stock", key, place, "expires"),
                    str(lot.expires),
                    f"this lot has expired by the start, {today}, and is not used.",
                    "Take it out of stock, or correct the date.",
                )


def _components(material: Material) -> tuple[str, ...]:
    return tuple(material.mix.parts) if material.mix else (material.key,)


def _skin(shop: Shop, key: str, process: Process) -> Iterator[Fault]:
    skin = skin_without_waste(process, shop.materials)
    if skin is not None:
        yield warning(
            ("processes", key, "structure", "skin"),
            skin.key,
            "its cloth is charged as it lies on the core; what is cut off it is in no cost and "
            "is not bought.",
            f"Write lost_share in materials.{skin.key}.mix: 0.15 is 15 % of what lies on the core.",
        )


def _named(structure: Structure) -> Iterator[tuple[Where, str, tuple[str, ...]]]:
    """Yield where a structure names a material, its key, and what it must have."""
    match structure:
        case MixStructure():
            yield ("fibre",), structure.fibre, ("modulus_gpa", "fibre")
            yield ("matrix",), structure.matrix, ("modulus_gpa",)
        case CastStructure():
            yield ("matrix",), structure.matrix, ("modulus_gpa",)
            for place, rod in enumerate(structure.rods):
                yield ("rods", place, "material"), rod.material, ("modulus_gpa", "rod")
        case PrintStructure():
            yield ("material",), structure.material, ("modulus_gpa",)
        case HybridStructure():
            yield ("skin",), structure.skin, ("modulus_gpa",)
            yield ("core",), structure.core, ("modulus_gpa",)
        case MeasuredStructure():
            if structure.material is not None:
                yield ("material",), structure.material, ()


def _structure(shop: Shop, key: str, process: Process) -> Iterator[Fault]:
    at: Where = ("processes", key, "structure")
    judged = [part.key for part in shop.parts.values() if key in part.made_by and part.requirement]
    if process.structure is None:
        yield warning(
            at,
            None,
            "without a structure neither stiffness nor the cost of material is known.",
            'Add structure = { kind = "mix", "cast", "print", "hybrid" or "measured", ... }.',
        )
        return
    for below, name, needs in _named(process.structure):
        material = shop.materials.get(name)
        if material is None:
            yield unknown((*at, *below), name, "material", shop.materials)
            continue
        for need in needs:
            if getattr(material, need) is not None:
                continue
            # A rod has no size without its diameter, whether or not stiffness is asked for.
            finding = fault if judged or need == "rod" else warning
            asks = f", which {judged[0]} asks for" if judged else ""
            yield finding(
                ("materials", name, need),
                None,
                f"{material.title} needs it for the stiffness of {process.title}{asks}.",
                f"Add {need}: {_NEEDS[need]}.",
            )


def _prices(shop: Shop) -> Iterator[Fault]:
    offered = {key for offer in shop.offers for key in offer.materials}
    used: dict[str, str] = {}
    for key, process in shop.processes.items():
        if isinstance(process.structure, MeasuredStructure) and process.structure.material is None:
            yield warning(
                ("processes", key, "structure", "material"),
                None,
                "what it is made of is not said, so no material is charged for it.",
                "Add material = the key of what it is charged as.",
            )
        for _, name, _ in _named(process.structure) if process.structure else ():
            used.setdefault(name, process.title)
    for where, operations in routings(shop):
        for operation in operations:
            if operation.material is not None:
                used.setdefault(operation.material, str(where[1]))
    unpriced: dict[str, str] = {}
    for name, by in used.items():
        material = shop.materials.get(name)
        if material is None or _priced(material):
            continue
        for component in _components(material):
            known = shop.materials.get(component)
            if known is not None and not _priced(known) and component not in offered:
                unpriced.setdefault(component, by)
    for name, by in unpriced.items():
        yield warning(
            ("materials", name),
            None,
            f"{by} uses it and nothing gives its price: its cost is unknown, never zero.",
            "Add an offer of a supplier, or cost_per_kg (cost_per_m for a rod).",
        )


def _priced(material: Material) -> bool:
    return material.cost_per_kg is not None or material.cost_per_m is not None
