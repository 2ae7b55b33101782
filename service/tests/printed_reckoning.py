"""Work a printed quote out again: from its text alone, by arithmetic of its own.

Nothing of the shop is known here, no rate and no rule: every number comes from what stands on the
paper or the screen. Sums are read as they are printed and worked by the four rules of arithmetic.
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

SUM = re.compile(r"\d+(?:\.\d+)?|[-+*/()]")


def to_unit(amount: Fraction, digits: int) -> Decimal:
    """Return an amount to the currency's smallest unit, a half away from zero."""
    scaled = abs(amount) * 10**digits
    whole = Decimal(int((scaled * 2 + 1) // 2)).scaleb(-digits)
    return -whole if amount < 0 else whole


def work(text: str) -> Fraction:
    """Return what a printed sum comes to: numbers, + - x /, brackets."""
    plain = text.replace(" x ", "*").replace("×", "*").replace("−", "-").replace(" ", "")
    tokens = SUM.findall(plain)
    assert "".join(tokens) == plain, f"not a sum: {text}"
    value, rest = _added(tokens)
    assert not rest, f"not a sum: {text}"
    return value


def _added(tokens: list[str]) -> tuple[Fraction, list[str]]:
    value, tokens = _times(tokens)
    while tokens and tokens[0] in "+-":
        sign, (other, tokens) = tokens[0], _times(tokens[1:])
        value = value + other if sign == "+" else value - other
    return value, tokens


def _times(tokens: list[str]) -> tuple[Fraction, list[str]]:
    value, tokens = _one(tokens)
    while tokens and tokens[0] in "*/":
        sign, (other, tokens) = tokens[0], _one(tokens[1:])
        value = value * other if sign == "*" else value / other
    return value, tokens


def _one(tokens: list[str]) -> tuple[Fraction, list[str]]:
    first, rest = tokens[0], tokens[1:]
    if first == "-":
        value, rest = _one(rest)
        return -value, rest
    if first == "(":
        value, rest = _added(rest)
        assert rest[0] == ")"
        return value, rest[1:]
    return Fraction(first), rest


def line_by_line(how: str, digits: int) -> Decimal:
    """Return a sum whose bracket is taxed line by line, each rounded by itself."""
    lines, rate = re.fullmatch(r"\((.*?)\) x (.*)", how).groups()
    signed = [text.replace(" ", "") for text in re.findall(r"[-+]?\s*[\d.]+", lines)]
    taxed = (to_unit(Fraction(text) * work(f"1 x {rate}"), digits) for text in signed)
    return sum(taxed, Decimal(0))


def decimals_of(rounding: str) -> int:
    """Return to how many decimals the paper says that it rounds."""
    said = re.search(r"rounded to (?:(\d+) decimals?|whole amounts)", rounding)
    assert said is not None
    return int(said[1] or 0)


def by_largest_remainder(gross: Decimal, shares: list[Decimal], digits: int) -> list[Decimal]:
    """Split an amount: each part rounded down, what is left a unit each to the largest rests."""
    exact = [Fraction(gross) * Fraction(share) * 10**digits for share in shares]
    whole = [int(each // 1) for each in exact]
    left = int(gross.scaleb(digits)) - sum(whole)
    order = sorted(range(len(exact)), key=lambda at: (whole[at] - exact[at], at))
    for at in order[:left]:
        whole[at] += 1
    return [Decimal(each).scaleb(-digits) for each in whole]
