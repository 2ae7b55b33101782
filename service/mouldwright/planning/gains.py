"""What changing a shop in one thing would buy, as it is kept and shown.

Minutes are elapsed; a lateness counts by the weight of its order.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from mouldwright.domain.money import Currency
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.planning.plan import OrderOutcome

ChangeKind = Literal["mould", "hour", "day", "station", "cure"]
OptionKind = Literal["mould", "opening", "split", "process"]


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderShift:
    """One order's finish, in minutes since the epoch, before a change and after.

    Attributes:
        late_before_min: Minutes late, not weighted; the same after.
    """

    number: str
    before: int
    after: int
    late_before_min: int
    late_after_min: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Gain:
    """What one change would buy.

    Attributes:
        key: Names the change.
        title: What is changed, in words.
        note: What is assumed, or must be seen to first; empty where nothing.
        late_gain_min: Weighted minutes less of lateness; never below zero, since the plan
            without the change still stands.
        finish_gain_min: Minutes by which the last order is ready sooner.
        sooner_min: Sum over orders of weight x minutes sooner.
        orders: Those whose finish changes.
        cost: What it costs; None where that is not known.
        cost_words: How that is counted.
        used_min: Minutes of hands in hours that were closed before.
    """

    key: str
    kind: ChangeKind
    title: str
    note: str
    late_gain_min: int
    finish_gain_min: int
    sooner_min: int
    orders: tuple[OrderShift, ...]
    cost: Fraction | None
    cost_words: str
    used_min: int = 0

    @property
    def helps(self) -> bool:
        """Return whether anything is gained."""
        return (self.late_gain_min, self.finish_gain_min, self.sooner_min) > (0, 0, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class LateOption:
    """One way to have a late order sooner.

    Attributes:
        title: What to do, in words.
        sooner_min: By how much the order, or what can be sent of it, is ready sooner.
        late_min: How late it still is.
        cost: What it costs; None where that is not known.
        used_min: Minutes of hands in hours that were closed before.
    """

    title: str
    sooner_min: int
    late_min: int
    cost: Fraction | None
    used_min: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class LateOrder:
    """An order that is late as things are, why, and what could be done.

    Attributes:
        because: What keeps it longest, a clause.
        options: The one that leaves least lateness first.
    """

    number: str
    late_min: int
    because: str
    options: tuple[LateOption, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OneMore:
    """What one more of each thing would buy, the most first.

    Attributes:
        late: Orders that are late as things are.
        finish: Minute the last order is ready as things are.
        late_min: Weighted minutes late as things are.
        tried: How many changes were planned; fewer than there are where it was stopped.
    """

    now: int
    zone: str
    finish: int
    late_min: int
    gains: tuple[Gain, ...]
    late: tuple[LateOrder, ...]
    tried: int
    changes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CountTried:
    """What one count of moulds comes to.

    Attributes:
        moulds: How many, those to be made or bought included.
        new: How many of them are new.
        finish: Minute the order is ready.
        tooling: What the new ones cost; None where that is not known.
        work: What hands cost in the whole plan; the same for every count, which changes no work.
        late_min: Minutes the order is late.
        others_late_min: Weighted minutes the other orders are late.
    """

    moulds: int
    new: int
    finish: int
    late_min: int
    others_late_min: int
    tooling: Fraction | None
    work: Fraction

    @property
    def cost(self) -> Fraction | None:
        """Return tooling and work together; None where tooling is not known."""
        return None if self.tooling is None else self.tooling + self.work


@dataclass(frozen=True, slots=True, kw_only=True)
class MouldCount:
    """How many moulds an order wants.

    Attributes:
        family: Key of the mould family.
        at_hand: Moulds of it that still take pulls.
        by: Minute the order is wanted; None without a date.
        counts: Each count tried, from one up.
        advised: The count that meets the date at the least cost; without a date, the least
            cost. Of those that cost the same, as all at hand do, and where none meets the date,
            the fewest that are soonest.
        meets: Whether the advised count meets the date; None without one.
        stops: Why no more were tried, in words.
    """

    order: str
    family: str
    at_hand: int
    by: int | None
    counts: tuple[CountTried, ...]
    advised: int
    meets: bool | None
    stops: str
    now: int
    zone: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TriedOption:
    """One way to take an order otherwise, planned and priced.

    Attributes:
        key: Names the way.
        title: What is done, in words.
        note: What is assumed, or must be seen to first; empty where nothing.
        finish: Minute all of it is ready; None where there is no such plan.
        late_min: Minutes late; in a split delivery of the first share.
        first: Pieces of the first share of a split delivery; None in any other way.
        first_finish: Minute they are ready.
        shifts: Orders whose finish would change beside the plan that holds.
        kept: Tasks still to come that would stand as they stand.
        moved: Tasks that would stand elsewhere.
        chance: Share of runs in which it is ready by the date; in a split delivery, the first
            share; None without a date or where no runs were made.
        promise: When it may be promised, by the same runs; in a split delivery, the rest.
        first_promise: When the first share of a split delivery may be promised.
        cost_more: What it costs the shop beyond the order as asked; None where not known.
        cost_words: How that is counted.
        used_min: Minutes of hands in hours that were closed before.
        price_each: What a quote would ask for one; None where none can be made.
        net: What a quote would ask for all of it.
        refused: Why it cannot be, in sentences; empty where it can.
    """

    key: str
    kind: OptionKind
    title: str
    note: str
    finish: int | None = None
    late_min: int = 0
    first: int | None = None
    first_finish: int | None = None
    shifts: tuple[OrderShift, ...] = ()
    kept: int = 0
    moved: int = 0
    chance: float | None = None
    promise: ReadyBy | None = None
    first_promise: ReadyBy | None = None
    cost_more: Fraction | None = None
    cost_words: str = ""
    used_min: int = 0
    price_each: Decimal | None = None
    net: Decimal | None = None
    refused: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TriedOrder:
    """What accepting an order would come to.

    Attributes:
        finish: Minute it is ready.
        due: Minute it is wanted; None without a date.
        shifts: Orders whose finish would change.
        kept: Tasks still to come that would stand as they stand.
        moved: Tasks that would stand elsewhere.
        starts: Parts it begins.
        because: What keeps it longest, a clause.
        currency: Of its prices.
        chance: Share of runs in which it is ready by the date; None without a date or where no
            runs were made.
        promise: When it may be promised, by the same runs of the same plan.
        quote_promise: What a quote of it would promise where that is another minute; else None.
        quote_differs: Why it is another, a sentence; empty where it is not.
        price_each: What a quote would ask for one; None where none can be made.
        net: What a quote would ask for all of it.
        unpriced: Why there is no price, in sentences; empty where there is one.
        options: Other ways to take it, the best first; None where they were not asked for.
        left_out: Ways that were not tried any more when it was stopped.
        moulds: Moulds it counts on that are not there yet, in sentences.
        arrivals: When material arrives that it waits for, in sentences.
    """

    part: str
    process: str | None
    quantity: int
    finish: int
    due: int | None
    shifts: tuple[OrderShift, ...]
    kept: int
    moved: int
    starts: int
    because: str
    zone: str
    currency: Currency
    chance: float | None = None
    promise: ReadyBy | None = None
    quote_promise: ReadyBy | None = None
    quote_differs: str = ""
    price_each: Decimal | None = None
    net: Decimal | None = None
    unpriced: tuple[str, ...] = ()
    options: tuple[TriedOption, ...] | None = None
    left_out: int = 0
    moulds: tuple[str, ...] = ()
    arrivals: tuple[str, ...] = ()

    @property
    def late_min(self) -> int:
        """Return how late it would be, in minutes."""
        return 0 if self.due is None else max(0, self.finish - self.due)


def shifts_between(
    before: Iterable[OrderOutcome], after: Iterable[OrderOutcome]
) -> tuple[OrderShift, ...]:
    """Return the orders of one plan whose finish is another in a second plan."""
    then = {outcome.number: outcome for outcome in after}
    return tuple(
        OrderShift(
            number=outcome.number,
            before=outcome.finish,
            after=then[outcome.number].finish,
            late_before_min=outcome.late_min,
            late_after_min=then[outcome.number].late_min,
        )
        for outcome in before
        if outcome.number in then and then[outcome.number].finish != outcome.finish
    )
