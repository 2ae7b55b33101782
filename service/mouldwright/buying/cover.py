"""The cheapest packs that cover a need, by an integer program solved to proof.

Each supplier delivers once: their offers' breaks count the packs of that delivery, shipping
is paid once, and the hazard surcharge once where any pack is hazardous. Amounts are whole
millionths of a gram or metre, needs rounded up and packs down, so that what is covered is.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from mouldwright.buying.purchase import (
    BuyList,
    Delivery,
    Leftover,
    OneSupplier,
    Packs,
    Purchase,
)
from mouldwright.domain.costing.material_price import grams_a_metre, material_prices
from mouldwright.domain.costing.stock_need import Shortage
from mouldwright.domain.quantity import divide_up, exact, whole_up
from mouldwright.domain.shop import Shop
from mouldwright.domain.supplier import Offer, Supplier

# The grain of amounts, and of money within the program: a millionth of a gram, and of a unit.
_GRAIN = 1_000_000
# Far more than a list of packs ever takes; where it is not enough the answer says so.
_DETERMINISTIC_LIMIT = 30.0

Unit = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tier:
    """Packs of one offer at one price: from so many to so many of them."""

    least: int
    most: int
    each: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class _Choice:
    """One offer that may be bought.

    Attributes:
        holds: What a pack holds of each need, in the need's unit.
        besides: What else it holds, that nobody needs now.
        credit: What the policy counts a pack's contents for, as leftovers.
    """

    supplier: Supplier
    offer: Offer
    holds: Mapping[Unit, Fraction]
    besides: Mapping[Unit, Fraction]
    tiers: tuple[_Tier, ...]
    credit: Fraction


def buy_list(
    shop: Shop,
    needs: Sequence[Shortage],
    *,
    within_days: int | None = None,
    comes_in: Mapping[str, int] | None = None,
) -> BuyList:
    """Return the cheapest purchase that covers the needs, and the other ways beside it.

    Args:
        shop: Whose suppliers and policy.
        needs: What runs short.
        within_days: Days until it must be there; offers that come later are taken only for
            what no other brings, and then the earliest. None where it may come any time.
        comes_in: Days until each supplier's delivery is there; None for their lead days alone.
    """
    wanted = {(n.material, n.unit): n.missing for n in needs if n.missing > 0}
    values = _leftover_values(shop)
    choices = [c for s in shop.suppliers.values() for c in _choices(shop, s, wanted, values)]
    held = {unit for choice in choices for unit in choice.holds}
    unsold = tuple(n for n in needs if n.missing > 0 and (n.material, n.unit) not in held)
    wanted = {unit: amount for unit, amount in wanted.items() if unit in held}
    days = {key: each.lead_days for key, each in shop.suppliers.items()} | dict(comes_in or {})
    timely, late = _timely(choices, wanted, days, within_days)
    best, proven, bound = _cheapest(timely, wanted, values)
    if best is None:  # every need is held by some choice, so a purchase exists
        raise AssertionError("no packs cover what packs hold")
    second, _, _ = _cheapest(timely, wanted, values, fewer_than=best)
    return BuyList(
        needs=tuple(needs),
        best=best,
        proven=proven,
        cannot_be_under=bound,
        second=second,
        one_supplier=_from_one(timely, wanted, values),
        unsold=unsold,
        late=late,
    )


def _leftover_values(shop: Shop) -> dict[Unit, Fraction]:
    """Return what a gram or metre left over counts for: a share of its plain price."""
    rate = exact(shop.leftover_value_rate)
    if not rate:
        return {}
    prices = material_prices(shop)
    priced = (("g", prices.by_gram), ("m", prices.by_metre))
    return {
        (material, unit): price.each * rate
        for unit, by_unit in priced
        for material, price in by_unit.items()
    }


def _choices(
    shop: Shop,
    supplier: Supplier,
    wanted: Mapping[Unit, Fraction],
    values: Mapping[Unit, Fraction],
) -> Iterable[_Choice]:
    needed = {material for material, _ in wanted}
    for offer in supplier.offers:
        holds = {unit: _held(shop, offer, unit) for unit in wanted}
        holds = {unit: amount for unit, amount in holds.items() if amount > 0}
        if not holds:
            continue
        written = [
            *(((key, "g"), exact(grams)) for key, grams in offer.contains_g.items()),
            *(((key, "m"), exact(metres)) for key, metres in offer.contains_m.items()),
        ]
        besides = {unit: amount for unit, amount in written if unit[0] not in needed}
        yield _Choice(
            supplier=supplier,
            offer=offer,
            holds=holds,
            besides=besides,
            tiers=_tiers(offer, max(divide_up(wanted[u], holds[u]) for u in holds)),
            credit=_value(holds, values) + _value(besides, values),
        )


def _value(amounts: Mapping[Unit, Fraction], values: Mapping[Unit, Fraction]) -> Fraction:
    worth = (values.get(unit, Fraction(0)) * amount for unit, amount in amounts.items())
    return sum(worth, Fraction(0))


def _held(shop: Shop, offer: Offer, unit: Unit) -> Fraction:
    """Return what a pack holds of a material in that unit; a rod's mass and length convert."""
    material, measure = unit
    grams = exact(offer.contains_g.get(material, Decimal(0)))
    metres = exact(offer.contains_m.get(material, Decimal(0)))
    a_metre = grams_a_metre(shop.materials[material]) if material in shop.materials else None
    if measure == "g":
        return grams + (metres * a_metre if a_metre else 0)
    return metres + (grams / a_metre if a_metre else 0)


