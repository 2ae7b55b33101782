"""Temperatures: what sets, and whether the shop is as warm as the sheets speak of."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from mouldwright.domain.consistency.finding import fault, routings, step, unknown, warning
from mouldwright.domain.errors import Fault
from mouldwright.domain.material import Material
from mouldwright.domain.shop import Shop
from mouldwright.domain.warmth import Warmth


def warmth_faults(shop: Shop) -> Iterator[Fault]:
    """Yield the faults of what sets, and warnings of the seasons that do not suit it."""
    used: set[str] = set()
    for where, operations in routings(shop):
        for operation in operations:
            at = (*step(where, operation), "cures")
            used.update(key for key in (operation.cures, operation.material) if key)
            if operation.cures is None:
                continue
            if operation.cures not in shop.materials:
                yield unknown(at, operation.cures, "material", shop.materials)
            elif shop.materials[operation.cures].warmth is None:
                yield warning(
                    at,
                    operation.cures,
                    "its sheet states no temperature, so the minutes are taken as they are.",
                    f"Add materials.{operation.cures}.warmth, or leave this out.",
                )
    for key, material in shop.materials.items():
        if material.warmth is not None:
            yield from _sheet(key, material.warmth)
            yield from _mass(key, material, material.warmth)
            if key in used:
                yield from _seasons(shop, key, material.warmth)


def _sheet(key: str, sheet: Warmth) -> Iterator[Fault]:
    low, high = sheet.sheet_from_c, sheet.sheet_to_c
    if low is not None and high is not None and high < low:
        yield fault(
            ("materials", key, "warmth", "sheet_to_c"),
            f"{high:f}",
            f"the sheet would end below where it begins, {low:f} °C.",
            f"Write at least {low:f}.",
        )


def _mass(key: str, material: Material, sheet: Warmth) -> Iterator[Fault]:
    """Yield where more is mixed at once than the sheet's pot life is stated for."""
    mix = material.mix
    if mix is not None and sheet.reference_g is not None and mix.most_mixed_g > sheet.reference_g:
        yield warning(
            ("materials", key, "mix", "most_mixed_g"),
            f"{mix.most_mixed_g:f}",
            f"its pot life is stated for {sheet.reference_g:f} g; a larger mix heats itself and "
            "sets sooner, which nothing here reckons with.",
            f"Mix at most {sheet.reference_g:f} g at once, or state the larger mix's pot life.",
        )


def _seasons(shop: Shop, key: str, sheet: Warmth) -> Iterator[Fault]:
    """Yield the temperatures of the shop that the sheet does not speak of, or below the least."""
    if shop.temperatures is None:
        return
    for number, season in enumerate(shop.temperatures.seasons):
        for name, warm in (("day_c", season.day_c), ("night_c", season.night_c)):
            at = ("shop", "temperatures", "seasons", number, name)
            if sheet.least_c is not None and warm < sheet.least_c:
                yield warning(
                    at,
                    f"{warm:f}",
                    f"{key} does not cure below {sheet.least_c:f} °C: meanwhile it stands still.",
                    "Keep it warmer where it cures; the maker's sheet goes before this.",
                )
            elif sheet.is_off_the_sheet(warm):
                yield warning(
                    at,
                    f"{warm:f}",
                    f"the sheet of {key} speaks of {_range(sheet)}: its times here are a guess.",
                    "Ask its maker, or keep the shop within that.",
                )


def _range(sheet: Warmth) -> str:
    def words(limit: Decimal | None) -> str:
        return "" if limit is None else f"{limit:f}"

    low, high = words(sheet.sheet_from_c), words(sheet.sheet_to_c)
    if low and high:
        return f"{low} to {high} °C"
    return f"{low} °C and more" if low else f"up to {high} °C"
