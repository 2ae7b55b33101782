"""The least change of each lever that makes a failing process pass, worked out, cheapest first."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.costing.material_price import material_prices
from mouldwright.domain.costing.unit_cost import UnitCost, unit_cost
from mouldwright.domain.errors import CannotBeMade, HardLimit, InvalidInput
from mouldwright.domain.judgement import Judgement, judge
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.domain.would_pass.lever import Change, levers
from mouldwright.domain.would_pass.rods import priced_by_section
from mouldwright.domain.would_pass.solve import first_enough


@dataclass(frozen=True, slots=True, kw_only=True)
class WouldPass:
    """A change that makes a process pass, and what it does besides.

    Attributes:
        judgement: Of the changed part.
        cost: Of one order with the change; None where a limit forbids it.
        mass_g: Grams more, or fewer, a part.
        cost_each: Money more, or less, a good part; None where a price is unknown.
        tests_lost: Keys of the bench tests whose clamp or load would no longer lie on the part.
        lead_min: Minutes more, or fewer, until all are ready by the rate alone; None where
            that was not asked or cannot be said.
    """

    change: Change
    judgement: Judgement
    cost: UnitCost | None
    mass_g: float | None
    cost_each: Fraction | None
    tests_lost: tuple[str, ...] = ()
    lead_min: int | None = None


def would_pass(
    shop: Shop, part: Part, process: Process, judged: Judgement, quantity: int
) -> tuple[WouldPass, ...]:
    """Return the least change of each lever that makes a failing process pass.

    What is counted on of the stiffness is kept as it is judged now: the tests behind it are of
    the pieces that were bent. Those that cost least come first, unknown costs last.

    Args:
        shop: Where it is made.
        part: What fails.
        process: By which it fails.
        judged: How it fails.
        quantity: Good parts, for the cost.

    Raises:
        NotFound: if the structure names a material that is not there.
    """
    if part.requirement is None or judged.meets_requirement is not False:
        return ()
    before = _cost(shop, part, process, judged, quantity) if judged.makeable else None
    found = []
    for changes in levers(part, process, shop.materials):
        judgements: dict[int, Judgement] = {}

        def used(change: Change, kept: dict[int, Judgement] = judgements) -> float:
            changed = _judged(shop, change, judged)
            if changed is None:
                return math.inf
            kept[id(change)] = changed
            return _used(changed)

        if isinstance(changes, list):
            least = first_enough(changes, used, now=_used(judged))
        else:
            least = next((change for change in changes if used(change) <= 1), None)
        if least is not None:
            found.append(_worked_out(shop, least, judgements[id(least)], judged, before, quantity))
    return tuple(sorted(found, key=_by_cost))


def _used(judged: Judgement) -> float:
    """Return the share used of the bend allowed, infinite where something else is in the way."""
    if not judged.makeable or judged.utilisation is None:
        return math.inf
    if judged.meets_requirement is False and judged.utilisation <= 1:
        return math.inf
    return judged.utilisation


def _by_cost(found: WouldPass) -> tuple[bool, Fraction, bool]:
    each = found.cost.per_good_part if found.cost else None
    return (each is None, each or Fraction(0), found.change.new_moulds)


def _judged(shop: Shop, change: Change, before: Judgement) -> Judgement | None:
    try:
        return judge(
            shop_with(shop, change),
            change.part,
            change.process,
            counted=before.counted,
            with_ranges=False,
        )
    except (InvalidInput, ValueError):
        return None  # a change that leaves nothing sound is none


def shop_with(shop: Shop, change: Change) -> Shop:
    """Return the shop as the change has it; a rod it brings in is priced by its section."""
    materials = dict(shop.materials)
    if change.materials:
        prices = material_prices(shop)
        for key, rod in change.materials.items():
            was = next(m for k, m in shop.materials.items() if key.startswith(f"{k}-of-"))
            metre = prices.by_metre.get(was.key)
            priced = rod
            if metre is not None:
                each = Decimal(metre.each.numerator) / Decimal(metre.each.denominator)
                priced = priced_by_section(rod, was, each)
            materials[key] = priced
    return replace(
        shop,
        materials=materials,
        parts={**shop.parts, change.part.key: change.part},
        processes={**shop.processes, change.process.key: change.process},
    )


def _cost(
    shop: Shop, part: Part, process: Process, judged: Judgement, quantity: int
) -> UnitCost | None:
    try:
        return unit_cost(shop, part, process, quantity, charge=judged.charge)
    except (CannotBeMade, HardLimit):
        return None


def _worked_out(
    shop: Shop,
    change: Change,
    judged: Judgement,
    before: Judgement,
    cost_before: UnitCost | None,
    quantity: int,
) -> WouldPass:
    cost = _cost(shop_with(shop, change), change.part, change.process, judged, quantity)
    was = cost_before.per_good_part if cost_before else None
    now = cost.per_good_part if cost else None
    return WouldPass(
        change=change,
        judgement=judged,
        cost=cost,
        mass_g=None
        if judged.mass_g is None or before.mass_g is None
        else judged.mass_g - before.mass_g,
        cost_each=None if was is None or now is None else now - was,
        tests_lost=tuple(
            test.key
            for test in shop.bench_tests.values()
            if test.part == change.part.key and not test.fits(change.part.span_mm)
        ),
    )
