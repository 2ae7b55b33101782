"""What a gram or a metre of each material costs at the plain price of its packs.

Breaks and shipping depend on the whole delivery and are left to the buy list. The price
is the cheapest by mass among offers that hold only that material, or only components of
one mix with it (such a kit's price is shared by mass). A bundle of unrelated materials
is used only where nothing else holds the material; then the material's own stated cost;
else the price is unknown, and never zero.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import pi

from mouldwright.domain.material import Material
from mouldwright.domain.process.mix_card import mass_shares
from mouldwright.domain.quantity import exact
from mouldwright.domain.shop import Shop
from mouldwright.domain.supplier import Offer


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainPrice:
    """The price of one material, with where it comes from.

    Attributes:
        unit: "g" or "m".
        each: Money for one unit.
        offer: The offer it was taken from, None for a stated cost.
        source: The same in words.
    """

    material: str
    unit: str
    each: Fraction
    offer: Offer | None
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialPrices:
    """Every stocked material's plain price, by mass and by length.

    Attributes:
        by_gram: Price of a gram, by material; a material without one is left out.
        by_metre: The same for a metre.
        materials: The shop's materials, for the ratios of mixes.
    """

    by_gram: Mapping[str, PlainPrice]
    by_metre: Mapping[str, PlainPrice]
    materials: Mapping[str, Material]

    def components(self, key: str) -> Mapping[str, Fraction]:
        """Return what a gram of a material draws from stock: its components' shares, or itself.

        A mixed material that is itself sold or priced and whose components are not
        counts as itself.
        """
        material = self.materials.get(key)
        if material is None or material.mix is None:
            return {key: Fraction(1)}
        shares = mass_shares(material.mix, self.materials)
        if key in self.by_gram and not all(c in self.by_gram for c in shares):
            return {key: Fraction(1)}
        return shares


def material_prices(shop: Shop) -> MaterialPrices:
    """Return the plain prices of all the shop's materials."""
    mixes = [frozenset(m.mix.parts) for m in shop.materials.values() if m.mix]
    by_gram: dict[str, PlainPrice] = {}
    by_metre: dict[str, PlainPrice] = {}
    for key, material in shop.materials.items():
        own, bundles = _holding(shop.offers, key, mixes)
        gram = _cheapest(own, key, shop.materials, "g") or _cheapest(
            bundles, key, shop.materials, "g"
        )
        metre = _cheapest(own, key, shop.materials, "m") or _cheapest(
            bundles, key, shop.materials, "m"
        )
        gram, metre = gram or _stated(material, "g"), metre or _stated(material, "m")
        per_metre_g = grams_a_metre(material)
        if per_metre_g and gram and not metre:
            metre = _turned(gram, "m", gram.each * per_metre_g)
        if per_metre_g and metre and not gram:
            gram = _turned(metre, "g", metre.each / per_metre_g)
        if gram:
            by_gram[key] = gram
        if metre:
            by_metre[key] = metre
    return MaterialPrices(by_gram=by_gram, by_metre=by_metre, materials=shop.materials)


def _holding(
    offers: Iterable[Offer], key: str, mixes: Iterable[frozenset[str]]
) -> tuple[list[Offer], list[Offer]]:
    """Return the offers of this material or a kit of its mix, and the unrelated bundles."""
    own: list[Offer] = []
    bundles: list[Offer] = []
    for offer in offers:
        if key not in offer.materials:
            continue
        alone = offer.materials == {key}
        kit = any(key in mix and offer.materials <= mix for mix in mixes)
        (own if alone or kit else bundles).append(offer)
    return own, bundles


def _cheapest(
    offers: Iterable[Offer], key: str, materials: Mapping[str, Material], unit: str
) -> PlainPrice | None:
    found = []
    for offer in offers:
        each = _share_of(offer, key, materials, unit)
        if each is not None:
            found.append(
                PlainPrice(
                    material=key,
                    unit=unit,
                    each=each,
                    offer=offer,
                    source=f"{offer.supplier}, offer {offer.number}",
                )
            )
    return min(found, key=lambda price: price.each, default=None)


def _share_of(
    offer: Offer, key: str, materials: Mapping[str, Material], unit: str
) -> Fraction | None:
    """Return the price of a unit of one material in a pack, the pack's price shared by mass."""
    held = offer.contains_g if unit == "g" else offer.contains_m
    if key not in held or held[key] <= 0:
        return None
    if offer.materials == {key}:
        return exact(offer.price) / exact(held[key])
    grams = {name: exact(amount) for name, amount in offer.contains_g.items()}
    for name, metres in offer.contains_m.items():
        a_metre = grams_a_metre(materials[name]) if name in materials else None
        if a_metre is None:
            return None  # a bundle with a length of unknown mass cannot be shared by mass
        grams[name] = grams.get(name, Fraction(0)) + exact(metres) * a_metre
    by_gram = exact(offer.price) / sum(grams.values(), Fraction(0))
    return by_gram * grams[key] / exact(held[key])


def _stated(material: Material, unit: str) -> PlainPrice | None:
    cost = material.cost_per_kg if unit == "g" else material.cost_per_m
    if cost is None:
        return None
    each = exact(cost) / (1000 if unit == "g" else 1)
    return PlainPrice(
        material=material.key, unit=unit, each=each, offer=None, source="the material's own cost"
    )


def _turned(price: PlainPrice, unit: str, each: Fraction) -> PlainPrice:
    return PlainPrice(
        material=price.material, unit=unit, each=each, offer=price.offer, source=price.source
    )


def grams_a_metre(material: Material) -> Fraction | None:
    """Return the mass of a metre of rod: area times density, 1 mm2 m being 1e-6 m3."""
    if material.rod is None:
        return None
    rod = material.rod
    area_mm2 = pi / 4 * (rod.diameter_mm**2 - rod.inner_diameter_mm**2)
    return exact(round(area_mm2 * material.density_kg_m3 / 1000, 9))
