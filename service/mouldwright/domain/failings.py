"""What a part fails of all that is asked of it, each with what it has and what it may."""

from __future__ import annotations

from collections.abc import Sequence

from mouldwright.domain.material import Material
from mouldwright.domain.part.beam import Bending
from mouldwright.domain.part.requirement import Requirement
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import fitted
from mouldwright.domain.stress import Stress
from mouldwright.domain.structure.made import Made


def failings(
    shop: Shop,
    process: Process,
    asked: Requirement,
    bent: Bending,
    done: Made,
    twisted_deg: float | None,
    stresses: Sequence[Stress],
) -> list[str]:
    """Return every thing it fails, in words; nothing where it meets all that is asked.

    Args:
        shop: Its materials, for the heat they bear.
        process: What makes it.
        asked: What it must bear.
        bent: How it bends.
        done: What it is made of.
        twisted_deg: How far it twists; None where no torque is asked.
        stresses: How hard each material is stressed, the base material first.
    """
    found = []
    if bent.deflection_mm > asked.deflection_mm:
        found.append(
            f"it bends {fitted(bent.deflection_mm, beside=asked.deflection_mm)} mm and "
            f"{asked.deflection_mm:g} mm are allowed"
        )
    if asked.mass_g is not None and done.charge.finished_g > asked.mass_g:
        weighs = fitted(done.charge.finished_g, beside=asked.mass_g)
        found.append(f"it weighs {weighs} g and {asked.mass_g:g} g are allowed")
    if twisted_deg is not None and asked.twist_deg is not None and twisted_deg > asked.twist_deg:
        found.append(f"it twists {twisted_deg:.2f}° and {asked.twist_deg:g}° are allowed")
    found += _too_stressed(process, asked, stresses)
    found += _too_hot(shop, asked, done)
    if asked.must_be_fit_to_sell and not process.fit_to_sell:
        found.append(f"{process.key} is not marked fit to sell")
    return found


def _too_stressed(process: Process, asked: Requirement, stresses: Sequence[Stress]) -> list[str]:
    share = asked.root_stress_share
    if share is None:
        return []
    if stresses and stresses[0].strength_mpa is None:
        return [
            f"{share:g} of its strength may be used at the root and {process.key} states none: add "
            f"strength_mpa, from the maker's sheet or parts broken in a test"
        ]
    found = []
    for number, each in enumerate(stresses):
        if each.strength_mpa is None or each.root_mpa <= share * each.strength_mpa:
            continue
        of = "" if number == 0 else f" in {each.of}"
        allowed = share * each.strength_mpa
        found.append(
            f"the root is stressed to {fitted(each.root_mpa, beside=allowed)} MPa{of} and "
            f"{allowed:.1f} MPa are allowed"
        )
    return found


def _too_hot(shop: Shop, asked: Requirement, done: Made) -> list[str]:
    hottest = asked.service_temperature_c
    if hottest is None:
        return []
    return [
        f"it gets as hot as {hottest:g} °C and {material.title} bears {material.greatest_c:g} °C"
        for material in _materials(shop, done)
        if material.greatest_c is not None and float(material.greatest_c) < hottest
    ]


def _materials(shop: Shop, done: Made) -> list[Material]:
    keys = [each.material for each in done.charge.constituents]
    return [shop.materials[key] for key in keys if key in shop.materials]
