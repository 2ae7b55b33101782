"""A quote as a computation: the priced lines, the promise, and where each figure comes from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.costing.checklist import CostCheck, checklist
from mouldwright.domain.costing.material_wait import MaterialWait
from mouldwright.domain.costing.price import Inversion, Price
from mouldwright.domain.costing.risk import CostOdds
from mouldwright.domain.costing.shared_set_up import SharedSetUp
from mouldwright.domain.costing.unit_cost import UnitCost
from mouldwright.domain.hours.opening import local
from mouldwright.domain.offer_lines import QuoteLine
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.process.process import Process
from mouldwright.domain.promise.delivery import PromisedDelivery, RushOption
from mouldwright.domain.promise.finish_odds import OrderOdds
from mouldwright.domain.shop import Shop
from mouldwright.domain.terms import USUAL, Terms

DEFER = (
    "Follow the makers' data sheets and safety sheets, local codes, and the advice of a "
    "licensed practitioner where the law or the load asks for one."
)
BEARS_LOAD = (
    "This part carries load. Its stiffness is computed or measured as stated; its strength, "
    "fatigue life and behaviour in an impact are not. Test before anyone relies on it."
)
USUAL_CAUTIONS = {
    "fibre dust": "Fibre dust: extract at the source, wear a fitted dust mask, gloves and goggles; "
    "carbon dust also conducts electricity.",
    "splinters": "Cured fibre leaves splinters and sharp edges: gloves, and break the edges first.",
    "skin sensitiser": "Skin sensitiser: no bare skin, no solvent on skin; stop at the first rash.",
    "exotherm": "Mixed resin heats itself: keep to the most that may be mixed, pour it out of "
    "the cup in time, never leave a full cup.",
    "isocyanate": "Isocyanate: ventilate, keep away from anyone with asthma; training may be "
    "required by law.",
    "corrosive": "Corrosive: gloves and eye protection, water at hand.",
}
# What is over once the resin is cured: it concerns who mixes and pours, and nobody later.
AT_THE_BENCH_ONLY = ("skin sensitiser", "exotherm", "isocyanate", "corrosive")


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteBreak:
    """The price at another quantity.

    Attributes:
        gross: The net with its tax.
        starts: Parts begun for it.
    """

    quantity: int
    price_each: Decimal
    net: Decimal
    starts: int
    gross: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class SparePrice:
    """What one pack of spares costs, ordered by itself.

    Attributes:
        pack: Pieces in it.
        goods: price_each x pack, before the smallest order and freight.
    """

    part: str
    title: str
    pack: int
    price_each: Decimal
    goods: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """A priced, dated answer to "what would so many cost, and when are they ready?".

    Attributes:
        number: Its number in the shop's sequence; None until it is kept.
        cost: What the price was made from, line by line.
        finish: Minute the last part is ready to ship.
        finish_odds: Chance that it is ready by then; where ``odds`` is None, that the starts
            give enough good parts, times being taken as certain.
        valid_until: The last day the quote stands.
        odds: What many runs of the plan showed; None for a date by the rate alone.
        cost_odds: What the order may cost; None where nobody worked it out.
        notes: What the person quoting should know and the customer need not.
        deliveries: Each with its date; empty for an order sent at once at the ordinary pace.
        rush_option: What hurrying fewer pieces would cost; None where nothing is hurried.
        terms: What is agreed beside part and quantity.
        spares: A pack of each part that is sold as a spare.
        shared: What sharing set-up with booked orders saves; None where nothing is shared.
        inversions: Quantities shown that cost more in all than a larger one.
        lacking: Materials that stock lacks; the date is counted from when they can be there.
    """

    number: str | None
    revision: int
    part: str
    process: str | None
    lines: tuple[QuoteLine, ...]
    cost: UnitCost
    price: Price
    breaks: tuple[QuoteBreak, ...]
    finish: int | None
    finish_odds: Decimal | None
    valid_until: date
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
    odds: OrderOdds | None = None
    cost_odds: CostOdds | None = None
    deliveries: tuple[PromisedDelivery, ...] = ()
    rush_option: RushOption | None = None
    terms: Terms = USUAL
    spares: tuple[SparePrice, ...] = ()
    shared: SharedSetUp | None = None
    inversions: tuple[Inversion, ...] = ()
    lacking: tuple[MaterialWait, ...] = ()

    @property
    def checklist(self) -> tuple[CostCheck, ...]:
        """Return every group of cost with what is charged for it, zeros too."""
        return checklist(self.cost, self.price.payment_fee)


def cautions_for(
    shop: Shop, processes: Iterable[Process], materials: Iterable[str], *, parts: Iterable[Part]
) -> tuple[str, ...]:
    """Return the usual cautions of the work and of the part, each once, deference last."""
    words: list[str] = []
    if any(part.bears_load for part in parts):
        words.append(BEARS_LOAD)
    named: list[str] = []
    for process in processes:
        named.extend(process.cautions)
        for operation in process.operations:
            named.extend(operation.cautions)
    for key in dict.fromkeys(materials):
        material = shop.materials.get(key)
        if material is None:
            continue
        named.extend(material.cautions)
        for component in material.mix.parts if material.mix else ():
            if component in shop.materials:
                named.extend(shop.materials[component].cautions)
    words.extend(in_words(caution) for caution in dict.fromkeys(named))
    words.append(DEFER)
    return tuple(words)


def for_who_uses_it(cautions: Iterable[str]) -> tuple[str, ...]:
    """Return the cautions that concern who uses the part: load, edges, dust when it is cut.

    What a shop wrote itself stays, as nobody can say whom it is for.
    """
    bench = {USUAL_CAUTIONS[name] for name in AT_THE_BENCH_ONLY}
    return tuple(caution for caution in cautions if caution not in bench)


def in_words(caution: str) -> str:
    """Return what a usual caution asks of whoever is at the bench; any other stands as written."""
    return USUAL_CAUTIONS.get(caution, caution)


def valid_until(shop: Shop, now: int) -> date:
    """Return the last local day a quote made now stands."""
    return local(now, shop.zone).date() + timedelta(days=shop.price.valid_days)


def margin(price_each: Decimal, cost_each: Fraction) -> Fraction:
    """Return the share of the price that is not cost, 0 where the price is nothing."""
    return (Fraction(price_each) - cost_each) / Fraction(price_each) if price_each else Fraction(0)
