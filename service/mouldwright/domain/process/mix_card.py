"""What goes on the scale for one mix: grams of each component that add up to the whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.material import Material, Mix
from mouldwright.domain.quantity import Exact, divide_up, exact

# How far a component may be off before it is said; makers ask for about so much by mass (from
# memory), and a sheet that asks for less goes before it.
MOST_OFF = Fraction(2, 100)


@dataclass(frozen=True, slots=True, kw_only=True)
class MixCard:
    """One mix, ready to weigh.

    Attributes:
        material: Key of what is mixed.
        total_g: What is in the cup when all is in.
        components_g: Grams of each component, in the order of the ratio, adding up to it.
        resolution_g: The scale's step.
    """

    material: str
    total_g: Decimal
    components_g: Mapping[str, Decimal]
    resolution_g: Decimal

    @property
    def ratio_uncertainty(self) -> Fraction:
        """Return how far off the least component may be: half a step of the scale over its grams.

        A step of 1 g on 7.2 g of hardener is 7 % either way.
        """
        least = self.components_g[self.least]
        return exact(self.resolution_g) / 2 / exact(least) if least else Fraction(1)

    @property
    def least(self) -> str:
        """Return the key of the component there is least of."""
        return min(self.components_g, key=lambda key: self.components_g[key])

    def too_coarse(self, materials: Mapping[str, Material]) -> str:
        """Return what to say where the scale is too coarse for so small a mix, else nothing."""
        off = self.ratio_uncertainty
        if len(self.components_g) == 1 or off <= MOST_OFF:
            return ""
        known = materials.get(self.least)
        title = known.title if known else self.least
        return (
            f"A step of {self.resolution_g:f} g on the scale leaves {title}"
            f" up to {round(100 * off)} % off: use a finer scale or mix more"
        )


def mass_shares(mix: Mix, materials: Mapping[str, Material]) -> Mapping[str, Fraction]:
    """Return each component's share of the mix by mass; parts by volume go through density.

    2 : 1 by volume at 1.15 and 0.97 is 100 : 42.2 by mass.

    Raises:
        KeyError: if a component of a mix by volume is no material of the shop.
    """
    weights = {
        key: exact(parts) * (exact(materials[key].density_kg_m3) if mix.by == "volume" else 1)
        for key, parts in mix.parts.items()
    }
    whole = sum(weights.values(), Fraction(0))
    return {key: weight / whole for key, weight in weights.items()}


def mix_card(
    material: Material,
    materials: Mapping[str, Material],
    grams: Exact | float,
    *,
    resolution_g: Decimal = Decimal("0.1"),
) -> MixCard:
    """Return the card of one mix of so many grams.

    The total is rounded up to the scale's step (down where up would pass the most that may
    be mixed at once), and the components share its steps by largest remainder.

    Raises:
        ValueError: if the material is not mixed or the resolution is not above zero.
    """
    if material.mix is None:
        raise ValueError(f"{material.key} is not mixed from components")
    if resolution_g <= 0:
        raise ValueError("a scale's resolution is above zero")
    step = exact(resolution_g)
    steps = divide_up(grams, step)
    if steps * step > exact(material.mix.most_mixed_g) and steps > 1:
        steps = int(exact(grams) // step)
    shares = mass_shares(material.mix, materials)
    wanted = [steps * share for share in shares.values()]
    floors = [int(w // 1) for w in wanted]
    order = sorted(range(len(wanted)), key=lambda i: (floors[i] - wanted[i], i))
    for i in order[: steps - sum(floors)]:
        floors[i] += 1
    components = {key: count * resolution_g for key, count in zip(shares, floors, strict=True)}
    return MixCard(
        material=material.key,
        total_g=steps * resolution_g,
        components_g=components,
        resolution_g=resolution_g,
    )
