"""Money: decimal amounts in one currency, rounded only where a document says so."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal
from fractions import Fraction

# Minor units by ISO 4217 (list one): those that differ from two digits.
_DIGITS_OTHER_THAN_TWO = {
    **dict.fromkeys(["BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG"], 0),
    **dict.fromkeys(["RWF", "UGX", "UYI", "VND", "VUV", "XAF", "XOF", "XPF"], 0),
    **dict.fromkeys(["BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"], 3),
    **dict.fromkeys(["CLF", "UYW"], 4),
}


@dataclass(frozen=True, slots=True)
class Currency:
    """A currency by its ISO 4217 code.

    Attributes:
        code: Three capital letters.
    """

    code: str

    def __post_init__(self) -> None:
        """Raise ValueError where the code is not three capital letters."""
        if len(self.code) != 3 or not (self.code.isascii() and self.code.isalpha()):
            raise ValueError("a currency is three capital letters of ISO 4217, such as EUR")
        if self.code != self.code.upper():
            raise ValueError(f"write the currency in capitals: {self.code.upper()}")

    @property
    def digits(self) -> int:
        """Return the decimals of the minor unit (ISO 4217): 2 for EUR, 0 for JPY, 3 for KWD."""
        return _DIGITS_OTHER_THAN_TWO.get(self.code, 2)

    @property
    def minor_unit(self) -> Decimal:
        """Return the smallest amount that can be paid, for example Decimal('0.01')."""
        return Decimal(1).scaleb(-self.digits)

    def round(self, amount: Decimal | Fraction) -> Decimal:
        """Return the amount to the minor unit, halves away from zero."""
        if isinstance(amount, Fraction):
            # A fraction may have no finite decimal: round it exactly, not through a division.
            scaled = abs(amount) * 10**self.digits
            whole = (scaled * 2 + 1) // 2
            value = Decimal(int(whole)).scaleb(-self.digits)
            return -value if amount < 0 else value
        return amount.quantize(self.minor_unit, rounding=ROUND_HALF_UP)

    def holds(self, amount: Decimal) -> bool:
        """Return whether the amount can be paid to the minor unit."""
        return amount == amount.quantize(self.minor_unit, rounding=ROUND_HALF_UP)

    def text(self, amount: Decimal) -> str:
        """Return the amount rounded, with the currency's decimals and no code."""
        return f"{self.round(amount):f}"

    def share(self, amount: Decimal, weights: Sequence[Decimal]) -> tuple[Decimal, ...]:
        """Split a rounded amount by weights so that the shares add up to it exactly.

        Shares are rounded down and the units left over go to the largest remainders,
        the first of equals first.

        Raises:
            ValueError: if there are no weights, one is negative, or all are zero.
        """
        if not weights or min(weights) < 0 or sum(weights) == 0:
            raise ValueError("shares need at least one weight above zero and none below")
        total, unit = self.round(amount), self.minor_unit
        exact = [Fraction(total) * Fraction(w) / Fraction(sum(weights)) for w in weights]
        floors = [
            Decimal(int((e * 10**self.digits).__floor__()))
            .scaleb(-self.digits)
            .quantize(unit, rounding=ROUND_FLOOR)
            for e in exact
        ]
        left = int((total - sum(floors, Decimal(0))) / unit)
        order = sorted(range(len(exact)), key=lambda i: (Fraction(floors[i]) - exact[i], i))
        for i in order[:left]:
            floors[i] += unit
        return tuple(floors)


def decimal_text(amount: Decimal | Fraction, decimals: int) -> str:
    """Return an exact amount with so many decimals, a half away from zero."""
    scaled = Fraction(amount) * 10**decimals
    whole = (abs(scaled) * 2 + 1) // 2
    value = Decimal(int(whole)).scaleb(-decimals)
    return f"{-value if scaled < 0 else value:f}"
