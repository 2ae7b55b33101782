"""A process prepared for costing: all that does not depend on the quantity, worked out once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.costing.lines import (
    KINDS,
    CostLine,
    Counts,
    Kind,
    LineRule,
    shown,
    weighed,
    weights,
)
from mouldwright.domain.costing.material_cost import (
    MixUse,
    PacksBought,
    batch_load,
    beyond_use,
    material_rules,
    mix_uses,
    needs,
    packs_bought,
)
from mouldwright.domain.costing.material_price import MaterialPrices, material_prices
from mouldwright.domain.costing.occurrence import Routing
from mouldwright.domain.costing.outbound_cost import outbound_rules
from mouldwright.domain.costing.outcomes import Seconds, second_rate
from mouldwright.domain.costing.scrap import GoodRates, Starts, fewest_starts, good_rates
from mouldwright.domain.costing.session_cost import SessionNeed, session_needs, session_rules
from mouldwright.domain.costing.skin_waste import skin_without_waste
from mouldwright.domain.costing.station_cost import load_counts, station_rules
from mouldwright.domain.costing.tooling import (
    NEW_MOULDS,
    Tooling,
    lives_left,
    tooling_for,
    tooling_rule,
)
from mouldwright.domain.costing.work_cost import (
    conditioning_rule,
    conditionings,
    consumable_rules,
    labour_rules,
    overhead_rule,
    packaging_rule,
)
from mouldwright.domain.part.constituent import Charge
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.process.batch import BatchLoad, batchings
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop

WHOLE_PACKS = "whole packs"
_NONE_STATED = {
    "labour": "no attended operation",
    "conditioning": "no conditioning stated",
    "material": "no material charged",
    "consumables": "no consumables stated",
    "tooling": "no mould",
    "station": "no station",
    "outbound": "no freight or returns stated",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class CostModel:
    """The line rules of one part by one process, with what turns a quantity into counts.

    Attributes:
        part: Key of the part.
        rules: Every line's rule, in the order shown.
        money: Money that each count brings, over the known rates.
        sessions: The sessions its work is of.
    """

    shop: Shop
    part: str
    routing: Routing
    rates: GoodRates
    tooling: Tooling
    prices: MaterialPrices
    rules: tuple[LineRule, ...]
    money: Counts
    cautions: tuple[str, ...]
    sessions: tuple[SessionNeed, ...] = ()

    def starts(self, quantity: int) -> Starts:
        """Return the starts for a quantity at the shop's service level."""
        return self._starts(quantity, self.rates, self.shop.service_level)

    def perfect_starts(self, quantity: int) -> Starts:
        """Return the starts for a quantity if every part were good."""
        return self._starts(quantity, GoodRates(part=Fraction(1)), None)

    def counts(self, starts: Starts) -> dict[str, Fraction]:
        """Return how often everything happens for so many starts."""
        counts = self.routing.counts(starts)
        counts["conditionings"] = conditionings(self.tooling.family, starts.pulls)
        counts[NEW_MOULDS] = Fraction(self.tooling.new_for(starts.pulls))
        counts |= {need.count: need.sessions(counts) for need in self.sessions}
        load_counts(self.shop, counts)
        return counts

    def total(self, starts: Starts) -> Fraction | None:
        """Return the cost of so many starts, None where a price is unknown."""
        counts = self.counts(starts)
        if self.unknown(counts):
            return None
        total = weighed(self.money, counts)
        if self.shop.materials_charged == "bought":
            total += beyond_use(needs(self.rules, counts), self.prices)
        return total

    def per_good_part(self, quantity: int) -> Fraction | None:
        """Return the cost of one good part, None where a price is unknown.

        Raises:
            InvalidInput: if the quantity cannot be right.
        """
        total = self.total(self.starts(quantity))
        return None if total is None else total / quantity

    def lines(self, counts: Counts) -> Iterator[CostLine]:
        """Yield every line, by kind; a kind without any yields a zero that says so."""
        for kind in KINDS:
            rules = [rule for rule in self.rules if rule.kind == kind]
            if not rules and kind in _NONE_STATED:
                yield _plain_line(kind, _NONE_STATED[kind], Fraction(0))
            for rule in rules:
                yield rule.line(counts)
            if kind == "material":
                bought = self.shop.materials_charged == "bought"
                beyond = beyond_use(needs(self.rules, counts), self.prices) if bought else 0
                yield packs_line(Fraction(beyond))

    def unknown(self, counts: Counts) -> tuple[str, ...]:
        """Return what is unknown and needed for those counts, each once."""
        return tuple(
            dict.fromkeys(
                rule.unknown for rule in self.rules if rule.rate is None and rule.quantity(counts)
            )
        )

    def people_hours(self, counts: Counts) -> Fraction:
        """Return the attended person-hours, conditioning included."""
        worked = (rule for rule in self.rules if rule.kind in ("labour", "conditioning"))
        return sum((rule.quantity(counts) for rule in worked), Fraction(0))

    def mixes(self, starts: Starts) -> tuple[MixUse, ...]:
        """Return every mixing operation's mixes."""
        return mix_uses(self.routing, self._members(starts))

    def seconds(self, starts: Starts) -> Seconds | None:
        """Return the seconds of so many starts, None where none ever comes out as one."""
        family = self.tooling.family
        rate = second_rate(self.routing.process, family.loss_rate if family else 0)
        if not rate:
            return None
        price = self.shop.parts[self.part].second_price if self.part in self.shop.parts else None
        return Seconds(expected=starts.starts * rate, price_each=price)

    def packs(self, counts: Counts) -> tuple[PacksBought, ...]:
        """Return the whole packs that cover what is used."""
        return packs_bought(needs(self.rules, counts), self.prices)

    def materials(self, counts: Counts) -> tuple[Fraction | None, Fraction | None]:
        """Return materials as used and as bought in whole packs; None twice where unknown."""
        rules = [rule for rule in self.rules if rule.kind == "material"]
        amounts = [rule.line(counts).amount for rule in rules]
        known = [amount for amount in amounts if amount is not None]
        if len(known) < len(amounts):
            return None, None
        used = sum(known, Fraction(0))
        return used, used + beyond_use(needs(self.rules, counts), self.prices)

    def _starts(self, quantity: int, rates: GoodRates, level: Decimal | None) -> Starts:
        return fewest_starts(
            quantity,
            rates,
            cavities=self.routing.parts_each,
            service_level=level,
            by_pulls=self.routing.process.has_pulls,
        )

    def _members(self, starts: Starts) -> int:
        return starts.pulls if self.routing.process.has_pulls else starts.starts


