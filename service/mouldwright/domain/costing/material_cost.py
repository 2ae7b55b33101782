"""What the materials of an order cost: as used, mixes whole, and as bought in whole packs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.costing.lines import Counts, LineRule
from mouldwright.domain.costing.material_price import MaterialPrices
from mouldwright.domain.costing.occurrence import Routing, parts_lost_in
from mouldwright.domain.part.constituent import Charge
from mouldwright.domain.process.batch import BatchLoad
from mouldwright.domain.process.process import Process
from mouldwright.domain.quantity import divide_up, exact
from mouldwright.domain.shop import Shop
from mouldwright.domain.supplier import Offer


@dataclass(frozen=True, slots=True, kw_only=True)
class MixUse:
    """All mixes of one mixing operation for an order.

    Attributes:
        members: Pulls (or parts) of each mix.
        each_g: Grams mixed each time, in the same order.
        in_parts_g: What the parts take, losses in proportion included.
        lost_g: What stays in cups.
        surplus_g: What is mixed beyond that because less cannot be mixed well.
        limit: What limits a mix, in words.
    """

    operation: str
    material: str
    members: tuple[int, ...]
    each_g: tuple[Fraction, ...]
    in_parts_g: Fraction
    lost_g: Fraction
    surplus_g: Fraction
    limit: str

    @property
    def mixed_g(self) -> Fraction:
        """Return all that is mixed: in parts, lost and surplus."""
        return sum(self.each_g, Fraction(0))


@dataclass(frozen=True, slots=True, kw_only=True)
class PacksBought:
    """Whole packs of one offer that cover what an order uses of what they hold."""

    offer: Offer
    packs: int
    amount: Fraction


def batch_load(process: Process, charge: Charge | None, cavities: int) -> BatchLoad:
    """Return what one pull (or one part, without pulls) brings into its batches."""
    parts = cavities if process.has_pulls else 1
    loaded: dict[str, Fraction] = {}
    for constituent in charge.constituents if charge else ():
        grams = _grams(constituent.loaded_g) * parts
        loaded[constituent.material] = loaded.get(constituent.material, Fraction(0)) + grams
    return BatchLoad(parts=parts, mixed_g=loaded, mass_g=sum(loaded.values(), Fraction(0)))


def material_rules(
    shop: Shop, routing: Routing, charge: Charge | None, prices: MaterialPrices
) -> list[LineRule]:
    """Return a line rule for every stocked material an order draws.

    What an operation mixes is charged as mixed: losses and surplus included. The rest is
    what is loaded, and the process's waste on top; where work fails and is begun again, the
    share of it that was done is lost.
    """
    rules: list[LineRule] = []
    mixed = set()
    for i, run in enumerate(routing.batchings):
        for j, need in enumerate(run.mixes):
            mixed.add(need.material)
            takes = {f"grams {i} {j}": Fraction(1)}
            rules.extend(_by_mass(shop, prices, need.material, takes))
    waste = 1 + exact(routing.process.waste_share)
    for constituent in charge.constituents if charge else ():
        key = constituent.material
        if constituent.metres:
            metres = _grams(constituent.metres) * waste
            rules.append(_rule(shop, prices, key, "m", {"starts": metres}, within=None))
        elif key not in mixed:
            grams = _grams(constituent.loaded_g) * waste
            rules.extend(_by_mass(shop, prices, key, {"starts": grams}))
            for place, operation in enumerate(routing.process.operations):
                if operation.failures_per_hour:
                    lost = _by_mass(shop, prices, key, {parts_lost_in(place): grams})
                    words = f", lost to {operation.name} that failed"
                    rules.extend(replace(rule, text=rule.text + words) for rule in lost)
    return rules


def mix_uses(routing: Routing, members: int) -> tuple[MixUse, ...]:
    """Return every mixing operation's mixes for so many pulls (or parts)."""
    uses = []
    for run in routing.batchings:
        sizes = run.sizes(members)
        for need in run.mixes:
            each = tuple(need.mixed_g(size) for size in sizes)
            in_parts = members * need.each_g
            lost = len(sizes) * exact(need.mix.lost_g)
            uses.append(
                MixUse(
                    operation=need.operation,
                    material=need.material,
                    members=sizes,
                    each_g=each,
                    in_parts_g=in_parts,
                    lost_g=lost,
                    surplus_g=sum(each, Fraction(0)) - in_parts - lost,
                    limit=run.limit,
                )
            )
    return tuple(uses)


