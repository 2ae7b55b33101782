"""What is left of mixes that are larger than they need be, and which part it would fill.

Below a mix's least mass the least is mixed all the same. What then stays over sets in the cup,
unless a mould stands by that takes it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from mouldwright.domain.costing.material_cost import MixUse, batch_load
from mouldwright.domain.costing.tooling import tooling_for
from mouldwright.domain.errors import CannotBeMade, InvalidInput, NotFound
from mouldwright.domain.part.mass import charge
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.process.process import Process
from mouldwright.domain.quantity import exact
from mouldwright.domain.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOver:
    """What stays over of the mixes of one material.

    Attributes:
        in_all_g: Grams over all mixes.
        most_g: Grams in the mix that most is left of.
        filler: Title of the part that uses most of that; empty where none is small enough.
        filler_g: Grams one pull of it takes.
    """

    material: str
    in_all_g: Fraction
    most_g: Fraction
    filler: str = ""
    filler_g: Fraction = Fraction(0)

    def words(self, shop: Shop) -> str:
        """Return it as a sentence."""
        material = shop.materials[self.material]
        least = material.mix.least_mixed_g if material.mix else 0
        found = (
            f"{float(self.in_all_g):.4g} g of {material.title} stay over, as no mix is below "
            f"{least:g} g"
        )
        if not self.filler:
            return f"{found}."
        return (
            f"{found}: the {float(self.most_g):.4g} g left of one would fill {self.filler} "
            f"({float(self.filler_g):.4g} g), if its mould stands by."
        )


def left_over(shop: Shop, uses: Iterable[MixUse]) -> Iterator[LeftOver]:
    """Yield what stays over of each mixing operation's mixes; nothing where nothing does."""
    for use in uses:
        mix = shop.materials[use.material].mix if use.material in shop.materials else None
        if use.surplus_g <= 0 or mix is None:
            continue
        by_member = use.in_parts_g / sum(use.members)
        most = max(
            each - members * by_member - exact(mix.lost_g)
            for each, members in zip(use.each_g, use.members, strict=True)
        )
        fits = [each for each in _pulls_of(shop, use.material) if each[0] <= most]
        grams, title = max(fits, default=(Fraction(0), ""))
        yield LeftOver(
            material=use.material,
            in_all_g=use.surplus_g,
            most_g=most,
            filler=title,
            filler_g=grams,
        )


def said_of_mixes(shop: Shop, uses: Iterable[MixUse]) -> tuple[str, ...]:
    """Return a sentence for each of them."""
    return tuple(each.words(shop) for each in left_over(shop, uses))


def _pulls_of(shop: Shop, material: str) -> Iterator[tuple[Fraction, str]]:
    """Yield the grams of a mix that one pull of each part takes, and the part's title."""
    for part in shop.parts.values():
        for key in part.made_by:
            process = shop.processes.get(key)
            if process is None or all(o.material != material for o in process.operations):
                continue
            grams = _grams(shop, part, process, material)
            if grams:
                yield grams, part.title


def _grams(shop: Shop, part: Part, process: Process, material: str) -> Fraction:
    family = tooling_for(shop, part.key, process.key)
    try:
        load = batch_load(process, charge(shop, part, process), family.cavities if family else 1)
    except (CannotBeMade, InvalidInput, NotFound):
        return Fraction(0)
    mix = shop.materials[material].mix
    share = 1 + exact(mix.lost_share) if mix else Fraction(1)
    return load.mixed_g.get(material, Fraction(0)) * share
