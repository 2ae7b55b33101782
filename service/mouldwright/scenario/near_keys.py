"""What was meant by a key that is not known: another unit, another word, or a slip of the pen."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from mouldwright.domain.errors import nearest
from mouldwright.wire.numbers import plain

# One of the unit written, in the unit that the format uses.
_UNITS: dict[tuple[str, str], Decimal] = {
    ("cm", "mm"): Decimal(10),
    ("m", "mm"): Decimal(1000),
    ("in", "mm"): Decimal("25.4"),
    ("inch", "mm"): Decimal("25.4"),
    ("um", "mm"): Decimal("0.001"),
    ("mm", "um"): Decimal(1000),
    ("mm", "m"): Decimal("0.001"),
    ("cm", "m"): Decimal("0.01"),
    ("kg", "g"): Decimal(1000),
    ("g", "kg"): Decimal("0.001"),
    ("kg", "n"): Decimal("9.80665"),
    ("kgf", "n"): Decimal("9.80665"),
    ("kn", "n"): Decimal(1000),
    ("lbf", "n"): Decimal("4.448222"),
    ("mpa", "gpa"): Decimal("0.001"),
    ("pa", "gpa"): Decimal("0.000000001"),
    ("gpa", "mpa"): Decimal(1000),
    ("bar", "mpa"): Decimal("0.1"),
    ("h", "min"): Decimal(60),
    ("hours", "min"): Decimal(60),
    ("s", "min"): Decimal(1) / 60,
    ("sec", "min"): Decimal(1) / 60,
    ("min", "h"): Decimal(1) / 60,
}
_SHOWN = {"n": "N", "gpa": "GPa", "mpa": "MPa", "g_cm3": "g/cm3", "kg_m3": "kg/m3"}
# Words people write for the ones the format has.
_WORDS = {
    "price": "cost",
    "name": "title",
    "label": "title",
    "qty": "quantity",
    "amount": "quantity",
    "number_of": "count",
    "wage": "wage_per_hour",
    "yield": "good_rate",
    "due_date": "due",
    "deadline": "due",
}


def near_key(name: str, value: Any, known: Iterable[str]) -> str:
    """Return a remedy sentence for a key that is not known here, with the value in its unit."""
    names = tuple(known)
    stem, _, unit = name.rpartition("_")
    if name.endswith("_g_cm3") and f"{name[:-6]}_kg_m3" in names:
        stem, unit, right = name[:-6], "g_cm3", "kg_m3"
        return _in_unit(f"{stem}_{right}", value, unit, right, Decimal(1000))
    for (written, right), each in _UNITS.items():
        if stem and unit == written and f"{stem}_{right}" in names:
            return _in_unit(f"{stem}_{right}", value, written, right, each)
    word = _WORDS.get(name)
    if word is not None and word in names:
        return f"Did you mean {word}?"
    if not isinstance(value, list):
        # One figure is no range, however near the names lie.
        names = tuple(key for key in names if "_range" not in key)
    return nearest(name, names)


def _in_unit(key: str, value: Any, written: str, right: str, each: Decimal) -> str:
    unit = _SHOWN.get(right, right)
    if isinstance(value, int | float | Decimal) and not isinstance(value, bool):
        exact = Decimal(str(value)) * each
        return f"Write {key} = {plain(Decimal(f'{exact:.6g}'))}: it is in {unit}."
    return f"Did you mean {key}? It is in {unit}."
