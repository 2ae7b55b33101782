"""What if? A shop and a part with some of their figures taken otherwise, for one question.

Nothing of it is kept: a quote goes by what is written in the shop.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from decimal import Decimal

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.part.load import force_n
from mouldwright.domain.part.requirement import LoadShape, Part, Requirement, Support
from mouldwright.domain.shop import Shop
from mouldwright.domain.supplier import Offer


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """Figures taken otherwise; None leaves one as it is written.

    Attributes:
        support: How the part is held.
        load: Where the force acts.
        force_n: Total force, before the safety factor.
        deflection_mm: The most the part may bend.
        mass_g: The most it may weigh.
        factor: Safety factor on the force.
        mount_n_mm_per_rad: Stiffness of each elastic mount.
        wage_per_hour: Everyone's wage, before on-costs.
        materials_change: By which share every material's price is higher; below zero, lower.
        rate: Share of the price rule: margin or mark-up.
    """

    support: Support | None = None
    load: LoadShape | None = None
    force_n: float | None = None
    deflection_mm: float | None = None
    mass_g: float | None = None
    factor: float | None = None
    mount_n_mm_per_rad: float | None = None
    wage_per_hour: Decimal | None = None
    materials_change: Decimal | None = None
    rate: Decimal | None = None

    @property
    def is_any(self) -> bool:
        """Return whether anything is taken otherwise."""
        return any(getattr(self, each.name) is not None for each in fields(self))


def with_what_if(shop: Shop, part_key: str, what_if: WhatIf) -> Shop:
    """Return the shop as it would be.

    Raises:
        NotFound: if the shop has no such part.
        InvalidInput: if something is asked of a part of which nothing else is.
    """
    part = shop.part(part_key)
    asked = _requirement(part, what_if)
    changed = replace(shop, parts={**shop.parts, part_key: replace(part, requirement=asked)})
    if what_if.wage_per_hour is not None:
        people = {
            key: replace(person, wage_per_hour=what_if.wage_per_hour)
            for key, person in shop.people.items()
        }
        changed = replace(changed, people=people)
    if what_if.rate is not None:
        changed = replace(changed, price=replace(shop.price, rate=what_if.rate))
    if what_if.materials_change is not None:
        changed = _with_material_prices(changed, 1 + what_if.materials_change)
    return changed


def _requirement(part: Part, what_if: WhatIf) -> Requirement | None:
    asked = part.requirement
    changes = {
        name: value
        for name in ("support", "load", "deflection_mm", "mass_g", "factor", "mount_n_mm_per_rad")
        if (value := getattr(what_if, name)) is not None
    }
    if asked is None:
        if not changes and what_if.force_n is None:
            return None
        return _new_requirement(part, what_if)
    if what_if.force_n is not None:
        # A stated force stands in place of one that follows from a speed.
        changes |= {
            "force_n": what_if.force_n,
            "speed_m_s": None,
            "lift_coefficient": None,
            "angle_deg": None,
            "fluid_density_kg_m3": None,
        }
    return replace(asked, **changes)


def _new_requirement(part: Part, what_if: WhatIf) -> Requirement:
    if what_if.force_n is None or what_if.deflection_mm is None:
        raise InvalidInput(
            [
                Fault(
                    path="requirement",
                    value=part.key,
                    problem="nothing is asked of this part yet.",
                    remedy="Give the load and the most it may bend, both.",
                )
            ]
        )
    return Requirement(
        support=what_if.support or "cantilever",
        load=what_if.load or "end",
        force_n=what_if.force_n,
        deflection_mm=what_if.deflection_mm,
        mass_g=what_if.mass_g,
        factor=1.0 if what_if.factor is None else what_if.factor,
        mount_n_mm_per_rad=what_if.mount_n_mm_per_rad,
    )


def _with_material_prices(shop: Shop, times: Decimal) -> Shop:
    def dearer(offer: Offer) -> Offer:
        breaks = tuple((packs, price * times) for packs, price in offer.price_breaks)
        return replace(offer, price=offer.price * times, price_breaks=breaks)

    def scaled(cost: Decimal | None) -> Decimal | None:
        return None if cost is None else cost * times

    suppliers = {
        key: replace(supplier, offers=tuple(dearer(offer) for offer in supplier.offers))
        for key, supplier in shop.suppliers.items()
    }
    materials = {
        key: replace(
            material,
            cost_per_kg=scaled(material.cost_per_kg),
            cost_per_m=scaled(material.cost_per_m),
        )
        for key, material in shop.materials.items()
    }
    return replace(shop, suppliers=suppliers, materials=materials)


def force_before_factor_n(part: Part) -> float | None:
    """Return the force a part must bear, its safety factor left out; None where none is asked."""
    asked = part.requirement
    return None if asked is None else force_n(part, replace(asked, factor=1.0))
