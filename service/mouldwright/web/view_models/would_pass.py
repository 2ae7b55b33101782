"""What would make a failing way pass, as people read it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from mouldwright.domain.money import Currency
from mouldwright.domain.shown import lasting
from mouldwright.domain.would_pass.find import WouldPass
from mouldwright.web.words import amount, measure


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeRow:
    """One change; empty cells are dashes."""

    lever: str
    change: str
    bends: str
    mass: str
    cost: str
    time: str


def change_rows(currency: Currency, found: Sequence[WouldPass]) -> tuple[ChangeRow, ...]:
    """Return each change that is enough, in the order found."""
    return tuple(_row(currency, each) for each in found)


def _row(currency: Currency, found: WouldPass) -> ChangeRow:
    change = found.change
    anew = ", its moulds made anew" if change.new_moulds else ""
    mass = found.mass_g
    return ChangeRow(
        lever=f"{change.lever[:1].upper()}{change.lever[1:]}{anew}{_lost(found)}",
        change=f"{change.was} to {change.becomes}",
        bends=measure(found.judgement.deflection_mm),
        mass="–" if mass is None else _signed(mass),
        cost=_cost(currency, found),
        time=_time(found.lead_min),
    )


def _lost(found: WouldPass) -> str:
    if not found.tests_lost:
        return ""
    one = len(found.tests_lost) == 1
    # They may be tests of another way to make it: the part is shorter whichever way it is made.
    return (
        f"; the part would be shorter than {'bench test' if one else 'bench tests'} "
        f"{', '.join(found.tests_lost)} {'was' if one else 'were'} made at"
    )


def _signed(mass: float) -> str:
    if not round(mass, 1):
        return "same"
    return f"{'+' if mass > 0 else '−'}{abs(mass):.1f}"


def _cost(currency: Currency, found: WouldPass) -> str:
    each = found.cost_each
    if each is None:
        return "unknown"
    if not currency.round(each):
        return "same"
    sign = "+" if each > 0 else "−"
    return f"{sign}{amount(currency, abs(each))}"


def _time(minutes: int | None) -> str:
    if minutes is None:
        return "–"
    if not minutes:
        return "same"
    return f"{'+' if minutes > 0 else '−'}{lasting(abs(minutes))}"
