"""What an order really cost, line by line and group by group, beside what it was reckoned to."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.costing.lines import KINDS, Kind
from mouldwright.domain.costing.unit_cost import UnitCost
from mouldwright.domain.order import Order
from mouldwright.domain.quantity import exact


@dataclass(frozen=True, slots=True, kw_only=True)
class ActualLine:
    """One line of what an order really cost.

    Attributes:
        quantity: Of the unit, exactly.
        amount: Exact money; None where a price is unknown.
        evidence: What it rests on, in words: what was noted, and what was taken instead.
        reckoned: Of the unit, what the same work takes by its standard; None where there is none.
    """

    kind: Kind
    text: str
    quantity: Fraction
    unit: str
    amount: Fraction | None
    evidence: str
    reckoned: Fraction | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyGroup:
    """One group of cost, reckoned and real.

    Attributes:
        reckoned: For the whole order; None where a price is unknown.
        really: By the log so far; None where a price is unknown.
    """

    kind: Kind
    reckoned: Fraction | None
    really: Fraction | None

    @property
    def over(self) -> Fraction | None:
        """Return by how much it cost more; below zero where it cost less."""
        if self.reckoned is None or self.really is None:
            return None
        return self.really - self.reckoned


@dataclass(frozen=True, slots=True, kw_only=True)
class Quoted:
    """What an order was quoted at, as it was frozen then.

    Attributes:
        net: Without tax, for all of it.
        cost_each: What a good part was reckoned to cost.
    """

    net: Decimal
    cost_each: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class ActualCost:
    """What an order really cost so far.

    Attributes:
        reckoned: What it is reckoned to, at today's prices.
        begun: Parts that the log tells of.
        good: Of them good ones, those still in work left out; of a set the whole ones.
        seconds: Of them.
        scrapped: Of them.
        in_work: Of them; while there are any, real and reckoned are not of the same thing.
        lines: Group by group.
        seconds_income: What the seconds bring at their parts' prices, all of them sold, which no
            other figure here counts; None where one of them has no price.
        quoted: None for an order that came from no quote.
    """

    order: Order
    reckoned: UnitCost
    begun: int
    good: int
    seconds: int
    scrapped: int
    in_work: int
    lines: tuple[ActualLine, ...]
    seconds_income: Fraction | None = Fraction(0)
    quoted: Quoted | None = None

    @property
    def earned(self) -> Fraction | None:
        """Return what its quote leaves over what it cost so far; None where either is unknown."""
        if self.quoted is None or self.total is None:
            return None
        return exact(self.quoted.net) - self.total

    @property
    def is_whole(self) -> bool:
        """Return whether all that was ordered is good and nothing is in work."""
        return not self.in_work and self.good >= self.order.quantity

    @property
    def total(self) -> Fraction | None:
        """Return all of it; None where a price is unknown."""
        amounts = [line.amount for line in self.lines]
        known = [amount for amount in amounts if amount is not None]
        return sum(known, Fraction(0)) if len(known) == len(amounts) else None

    @property
    def per_good_part(self) -> Fraction | None:
        """Return what each good part cost; None where there is none, or a price is unknown."""
        return None if self.total is None or not self.good else self.total / self.good

    @property
    def per_good_part_after(self) -> Fraction | None:
        """Return what each good part cost once all seconds are sold; None where that is unknown."""
        if self.total is None or self.seconds_income is None or not self.good:
            return None
        return (self.total - self.seconds_income) / self.good

    @property
    def scrap(self) -> Fraction | None:
        """Return what went into parts that were scrapped: their share of all that were begun."""
        if self.total is None or not self.begun:
            return None
        return self.total * self.scrapped / self.begun

    @property
    def groups(self) -> tuple[MoneyGroup, ...]:
        """Return each group of cost, reckoned and real."""
        reckoned = self.reckoned.by_kind()
        found = []
        for kind in KINDS:
            amounts = [line.amount for line in self.lines if line.kind == kind]
            known = [amount for amount in amounts if amount is not None]
            really = sum(known, Fraction(0)) if len(known) == len(amounts) else None
            found.append(
                MoneyGroup(kind=kind, reckoned=reckoned.get(kind, Fraction(0)), really=really)
            )
        return tuple(found)