def cost_model(shop: Shop, part: Part, process: Process, *, charge: Charge | None) -> CostModel:
    """Return a process prepared for costing one part at any quantity.

    Raises:
        InvalidInput: if a good rate cannot be right.
        HardLimit: if a single pull passes a limit of a mix, a plate or a load.
    """
    family = tooling_for(shop, part.key, process.key) if process.uses_mould else None
    rates = good_rates(process, family.loss_rate if family else 0)
    cost, unknown = _proved(shop, part, process, charge, _mould_cost(shop, part, process))
    tooling = Tooling(family=family, lives_left=lives_left(family), cost=cost, unknown=unknown)
    routing = _routing(
        shop, process, batch_load(process, charge, tooling.cavities), max(tooling.at_hand, 1)
    )
    prices = material_prices(shop)
    sessions = session_needs(shop, routing)
    rules = _work_rules(shop, routing, sessions)
    rules += material_rules(shop, routing, charge, prices)
    rules += [rule for rule in [tooling_rule(tooling, shop.tooling)] if rule]
    rules.append(packaging_rule(shop))
    if process.uses_mould and family is None:
        rules.append(_no_family(part, process))
    rules += outbound_rules(shop, rules)
    return CostModel(
        shop=shop,
        part=part.key,
        routing=routing,
        rates=rates,
        tooling=tooling,
        prices=prices,
        rules=tuple(rules),
        money=weights(rules),
        cautions=(*_cautions(process, tooling, rates, charge), *_cloth(shop, process)),
        sessions=sessions,
    )


def _routing(shop: Shop, process: Process, load: BatchLoad, moulds: int) -> Routing:
    return Routing(
        process=process,
        batchings=batchings(shop, process, load, moulds=moulds),
        parts_each=load.parts,
    )


def _work_rules(shop: Shop, routing: Routing, sessions: tuple[SessionNeed, ...]) -> list[LineRule]:
    worked = labour_rules(shop, routing)
    upkeep = conditioning_rule(shop, routing)
    if upkeep:
        worked.append(upkeep)
    worked += session_rules(shop, sessions)
    return [
        *worked,
        *consumable_rules(routing, sessions),
        *station_rules(shop, routing),
        overhead_rule(shop, worked),
    ]


