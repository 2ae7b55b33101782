"""Parts, processes, materials and moulds of a shop, as they are read."""

from __future__ import annotations

from calendar import day_abbr
from collections.abc import Iterator
from dataclasses import dataclass

from mouldwright.domain.material import Material
from mouldwright.domain.place_titles import family_title
from mouldwright.domain.process.mould import Mould, MouldFamily
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import lasting, listed
from mouldwright.domain.supplier import Supplier
from mouldwright.web.view_models.quote import title_of, way_of
from mouldwright.web.view_models.shape import Facts
from mouldwright.web.words import amount, count, day_and_year, money, percent


@dataclass(frozen=True, slots=True, kw_only=True)
class StepRow:
    """One operation of a process."""

    name: str
    per: str
    time: str
    hands: str
    where: str
    waits: str
    together: str
    good: str
    cautions: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MouldRow:
    """One mould of a family; ``due`` is what its upkeep asks next."""

    number: str
    pulls: str
    left: str
    due: str
    is_spent: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FamilyView:
    """The moulds that serve one part by one process."""

    key: str
    title: str
    part: str
    part_key: str
    process: str
    process_key: str
    facts: Facts
    moulds: tuple[MouldRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferRow:
    """A pack that holds a material."""

    supplier: str
    holds: str
    price: str
    breaks: str
    delivery: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialView:
    """One material, with what is in stock and what it is bought in."""

    key: str
    title: str
    facts: Facts
    mix: Facts
    stock: tuple[str, ...]
    in_stock: str
    offers: tuple[OfferRow, ...]
    price: str
    cautions: tuple[str, ...]


def step_rows(shop: Shop, process: Process) -> tuple[StepRow, ...]:
    """Return the operations of a process in order, conditioning last."""
    steps = [*process.operations, *([process.conditioning] if process.conditioning else [])]
    return tuple(_step(shop, step) for step in steps)


def _step(shop: Shop, step: Operation) -> StepRow:
    hands = "nobody"
    if step.attended:
        hands = count(step.people, "person", "people")
        hands += f", {step.skill}" if step.skill else ""
        hands += ", may pause" if step.interruptible else ""
    waits = [f"at least {lasting(step.wait_min)}"] if step.wait_min else []
    if step.wait_max_min is not None:
        waits.append(f"at most {lasting(step.wait_max_min)}")
    if step.least_age_h:
        waits.append(f"parts at least {lasting(step.least_age_min)} old")
    if step.pot_life_until:
        waits.append(f"pot life to the end of {step.pot_life_until}")
    limits = [
        f"{step.batch_pulls} pulls" if step.batch_pulls else "",
        f"{step.batch_parts} parts" if step.batch_parts else "",
        f"{step.batch_g:g} g" if step.batch_g else "",
    ]
    together = ", ".join(limit for limit in limits if limit)
    good = percent(step.good_rate) if step.good_rate != 1 else "–"
    if good != "–" and step.good_rate_per == "pull":
        good += " of pulls"
    return StepRow(
        name=step.name,
        per=step.per
        if step.is_for_all
        else f"{step.per}, {percent(step.applies_to_share)} of them",
        time=_time(step),
        hands=hands,
        where=", ".join(_where(shop, step)) or "–",
        waits="; ".join(waits) or "–",
        together=f"up to {together}" if together else "–",
        good=good,
        cautions=", ".join(step.told_cautions),
    )


def _where(shop: Shop, step: Operation) -> Iterator[str]:
    """Yield the station it takes, and the room with the state it must be in."""
    if step.station:
        station = shop.stations.get(step.station)
        yield station.title if station else step.station
    if step.in_room:
        room = shop.rooms.get(step.in_room)
        yield f"{room.title if room else step.in_room} ({step.room_state})"


def _time(step: Operation) -> str:
    fixed, each = f"{step.fixed_min.normalize():f}", f"{step.each_min.normalize():f}"
    if not step.each_min:
        return lasting(float(step.fixed_min)) if step.fixed_min >= 60 else f"{fixed} min"
    return f"{fixed} min + {each} each" if step.fixed_min else f"{each} min each"


def family_view(shop: Shop, family: MouldFamily) -> FamilyView:
    """Return a family of moulds with each tool's count."""
    facts = [("Parts a pull", str(family.cavities))]
    if family.life_pulls is not None:
        facts.append(("An insert lasts", f"{family.life_pulls:,} pulls"))
    if family.expected_pulls is not None:
        facts.append(("Expected of all", f"{family.expected_pulls:,} pulls"))
    if family.conditioned_every_pulls:
        facts.append(("Conditioned", f"every {family.conditioned_every_pulls} pulls"))
    if family.coats:
        after = f", then one every {family.coats_every} pulls" if family.coats_every else ""
        facts.append(("Coats of wax", f"{', '.join(map(str, family.coats))} when new{after}"))
    if family.cost is not None:
        facts.append(("A new one costs", money(shop.currency, family.cost)))
    if family.made_by:
        facts.append(("A new one is made by", way_of(shop, family.made_by)))
    return FamilyView(
        key=family.key,
        title=family_title(shop, family),
        part=title_of(shop, family.part),
        part_key=family.part,
        process=way_of(shop, family.process),
        process_key=family.process,
        facts=tuple(facts),
        moulds=tuple(_mould(family, mould) for mould in family.moulds),
    )


def _mould(family: MouldFamily, mould: Mould) -> MouldRow:
    left = family.pulls_left(mould)
    due, every = "–", family.conditioned_every_pulls
    if every:
        pulls = every - mould.pulls_since_conditioning
        due = f"conditioning after {count(pulls, 'pull')}" if pulls > 0 else "conditioning now"
    return MouldRow(
        number=mould.number,
        pulls=f"{mould.pulls:,}",
        left="does not wear" if left is None else f"{left:,}",
        due=due if left != 0 else "its insert is spent: replace it",
        is_spent=left == 0,
    )


def material_view(shop: Shop, material: Material) -> MaterialView:
    """Return a material with its stock and offers."""
    facts = [("Density", f"{material.density_kg_m3:g} kg/m³")]
    if material.modulus_gpa is not None:
        facts.append(("Modulus", f"{material.modulus_gpa:g} GPa"))
    if material.fibre:
        fibre = material.fibre
        facts.append(("Fibre", f"{fibre.length_mm:g} mm long, {fibre.diameter_um:g} µm across"))
    if material.rod:
        rod = material.rod
        inner = f", {rod.inner_diameter_mm:g} mm inside" if rod.inner_diameter_mm else ""
        facts.append(("Rod", f"{rod.diameter_mm:g} mm across{inner}"))
    if material.shelf_life_days is not None:
        facts.append(("Keeps", count(material.shelf_life_days, "day")))
    lots = shop.stock.lots.get(material.key, ())
    grams = sum(float(lot.grams or 0) for lot in lots)
    metres = sum(float(lot.metres or 0) for lot in lots)
    stock = f"{metres:g} m" if material.rod else f"{grams:,.0f} g"
    return MaterialView(
        key=material.key,
        title=material.title,
        facts=tuple(facts),
        mix=_mix(shop, material),
        stock=tuple(
            (f"{lot.metres:g} m" if lot.metres is not None else f"{lot.grams:,g} g")
            + (f", until {day_and_year(lot.expires)}" if lot.expires else "")
            for lot in lots
        ),
        in_stock=stock if lots else "mixed here" if material.mix else "none",
        offers=_offers(shop, material),
        price=_price(shop, material),
        cautions=material.cautions,
    )


def _mix(shop: Shop, material: Material) -> Facts:
    mix = material.mix
    if mix is None:
        return ()

    def named(key: str) -> str:
        return shop.materials[key].title if key in shop.materials else key

    parts = " to ".join(f"{parts:g} {named(key)}" for key, parts in mix.parts.items())
    facts = [
        ("Mixed", f"{parts}, by {mix.by}"),
        ("Pot life", lasting(mix.pot_life_min)),
        ("Most at once", f"{mix.most_mixed_g:g} g"),
    ]
    if mix.least_mixed_g:
        facts.append(("Least", f"{mix.least_mixed_g:g} g"))
    lost = [f"{mix.lost_g:g} g a mix"] if mix.lost_g else []
    lost += [percent(mix.lost_share)] if mix.lost_share else []
    if lost:
        facts.append(("Lost", listed(lost)))
    return tuple(facts)


def _days_of(supplier: Supplier) -> list[str]:
    """Return how long a delivery takes and when none goes out, in a few words each."""
    said = [count(supplier.lead_days, "day")]
    if supplier.days_off:
        said.append(f"not on {', '.join(day_abbr[day] for day in sorted(supplier.days_off))}")
    if supplier.closed:
        said.append(f"closed on {count(len(supplier.closed), 'date')}")
    if supplier.cut_off is not None:
        said.append(f"ordered before {supplier.cut_off // 60:02d}:{supplier.cut_off % 60:02d}")
    return said


def _offers(shop: Shop, material: Material) -> tuple[OfferRow, ...]:
    rows = []
    for supplier in shop.suppliers.values():
        for offer in supplier.offers:
            if material.key not in offer.materials:
                continue
            holds = [
                f"{grams:,g} g {shop.material_title(key)}"
                for key, grams in offer.contains_g.items()
            ]
            holds += [f"{m:g} m {shop.material_title(key)}" for key, m in offer.contains_m.items()]
            delivery = [f"{money(shop.currency, supplier.shipping)} shipping"]
            if offer.hazardous and supplier.hazard_surcharge:
                delivery.append(f"{money(shop.currency, supplier.hazard_surcharge)} for hazard")
            delivery += _days_of(supplier)
            rows.append(
                OfferRow(
                    supplier=supplier.title,
                    holds=", ".join(holds),
                    price=amount(shop.currency, offer.price),
                    breaks="; ".join(
                        f"from {packs}: {amount(shop.currency, price)}"
                        for packs, price in offer.price_breaks
                    )
                    or "–",
                    delivery=", ".join(delivery),
                )
            )
    return tuple(rows)


def _price(shop: Shop, material: Material) -> str:
    if material.cost_per_kg is not None:
        return f"{money(shop.currency, material.cost_per_kg)} a kg"
    if material.cost_per_m is not None:
        return f"{money(shop.currency, material.cost_per_m)} a metre"
    if material.mix is not None:
        return "by its components"
    return "by its packs" if _offers(shop, material) else "unknown: give it an offer or a cost"
