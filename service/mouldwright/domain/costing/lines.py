"""Cost lines, and the rules that turn counts (pulls, parts, mixes, ...) into them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal, get_args

from mouldwright.domain.quantity import sum_of_products

Kind = Literal[
    "labour",
    "conditioning",
    "material",
    "consumables",
    "tooling",
    "station",
    "packaging",
    "overhead",
    "outbound",
]
KINDS: tuple[Kind, ...] = get_args(Kind)

# How often something happens for an order, by name: "pulls", "starts", "batches 0", ...
Counts = Mapping[str, Fraction]


@dataclass(frozen=True, slots=True, kw_only=True)
class CostLine:
    """One line of what an order costs.

    Attributes:
        quantity: How much of the unit, to six decimals for showing.
        rate: Money for one unit, to six decimals; None where it is unknown.
        amount: Exact money for the whole order; None where the rate is unknown.
        moves_with: The input whose price it follows, in words.
    """

    kind: Kind
    text: str
    quantity: Decimal
    unit: str
    rate: Decimal | None
    amount: Fraction | None
    moves_with: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LineRule:
    """How a line follows from counts: quantity = sum of ``takes[name] x counts[name]``.

    Attributes:
        takes: Units taken each time a count goes up by one.
        rate: Money for one unit; None where it is unknown.
        unknown: Why the rate is unknown, and what to give.
        material: Key of the stocked material it draws, on material lines.
    """

    kind: Kind
    text: str
    unit: str
    rate: Fraction | None
    takes: Mapping[str, Fraction]
    moves_with: str
    unknown: str = ""
    material: str = ""

    def quantity(self, counts: Counts) -> Fraction:
        """Return the units taken."""
        return weighed(self.takes, counts)

    def line(self, counts: Counts) -> CostLine:
        """Return the line for those counts."""
        quantity = self.quantity(counts)
        # Nothing of a thing without a price still costs nothing.
        amount = (
            Fraction(0) if not quantity else None if self.rate is None else quantity * self.rate
        )
        return CostLine(
            kind=self.kind,
            text=self.text,
            quantity=shown(quantity),
            unit=self.unit,
            rate=None if self.rate is None else shown(self.rate),
            amount=amount,
            moves_with=self.moves_with,
        )


def weighed(each: Mapping[str, Fraction], counts: Counts) -> Fraction:
    """Return the sum of ``each[name] x counts[name]``."""
    return sum_of_products((one, counts[name]) for name, one in each.items())


def shown(value: Fraction) -> Decimal:
    """Return a number to six decimals, trailing zeros off, halves away from zero."""
    scaled = (abs(value) * 2_000_000 + 1) // 2
    number = Decimal(-scaled if value < 0 else scaled).scaleb(-6)
    return number.quantize(Decimal(1)) if number == number.to_integral() else number.normalize()


def merged(takes: Iterable[Mapping[str, Fraction]]) -> dict[str, Fraction]:
    """Return the sum of several demands on the same counts."""
    whole: dict[str, Fraction] = {}
    for one in takes:
        for name, each in one.items():
            whole[name] = whole.get(name, Fraction(0)) + each
    return whole


def weights(rules: Iterable[LineRule]) -> dict[str, Fraction]:
    """Return the money that each count brings when it goes up by one, over all known rates."""
    return merged(
        {name: each * rule.rate for name, each in rule.takes.items()}
        for rule in rules
        if rule.rate is not None
    )