def _mould_cost(shop: Shop, part: Part, process: Process) -> tuple[Fraction | None, str]:
    """Return what a new mould costs, or why that is unknown.

    A mould the shop makes and states no cost for costs the work of making one; if making
    it takes material, that is not known here.
    """
    family = tooling_for(shop, part.key, process.key)
    if family is None:
        return None, ""
    if family.cost is not None:
        return Fraction(family.cost), ""
    if family.made_by is None:
        return Fraction(0), ""
    building = shop.processes.get(family.made_by)
    if building is None or building.structure is not None:
        return None, (
            f"the cost of a mould of {family.key} is unknown: the material that "
            f"{family.made_by} takes for one is not stated; give moulds.{family.key}.cost"
        )
    routing = _routing(shop, building, BatchLoad(parts=1, mixed_g={}), 1)
    one = fewest_starts(1, GoodRates(part=Fraction(1)), by_pulls=building.has_pulls)
    counts = routing.counts(one)
    counts["conditionings"] = Fraction(0)
    load_counts(shop, counts)
    sessions = session_needs(shop, routing)
    counts |= {need.count: need.sessions(counts) for need in sessions}
    rules = _work_rules(shop, routing, sessions)
    lacking = [rule.unknown for rule in rules if rule.rate is None and rule.quantity(counts)]
    if lacking:
        return None, lacking[0]
    amounts = (rule.line(counts).amount or Fraction(0) for rule in rules)
    return sum(amounts, Fraction(0)), ""


def _proved(
    shop: Shop,
    part: Part,
    process: Process,
    charge: Charge | None,
    mould: tuple[Fraction | None, str],
) -> tuple[Fraction | None, str]:
    """Return what a new mould costs with the pulls that prove it: their work and material."""
    family = tooling_for(shop, part.key, process.key)
    if family is None or not family.proof_pulls or mould[0] is None:
        return mould
    proof = process.proof
    routing = _routing(shop, proof, batch_load(proof, charge, family.cavities), 1)
    one = fewest_starts(family.cavities, GoodRates(part=Fraction(1)), cavities=family.cavities)
    counts = routing.counts(one)
    counts["conditionings"] = Fraction(0)
    load_counts(shop, counts)
    sessions = session_needs(shop, routing)
    counts |= {need.count: need.sessions(counts) for need in sessions}
    rules = _work_rules(shop, routing, sessions)
    rules += material_rules(shop, routing, charge, material_prices(shop))
    lacking = [rule.unknown for rule in rules if rule.rate is None and rule.quantity(counts)]
    if lacking:
        return None, lacking[0]
    each = sum((rule.line(counts).amount or Fraction(0) for rule in rules), Fraction(0))
    return mould[0] + family.proof_pulls * each, mould[1]


def _no_family(part: Part, process: Process) -> LineRule:
    return LineRule(
        kind="tooling",
        text="moulds",
        unit="pull",
        rate=None,
        takes={"pulls": Fraction(1)},
        moves_with="the cost of moulds",
        unknown=(
            f"{process.key} needs a mould and none serves {part.key}: add a family under moulds "
            f'with part = "{part.key}" and process = "{process.key}"'
        ),
    )


def _cautions(
    process: Process, tooling: Tooling, rates: GoodRates, charge: Charge | None
) -> tuple[str, ...]:
    found = []
    if rates.each == 1:
        found.append(
            f"No operation of {process.key} states a good rate: every part is taken as good."
        )
    if charge is None:
        found.append(f"{process.key} names no structure: no material is charged.")
    elif not charge.constituents:
        found.append(f"{process.key} names no material: none is charged, though it has a cost.")
    family = tooling.family
    if family is not None and family.cost is None and family.made_by is None:
        found.append(f"{family.key} states no cost: its moulds are taken as free.")
    elif (
        family is not None
        and family.life_pulls is None
        and not family.loss_rate
        and family.expected_pulls is None
    ):
        found.append(f"{family.key} states no life: by life its moulds cost nothing.")
    return tuple(found)


def _cloth(shop: Shop, process: Process) -> tuple[str, ...]:
    skin = skin_without_waste(process, shop.materials)
    if skin is None:
        return ()
    return (
        f"{skin.title} is charged as it lies on the core: what is cut off its cloth is in no cost "
        f"until materials.{skin.key}.mix states a lost_share.",
    )


def packs_line(amount: Fraction) -> CostLine:
    """Return the line of what whole packs cost beyond what is used of them."""
    return replace(
        _plain_line("material", "whole packs beyond what is used", amount), moves_with=WHOLE_PACKS
    )


def _plain_line(kind: Kind, text: str, amount: Fraction) -> CostLine:
    return CostLine(
        kind=kind,
        text=text,
        quantity=Decimal(1) if amount else Decimal(0),
        unit="order",
        rate=shown(amount),
        amount=amount,
        moves_with=kind,
    )
