"""Figures, money and dates as a language writes them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from babel.dates import format_date
from babel.numbers import format_currency, format_decimal, format_percent

from mouldwright.documents.wording import QuoteWords
from mouldwright.domain.shown import decimals_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Writing:
    """Figures and dates as a language writes them.

    Attributes:
        currency: ISO 4217 code of every amount.
    """

    words: QuoteWords
    currency: str

    def money(self, amount: str | Decimal) -> str:
        """Return an amount with its currency."""
        return format_currency(Decimal(amount), self.currency, locale=self.words.locale)

    def count(self, number: int) -> str:
        """Return a whole number."""
        return format_decimal(number, locale=self.words.locale)

    def number(self, value: float, digits: int = 1) -> str:
        """Return a figure with no more decimals than it has."""
        rounded = Decimal(str(round(value, digits)))
        return format_decimal(rounded.normalize(), locale=self.words.locale)

    def size(self, value: float, digits: int) -> str:
        """Return a size on a drawing, always with so many decimals."""
        return format_decimal(
            Decimal(str(round(value, digits))),
            format=f"0.{'0' * digits}" if digits else "0",
            locale=self.words.locale,
        )

    def with_unit(self, value: float, unit: str) -> str:
        """Return a figure and its unit, never parted at the end of a line."""
        return f"{self.number(value, decimals_of(value))}\N{NO-BREAK SPACE}{unit}"

    def percent(self, share: Decimal | float) -> str:
        """Return a share in per cent, with every decimal it has, unparted from its sign."""
        exact = Decimal(str(share))
        written = format_percent(exact, format="#,##0.###### %", locale=self.words.locale)
        return written.replace(" ", "\N{NO-BREAK SPACE}")

    def day(self, day: date) -> str:
        """Return a day in full."""
        written = format_date(day, format="long", locale=self.words.locale)
        # French writes the first of a month as an ordinal, which the long format leaves out.
        is_french_first = day.day == 1 and self.words.locale.split("_")[0] == "fr"
        return f"1er{written.removeprefix('1')}" if is_french_first else written
