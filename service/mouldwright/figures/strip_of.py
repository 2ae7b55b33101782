"""A process as a strip."""

from __future__ import annotations

from collections.abc import Mapping

from mouldwright.domain.material import Material
from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.quantity import exact
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import lasting
from mouldwright.figures.process_strip import Strip, StripHold, StripStep


def strip_of(
    shop: Shop, process: Process, *, mark: int, family: MouldFamily | None = None, batch: int = 1
) -> Strip:
    """Return a process once through: one pull of its mould, one part of it.

    Args:
        shop: Names the stations and materials.
        process: What is drawn.
        mark: How it is drawn.
        family: The moulds, for their cavities and upkeep.
        batch: Members of each batch and order step.
    """
    cavities = family.cavities if family else 1
    members = {"pull": cavities, "part": 1, "batch": batch, "order": batch}
    return Strip(
        title=process.title,
        mark=mark,
        steps=tuple(
            StripStep(
                name=operation.name,
                minutes=operation.duration_min(members.get(operation.per, 1)),
                hands=operation.people if operation.attended else 0,
                per=operation.per,
                wait_min=operation.wait_min,
                wait_max_min=operation.wait_max_min,
                notes=_notes(shop, operation),
                cautions=operation.told_cautions or _material_cautions(shop.materials, operation),
            )
            for operation in process.operations
        ),
        holds=tuple(
            StripHold(
                what=_held(shop, hold.resource),
                first=process.index(hold.first),
                last=process.index(hold.last),
            )
            for hold in process.holds
        ),
        upkeep=_upkeep(process, family),
    )


def _held(shop: Shop, resource: str) -> str:
    station = shop.stations.get(resource)
    return station.title if station else resource


def _notes(shop: Shop, operation: Operation) -> tuple[str, ...]:
    notes = []
    if not operation.is_for_all:
        notes.append(f"{float(100 * exact(operation.applies_to_share)):.3g} % of parts")
    if operation.attended and operation.skill:
        notes.append(f"skill: {operation.skill}")
    if operation.least_age_h:
        notes.append(f"parts at least {operation.least_age_h.normalize():f} h old")
    if operation.station:
        notes.append(f"at {_held(shop, operation.station)}")
    material = shop.materials.get(operation.material or "")
    if material is not None and material.mix is not None and operation.pot_life_until:
        notes.append(
            f"pot life {lasting(material.mix.pot_life_min)} to the end of "
            f"{operation.pot_life_until}"
        )
    if operation.interruptible:
        notes.append("may pause when hours close")
    return tuple(notes)


def _material_cautions(materials: Mapping[str, Material], operation: Operation) -> tuple[str, ...]:
    material = materials.get(operation.material or "")
    return material.cautions if material else ()


def _upkeep(process: Process, family: MouldFamily | None) -> str:
    upkeep = process.conditioning
    if upkeep is None:
        return ""
    often = family.conditioned_every_pulls if family else None
    when = f" every {often} pulls" if often else ""
    return f"{upkeep.name}{when}, {lasting(upkeep.duration_min(1))}"
