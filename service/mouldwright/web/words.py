"""Figures, dates and states in the words of the trade."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.hours.opening import local
from mouldwright.domain.hours.spoken import DAYS, MONTHS, spoken_day
from mouldwright.domain.money import Currency
from mouldwright.domain.shown import fitted

_SIGNS = {"EUR": "€", "GBP": "£", "USD": "$", "JPY": "¥"}
_LONG_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)

SUPPORTS = {
    "cantilever": "Fixed at the root, free at the tip",
    "simply supported": "Resting on both ends",
    "both ends fixed": "Fixed at both ends",
    "elastic mounts": "On springy mounts",
}
LOADS = {
    "end": "at the tip",
    "centre": "at the middle",
    "uniform": "spread along the span",
    "triangular": "spread, most at the root",
}
QUOTE_STATES = {
    "draft": "Draft",
    "sent": "With the customer",
    "accepted": "Accepted",
    "declined": "Declined",
    "lapsed": "Lapsed",
    "superseded": "Superseded",
}
COST_KINDS = {
    "labour": "Hands",
    "conditioning": "Conditioning of moulds",
    "material": "Materials",
    "consumables": "Consumables",
    "tooling": "Moulds",
    "station": "Machines",
    "packaging": "Packaging",
    "overhead": "Overhead",
    "outbound": "Freight and returns",
}

# What is counted in a cost line, and its plural.
_COUNTED = {
    "batch": "batches",
    "load": "loads",
    "mix": "mixes",
    "mould": "moulds",
    "order": "orders",
    "part": "parts",
    "piece": "pieces",
    "pull": "pulls",
    "round": "rounds",
}

# The same and what is told apart from them, where each is looked through for what was forgotten.
CHECKED = COST_KINDS | {
    "freight": "Freight",
    "returns": "Returns and repairs",
    "payment fee": "What being paid costs",
}

# Where each of them is written, by the sheets and fields of the pages.
CHECKED_AT = {
    "labour": "People, the wage",
    "conditioning": "Processes, the step once for each upkeep of a mould",
    "material": "Materials, and suppliers’ packs",
    "consumables": "Processes and sessions, what is used up",
    "tooling": "Moulds, the cost",
    "station": "Stations, the cost of an hour",
    "packaging": "Prices and policies, packaging",
    "overhead": "Prices and policies, overhead",
    "freight": "Prices and policies, sending and returns",
    "returns": "Prices and policies, sending and returns",
    "payment fee": "Prices and policies, what being paid costs",
}


def sign(currency: Currency | str) -> str:
    """Return how a currency is written before an amount: its sign, else its code."""
    code = currency if isinstance(currency, str) else currency.code
    return _SIGNS.get(code, code)


def amount(currency: Currency | str, value: Decimal | Fraction | str | None) -> str:
    """Return an amount with the currency's decimals and parted thousands, no sign."""
    if value is None:
        return "unknown"
    money = Currency(currency) if isinstance(currency, str) else currency
    exact = Decimal(value) if isinstance(value, str) else value
    return f"{money.round(exact):,f}"


def money(currency: Currency | str, value: Decimal | Fraction | str | None) -> str:
    """Return an amount with the currency's sign: €29.70, CHF 29.70."""
    if value is None:
        return "unknown"
    mark = sign(currency)
    return f"{mark}{'' if len(mark) == 1 else ' '}{amount(currency, value)}"


def figure(value: float | Decimal | Fraction | None, digits: int = 1) -> str:
    """Return a number with so many decimals, a dash where there is none."""
    return "–" if value is None else f"{float(value):,.{digits}f}"


def taken(quantity: Decimal, unit: str) -> str:
    """Return how much of its unit a cost line takes; things are counted whole: 27 pulls."""
    if unit not in _COUNTED or quantity % 1:
        return f"{quantity:,f} {unit}"
    return count(int(quantity), unit, _COUNTED[unit])


def measure(value: float | None) -> str:
    """Return a measure with the decimals its size asks for, a dash where there is none."""
    return "–" if value is None else fitted(value)


def day(at: datetime | date) -> str:
    """Return a day in short: Wed 10 Mar."""
    return f"{DAYS[at.weekday()]} {at.day} {MONTHS[at.month - 1]}"


def day_and_year(at: datetime | date) -> str:
    """Return a day in short with its year: Wed 10 Mar 2027."""
    return spoken_day(at)


def long_day(at: datetime | date) -> str:
    """Return a day in full: Wednesday 10 March 2027."""
    return f"{_LONG_DAYS[at.weekday()]} {at.day} {_MONTHS[at.month - 1]} {at.year}"


def moment(at: datetime) -> str:
    """Return a day and the time of day: Wed 10 Mar, 14:05."""
    return f"{day(at)}, {at:%H:%M}"


def at_minute(minute: int, zone: str) -> datetime:
    """Return a minute since the epoch as local time."""
    return local(minute, zone)


def count(number: int, one: str, many: str | None = None) -> str:
    """Return a number with its noun: 1 mould, 5 moulds."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def percent(share: float | Decimal | Fraction) -> str:
    """Return a share in per cent, a decimal only where it says something."""
    value = round(float(share) * 100, 1)
    return f"{value:g} %"


def exact_percent(share: Decimal) -> str:
    """Return a share that is reckoned with in per cent, every decimal of it: 8.875 %."""
    return f"{(share * 100).normalize():f} %"


def odds(chance: Decimal | float | None) -> str:
    """Return a chance as odds in words: 9 in 10."""
    if chance is None:
        return "unknown"
    value = float(chance)
    for outof in (2, 3, 4, 5, 10, 20):
        times = round(value * outof)
        if 0 < times < outof and abs(value - times / outof) < 0.006:
            return f"{times} in {outof}"
    return f"{min(99, max(1, int(value * 100)))} in 100"
