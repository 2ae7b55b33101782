"""What a part fails of all that is asked of it, each with what it has and what it may."""

from __future__ import annotations

from mouldwright.domain.material import Material
from mouldwright.domain.part.beam import Bending
from mouldwright.domain.part.requirement import Requirement
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import fitted
from mouldwright.domain.structure.made import Made


def failings(
    shop: Shop,
    process: Process,
    asked: Requirement,
    bent: Bending,
    done: Made,
    twisted_deg: float | None,
) -> list[str]:
    """Return every thing it fails, in words; nothing where it meets all that is asked.

    Args:
        shop: Its materials, for the heat they bear.
        process: What makes it.
        asked: What it must bear.
        bent: How it bends.
        done: What it is made of.
        twisted_deg: How far it twists; None where no torque is asked.
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
    found += _too_stressed(process, asked, bent, done)
    found += _too_hot(shop, asked, done)
    if asked.must_be_fit_to_sell and not process.fit_to_sell:
        found.append(f"{process.key} is not marked fit to sell")
    return found


def _too_stressed(process: Process, asked: Requirement, bent: Bending, done: Made) -> list[str]:
    share = asked.root_stress_share
    if share is None:
        return []
    if process.strength_mpa is None:
        return [
            f"{share:g} of its strength may be used at the root and {process.key} states none: add "
            f"strength_mpa, from the maker's sheet or parts broken in a test"
        ]
    stress = bent.root_moment_n_mm * done.root_stress_per_moment
    allowed = share * process.strength_mpa
    if stress <= allowed:
        return []
    return [f"the root is stressed to {stress:.1f} MPa and {allowed:.1f} MPa are allowed"]


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