def _tiers(offer: Offer, enough: int) -> tuple[_Tier, ...]:
    """Return an offer's prices by count, no further than anyone would buy.

    More than cover the whole need alone are bought only to reach a break.
    """
    steps = [(1, offer.price), *offer.price_breaks]
    tiers = []
    for place, (least, each) in enumerate(steps):
        last = place + 1 == len(steps)
        most = max(least, enough) if last else min(steps[place + 1][0] - 1, max(least, enough))
        if most >= least:
            tiers.append(_Tier(least=least, most=most, each=each))
    return tuple(tiers)


def _timely(
    choices: Sequence[_Choice],
    wanted: Mapping[Unit, Fraction],
    days: Mapping[str, int],
    within_days: int | None,
) -> tuple[list[_Choice], tuple[str, ...]]:
    """Return the offers to choose among, and the materials that come too late in any case."""
    if within_days is None:
        return list(choices), ()
    allowed = {id(c) for c in choices if days[c.supplier.key] <= within_days}
    late = []
    for unit in wanted:
        holding = [c for c in choices if unit in c.holds]
        if not any(id(c) in allowed for c in holding):
            late.append(unit[0])
            soonest = min(days[c.supplier.key] for c in holding)
            allowed |= {id(c) for c in holding if days[c.supplier.key] == soonest}
    return [c for c in choices if id(c) in allowed], tuple(dict.fromkeys(late))


def _from_one(
    choices: Sequence[_Choice], wanted: Mapping[Unit, Fraction], values: Mapping[Unit, Fraction]
) -> tuple[OneSupplier, ...]:
    found = []
    for supplier in dict.fromkeys(c.supplier.key for c in choices):
        own = [c for c in choices if c.supplier.key == supplier]
        lacks = [u[0] for u in wanted if not any(u in c.holds for c in own)]
        purchase = None if lacks else _cheapest(own, wanted, values)[0]
        found.append(
            OneSupplier(
                supplier=own[0].supplier, purchase=purchase, lacks=tuple(dict.fromkeys(lacks))
            )
        )
    return tuple(found)


def _cheapest(
    choices: Sequence[_Choice],
    wanted: Mapping[Unit, Fraction],
    values: Mapping[Unit, Fraction],
    *,
    fewer_than: Purchase | None = None,
) -> tuple[Purchase | None, bool, Fraction]:
    """Return the cheapest purchase, whether that is proven, and what none can count under.

    Args:
        choices: The offers.
        wanted: What must be covered.
        values: What a unit left over counts for.
        fewer_than: A purchase of which fewer of at least one pack must be taken.
    """
    if not wanted:
        nothing = Purchase(
            deliveries=(), total=Decimal(0), leftovers=(), leftover_value=Fraction(0)
        )
        return (nothing if fewer_than is None else None), True, Fraction(0)
    # The solver takes half a second to load; only who buys waits for it.
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    counts, cost = _written(model, choices, wanted)
    if fewer_than is not None and not _differ(model, choices, counts, fewer_than):
        return None, True, Fraction(0)
    model.minimize(cost)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = _DETERMINISTIC_LIMIT
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None, status == cp_model.INFEASIBLE, Fraction(0)
    taken = [solver.value(count) for count in counts]
    found = _purchase(choices, taken, wanted, values)
    if status == cp_model.OPTIMAL:
        return found, True, exact(found.total) - found.leftover_value
    # What is used up leaves nothing over, so the credit of its packs is taken back.
    bound = Fraction(int(solver.best_objective_bound) - 2 * len(choices), _GRAIN)
    return found, False, bound + _value(wanted, values)