def needs(rules: Sequence[LineRule], counts: Counts) -> dict[tuple[str, str], Fraction]:
    """Return what is drawn from stock by (material, "g" or "m")."""
    drawn: dict[tuple[str, str], Fraction] = {}
    for rule in rules:
        if rule.kind == "material":
            unit, factor = ("m", 1) if rule.unit == "m" else ("g", 1000)
            key = (rule.material, unit)
            drawn[key] = drawn.get(key, Fraction(0)) + rule.quantity(counts) * factor
    return drawn


def packs_bought(
    drawn: Mapping[tuple[str, str], Fraction], prices: MaterialPrices
) -> tuple[PacksBought, ...]:
    """Return whole packs at their plain price, of the offers that set the plain prices.

    Stock is left out of account, and so are price breaks and shipping: this is what an
    order would open, not what a delivery costs.
    """
    packs: dict[tuple[str, int], int] = {}
    offers: dict[tuple[str, int], Offer] = {}
    for (material, unit), amount in drawn.items():
        price = (prices.by_gram if unit == "g" else prices.by_metre).get(material)
        if price is None or price.offer is None or amount <= 0:
            continue
        offer = price.offer
        held = offer.contains_g if unit == "g" else offer.contains_m
        if material not in held:
            continue  # priced by its length or mass: the pack is counted by the other unit
        place = (offer.supplier, offer.number)
        offers[place] = offer
        packs[place] = max(packs.get(place, 0), divide_up(amount, held[material]))
    return tuple(
        PacksBought(offer=offers[place], packs=count, amount=count * exact(offers[place].price))
        for place, count in packs.items()
    )


def beyond_use(drawn: Mapping[tuple[str, str], Fraction], prices: MaterialPrices) -> Fraction:
    """Return what whole packs cost beyond the material used of what they hold."""
    bought = packs_bought(drawn, prices)
    places = {(b.offer.supplier, b.offer.number) for b in bought}
    used = Fraction(0)
    for (material, unit), amount in drawn.items():
        price = (prices.by_gram if unit == "g" else prices.by_metre).get(material)
        if price and price.offer and (price.offer.supplier, price.offer.number) in places:
            used += amount * price.each
    return sum((b.amount for b in bought), Fraction(0)) - used


def _by_mass(
    shop: Shop, prices: MaterialPrices, key: str, takes: Mapping[str, Fraction]
) -> list[LineRule]:
    rules = []
    for component, share in prices.components(key).items():
        kilograms = {name: each * share / 1000 for name, each in takes.items()}
        within = key if component != key else None
        rules.append(_rule(shop, prices, component, "kg", kilograms, within=within))
    return rules


def _rule(
    shop: Shop,
    prices: MaterialPrices,
    key: str,
    unit: str,
    takes: Mapping[str, Fraction],
    *,
    within: str | None,
) -> LineRule:
    price = prices.by_metre.get(key) if unit == "m" else prices.by_gram.get(key)
    title = shop.materials[key].title if key in shop.materials else key
    text = title
    if within is not None:
        text += f", in {shop.materials[within].title}"
    measure = "cost_per_m" if unit == "m" else "cost_per_kg"
    return LineRule(
        kind="material",
        text=text,
        unit=unit,
        rate=None if price is None else price.each * (1 if unit == "m" else 1000),
        takes=takes,
        moves_with=f"the price of {title}",
        unknown=f"the price of {key} is unknown: no offer holds it; add one, or its {measure}",
        material=key,
    )


def _grams(amount: Decimal | float) -> Fraction:
    """Return a mass (or length) exactly, to a millionth of its unit: beyond any scale."""
    return exact(amount if isinstance(amount, Decimal) else round(amount, 6))
