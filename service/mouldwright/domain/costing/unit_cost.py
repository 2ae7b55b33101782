"""What an order costs and what each good part of it costs, line by line.

All starts are costed, so scrap is in every line; its share of the whole is stated apart.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.costing.cost_model import CostModel, cost_model
from mouldwright.domain.costing.lines import CostLine, shown
from mouldwright.domain.costing.material_cost import MixUse, PacksBought, needs
from mouldwright.domain.costing.outcomes import Seconds
from mouldwright.domain.part.constituent import Charge
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitCost:
    """The cost of an order of one part by one process.

    Attributes:
        quantity: Good parts wanted.
        lines: Everything that costs or might have: a group without cost shows a zero.
        total: Exact money for the order; None where a price is unknown.
        unknown: What is unknown and what to give, each once.
        cautions: What the figure rests on that the reader may not expect.
        starts: Parts begun.
        pulls: Pulls; 0 for a process without.
        moulds_used: Moulds that the pulls wear, new ones included.
        moulds_at_hand: Moulds that can still be used.
        new_moulds: Whole moulds needed beyond those.
        spare_parts: Good parts beyond the quantity, on average.
        chance: Chance that the starts give the quantity.
        people_hours: Attended person-hours, conditioning included.
        scrap_share: Share of the total that a yield of 1 would save; None with the total.
        mixes: Every mixing operation's mixes.
        packs: Whole packs that cover what is used.
        materials_used: Exact money for materials as used; None where unknown.
        materials_bought: The same for whole packs.
        seconds: Parts that come out as seconds on average; what they bring is in no line.
        drawn: What is drawn from stock, by (material, "g" or "m").
    """

    part: str
    process: str
    quantity: int
    lines: tuple[CostLine, ...]
    total: Fraction | None
    unknown: tuple[str, ...]
    cautions: tuple[str, ...]
    starts: int
    pulls: int
    moulds_used: int
    moulds_at_hand: int
    new_moulds: int
    spare_parts: Fraction
    chance: float
    people_hours: Decimal
    scrap_share: Fraction | None
    mixes: tuple[MixUse, ...]
    packs: tuple[PacksBought, ...]
    materials_used: Fraction | None
    materials_bought: Fraction | None
    seconds: Seconds | None = None
    drawn: Mapping[tuple[str, str], Fraction] = field(default_factory=dict)

    @property
    def per_good_part_after_seconds(self) -> Fraction | None:
        """Return the cost of one good part if every second is sold; None where unknown."""
        if self.total is None or self.seconds is None or self.seconds.income is None:
            return None
        return (self.total - self.seconds.income) / self.quantity

    @property
    def per_good_part(self) -> Fraction | None:
        """Return the exact cost of one good part, None where a price is unknown."""
        return None if self.total is None else self.total / self.quantity

    def drivers(self) -> Mapping[str, Fraction]:
        """Return what each input brings to the cost of one good part, known prices only.

        A rise of that input by a tenth raises the cost by a tenth of its figure.
        """
        found: dict[str, Fraction] = {}
        for line in self.lines:
            if line.amount:
                brings = line.amount / self.quantity
                found[line.moves_with] = found.get(line.moves_with, Fraction(0)) + brings
        return found

    def by_kind(self) -> Mapping[str, Fraction | None]:
        """Return the total of each kind of line, None where one of its lines is unknown."""
        found: dict[str, Fraction | None] = {}
        for line in self.lines:
            so_far = found.get(line.kind, Fraction(0))
            if so_far is None or line.amount is None:
                found[line.kind] = None
            else:
                found[line.kind] = so_far + line.amount
        return found


def unit_cost(
    shop: Shop, part: Part, process: Process, quantity: int, *, charge: Charge | None
) -> UnitCost:
    """Return what ``quantity`` good parts cost by a process.

    Args:
        shop: Prices, people, stations and policies.
        part: The part.
        process: How it is made.
        quantity: Good parts wanted.
        charge: What is loaded for one part; None where the process has no structure, and
            then no material is charged and the reader is told.

    Raises:
        InvalidInput: if the quantity or a rate cannot be right.
        HardLimit: if a single pull passes a limit of a mix, a plate or a load.
    """
    return cost_of(cost_model(shop, part, process, charge=charge), quantity)


def unit_costs(
    shop: Shop,
    part: Part,
    process: Process,
    quantities: Iterable[int],
    *,
    charge: Charge | None,
) -> tuple[Fraction | None, ...]:
    """Return the cost of one good part at each quantity, without the lines; quick.

    Raises:
        InvalidInput: if a quantity or a rate cannot be right.
        HardLimit: if a single pull passes a limit of a mix, a plate or a load.
    """
    model = cost_model(shop, part, process, charge=charge)
    return tuple(model.per_good_part(quantity) for quantity in quantities)


def cost_of(model: CostModel, quantity: int) -> UnitCost:
    """Return the whole cost of an order from a process's prepared model.

    Raises:
        InvalidInput: if the quantity cannot be right.
    """
    starts = model.starts(quantity)
    counts = model.counts(starts)
    lines = [*model.lines(counts)]
    amounts = [line.amount for line in lines if line.amount is not None]
    whole = len(amounts) == len(lines)
    total = sum(amounts, Fraction(0)) if whole else None
    scrap_share = None
    if total:
        scrap_share = 1 - (model.total(model.perfect_starts(quantity)) or 0) / total
    used, bought = model.materials(counts)
    seconds = model.seconds(starts)
    return UnitCost(
        part=model.part,
        process=model.routing.process.key,
        quantity=quantity,
        lines=tuple(lines),
        total=total,
        unknown=model.unknown(counts),
        cautions=(*model.cautions, *_said(model, seconds)),
        starts=starts.starts,
        pulls=starts.pulls,
        moulds_used=model.tooling.used_for(starts.pulls),
        moulds_at_hand=model.tooling.at_hand,
        new_moulds=model.tooling.new_for(starts.pulls),
        spare_parts=starts.expected_spare,
        chance=starts.chance,
        people_hours=shown(model.people_hours(counts)),
        scrap_share=scrap_share,
        mixes=model.mixes(starts),
        packs=model.packs(counts),
        materials_used=used,
        materials_bought=bought,
        seconds=seconds,
        drawn=needs(model.rules, counts),
    )


def _said(model: CostModel, seconds: Seconds | None) -> tuple[str, ...]:
    """Return what the reader should know of the seconds: that no line counts them."""
    if seconds is None:
        return ()
    found = f"Besides the good ones {shown(seconds.expected):.3g} seconds come out on average"
    money = model.shop.currency
    if seconds.price_each is None or seconds.income is None:
        return (f"{found}; parts.{model.part}.second_price would say what one is sold at.",)
    return (
        f"{found}; at {money.text(seconds.price_each)} {money.code} each they would bring "
        f"{money.text(money.round(seconds.income))} {money.code}, which no line counts.",
    )