def _written(model: Any, choices: Sequence[_Choice], wanted: Mapping[Unit, Fraction]) -> Any:
    """Write the program down; return each choice's count of packs and the cost."""
    counts, cost = [], 0
    by_supplier: dict[str, list[Any]] = {}
    hazardous: dict[str, list[Any]] = {}
    for place, choice in enumerate(choices):
        packs, reached = [], []
        for tier in choice.tiers:
            at = model.new_bool_var(f"at {place} {tier.least}")
            here = model.new_int_var(0, tier.most, f"packs {place} {tier.least}")
            model.add(here >= tier.least * at)
            model.add(here <= tier.most * at)
            packs.append(here)
            reached.append(at)
            # Rounded down: what leftovers count for is a policy, its last millionth is not.
            each = (exact(tier.each) - choice.credit) * _GRAIN
            cost += int(each // 1) * here
        model.add_at_most_one(reached)
        count = sum(packs)
        counts.append(count)
        by_supplier.setdefault(choice.supplier.key, []).extend(reached)
        if choice.offer.hazardous:
            hazardous.setdefault(choice.supplier.key, []).extend(reached)
    suppliers = {choice.supplier.key: choice.supplier for choice in choices}
    for charge, groups in (("shipping", by_supplier), ("hazard_surcharge", hazardous)):
        for key, reached in groups.items():
            paid = model.new_bool_var(f"{charge} {key}")
            model.add_max_equality(paid, reached)
            # A millionth besides, so that of like purchases the one in fewer deliveries is taken.
            cost += (int(exact(getattr(suppliers[key], charge)) * _GRAIN) + 1) * paid
    for unit, need in wanted.items():
        held = [
            int(choice.holds[unit] * _GRAIN // 1) * count
            for choice, count in zip(choices, counts, strict=True)
            if unit in choice.holds
        ]
        model.add(sum(held) >= whole_up(need * _GRAIN))
    return counts, cost


def _differ(model: Any, choices: Sequence[_Choice], counts: Sequence[Any], than: Purchase) -> bool:
    """Ask for fewer of at least one pack; return whether there is one to take fewer of."""
    taken = {(p.offer.supplier, p.offer.number): p.count for d in than.deliveries for p in d.packs}
    fewer = []
    for choice, count in zip(choices, counts, strict=True):
        before = taken.get((choice.offer.supplier, choice.offer.number), 0)
        if before:
            less = model.new_bool_var(f"less {choice.offer.supplier} {choice.offer.number}")
            model.add(count <= before - 1).only_enforce_if(less)
            fewer.append(less)
    if fewer:
        model.add_bool_or(fewer)
    return bool(fewer)


def _purchase(
    choices: Sequence[_Choice],
    taken: Sequence[int],
    wanted: Mapping[Unit, Fraction],
    values: Mapping[Unit, Fraction],
) -> Purchase:
    deliveries = []
    for key in dict.fromkeys(c.supplier.key for c in choices):
        packs = tuple(
            _packs(choice, count)
            for choice, count in zip(choices, taken, strict=True)
            if choice.supplier.key == key and count
        )
        if packs:
            supplier = next(c.supplier for c in choices if c.supplier.key == key)
            deliveries.append(_delivery(supplier, packs))
    left = {unit: -need for unit, need in wanted.items()}
    for choice, count in zip(choices, taken, strict=True):
        for unit, amount in {**choice.holds, **choice.besides}.items():
            left[unit] = left.get(unit, Fraction(0)) + amount * count
    leftovers = tuple(
        Leftover(material=material, unit=unit, amount=amount)
        for (material, unit), amount in left.items()
        if amount
    )
    return Purchase(
        deliveries=tuple(deliveries),
        total=sum((d.total for d in deliveries), Decimal(0)),
        leftovers=leftovers,
        leftover_value=_value(left, values),
    )


def _packs(choice: _Choice, count: int) -> Packs:
    each = next(t.each for t in choice.tiers if t.least <= count <= t.most)
    return Packs(offer=choice.offer, count=count, each=each, amount=each * count)


def _delivery(supplier: Supplier, packs: tuple[Packs, ...]) -> Delivery:
    goods = sum((p.amount for p in packs), Decimal(0))
    hazard = supplier.hazard_surcharge if any(p.offer.hazardous for p in packs) else Decimal(0)
    return Delivery(
        supplier=supplier,
        packs=packs,
        goods=goods,
        shipping=supplier.shipping,
        hazard_surcharge=hazard,
        total=goods + supplier.shipping + hazard,
    )
