"""Weights at the bench: what is loaded for so many pulls, how sure the scale is, what comes out.

A finished part is set beside what it should weigh: one that is light holds voids or dry spots,
one that is heavy kept resin that should have been squeezed out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal

from mouldwright.domain.material import Material
from mouldwright.domain.part.constituent import Charge, Constituent
from mouldwright.domain.part.mass import charge as charge_of
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.process.mix_card import MixCard, mix_card
from mouldwright.domain.process.process import Process
from mouldwright.domain.quantity import divide_up, exact
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import MixStructure
from mouldwright.domain.structure.mix import void_share

# A resin and its hardener want to stand within this of their ratio; from memory, and the
# maker's sheet goes before it.
MOST_OFF_RATIO = Decimal("0.02")


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighing:
    """One thing on the scale.

    Attributes:
        material: Its key.
        of: Key of the mix it is part of; None where it is loaded as it is.
        grams: To weigh, in whole steps of the scale.
        millilitres: The same by volume.
        metres: Length, of a material that comes by the metre; it is cut, not weighed.
        off_share: Half a step of the scale over the grams: how far off it may be.
    """

    material: str
    of: str | None
    grams: Decimal
    millilitres: float
    metres: float
    off_share: float

    @property
    def is_coarse(self) -> bool:
        """Return whether the scale is too coarse for so little."""
        return not self.metres and self.off_share > float(MOST_OFF_RATIO)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeSheet:
    """What so many pulls take, ready to weigh, and what a finished part should weigh.

    Attributes:
        pulls: Loaded at once.
        parts: They give.
        mixes: Cups that the resin is mixed in, all alike; 0 where nothing is mixed.
        weighings: In one cup for what is mixed, for all pulls for the rest.
        squeezed_g: Resin that is loaded and comes out again as flash, all pulls.
        lost_g: Left in the cups.
        needed_g: Of the mix in one cup, what is lost included; 0 where nothing is mixed.
        least_mixed_g: The least of it that is worth mixing.
        expected_g: Of one finished part.
        solid_g: Of one without any void.
        least_g: Lightest that is let pass.
        most_g: Heaviest that is let pass.
        step_g: Of the scale.
    """

    part: str
    process: str
    pulls: int
    parts: int
    mixes: int
    weighings: tuple[Weighing, ...]
    squeezed_g: float
    lost_g: Decimal
    expected_g: float
    solid_g: float
    least_g: float
    most_g: float
    step_g: Decimal
    needed_g: float = 0.0
    least_mixed_g: Decimal = Decimal(0)

    @property
    def left_over_g(self) -> float:
        """Return what is mixed in all cups beyond need, as less is not worth mixing."""
        return max(float(self.least_mixed_g) - self.needed_g, 0.0) * self.mixes

    @property
    def coarse(self) -> tuple[Weighing, ...]:
        """Return what the scale is too coarse for."""
        return tuple(each for each in self.weighings if each.is_coarse)


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """A finished part on the scale.

    Attributes:
        share: Its mass over what is expected.
        void_share: Share of air by its density, (Td - Md) / Td (ASTM D2734; from memory); None
            where it weighs more than a solid one, and no air explains that.
    """

    grams: float
    share: float
    void_share: float | None
    state: Literal["good", "light", "heavy"]


def charge_sheet(shop: Shop, part: Part, process: Process, pulls: int = 1) -> ChargeSheet:
    """Return what so many pulls take, in whole steps of the shop's scale.

    Raises:
        CannotBeMade: if the process names no structure, or the shape is not sound.
        NotFound: if the structure names a material that is not there.
        InvalidInput: if a material lacks what its structure needs.
        ValueError: if there is not at least one pull.
    """
    if pulls < 1:
        raise ValueError("a sheet is for one pull or more")
    charge = charge_of(shop, part, process)
    families = shop.families(part.key, process.key)
    parts = pulls * (families[0].cavities if families else 1)
    weighings: list[Weighing] = []
    mixes, lost, needed, least = 0, Decimal(0), 0.0, Decimal(0)
    for each in charge.constituents:
        material = shop.materials[each.material]
        if material.mix is None:
            weighings.append(_plain(each, material, parts, shop.scale_step_g))
            continue
        mixes, card, lost, needed = _cups(shop, material, each.loaded_g * parts)
        least = material.mix.least_mixed_g
        weighings.extend(_cup(shop, card))
    expected, window = charge.finished_g, float(process.weight_window)
    return ChargeSheet(
        part=part.key,
        process=process.key,
        pulls=pulls,
        parts=parts,
        mixes=mixes,
        weighings=tuple(weighings),
        squeezed_g=(charge.loaded_g - charge.finished_g) * parts,
        lost_g=lost,
        expected_g=expected,
        solid_g=_solid_g(charge, process),
        least_g=expected * (1 - window),
        most_g=expected * (1 + window),
        step_g=shop.scale_step_g,
        needed_g=needed,
        least_mixed_g=least,
    )


def weighed(sheet: ChargeSheet, grams: float) -> Weighed:
    """Return what the mass of a finished part says."""
    state: Literal["good", "light", "heavy"] = "good"
    if grams < sheet.least_g:
        state = "light"
    elif grams > sheet.most_g:
        state = "heavy"
    air = void_share(sheet.solid_g, grams)  # the cavity's volume cancels
    return Weighed(
        grams=grams,
        share=grams / sheet.expected_g,
        void_share=None if grams > sheet.solid_g else air,
        state=state,
    )


def _solid_g(charge: Charge, process: Process) -> float:
    structure = process.structure
    air = structure.void_fraction if isinstance(structure, MixStructure) else 0.0
    return charge.finished_g / (1 - air)


def _plain(each: Constituent, material: Material, parts: int, step: Decimal) -> Weighing:
    wanted = Decimal(repr(each.loaded_g * parts))
    grams = (wanted / step).to_integral_value(ROUND_HALF_UP) * step
    return _weighing(material, grams, None, each.metres * parts, step)


def _cups(shop: Shop, material: Material, grams: float) -> tuple[int, MixCard, Decimal, float]:
    """Return how many cups, what is in each, what stays in them all, and what each needs."""
    mix = material.mix
    assert mix is not None
    needed = exact(grams) * (1 + exact(mix.lost_share))
    most = exact(mix.most_mixed_g) - exact(mix.lost_g)
    cups = max(1, divide_up(needed, most)) if most > 0 else 1
    need = needed / cups + exact(mix.lost_g)
    each = max(need, exact(mix.least_mixed_g))
    card = mix_card(material, shop.materials, each, resolution_g=shop.scale_step_g)
    return cups, card, mix.lost_g * cups, float(need)


def _cup(shop: Shop, card: MixCard) -> Iterator[Weighing]:
    for key, grams in card.components_g.items():
        yield _weighing(shop.materials[key], grams, card.material, 0.0, card.resolution_g)


def _weighing(
    material: Material, grams: Decimal, of: str | None, metres: float, step: Decimal
) -> Weighing:
    return Weighing(
        material=material.key,
        of=of,
        grams=grams,
        millilitres=float(grams) / material.density_kg_m3 * 1000,
        metres=metres,
        off_share=float(step / 2 / grams) if grams else 1.0,
    )
