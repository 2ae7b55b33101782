"""An enquiry as it is typed: read field by field, every fault said beside its field."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import TypeVar
from urllib.parse import urlencode

from mouldwright.domain.part.requirement import LoadShape, Support
from mouldwright.domain.shop import Shop
from mouldwright.usecases.enquiry import LARGEST_QUANTITY
from mouldwright.usecases.what_if import WhatIf

FIELDS = (
    *("part", "quantity", "by", "customer", "held", "load", "force", "bend", "mass", "factor"),
    *("mount", "wage", "materials", "rate"),
)
# What is agreed beside part and quantity: a quote reads it, and it stays whatever else is changed.
AGREED_FIELDS = ("customer_class", "discount", "discount_amount", "deliveries", "rush", "spares")
# The fields that a quote takes no notice of.
WHAT_IF_FIELDS = (
    *("held", "load", "force", "bend", "mass", "factor", "mount"),
    *("wage", "materials", "rate"),
)
FIRST_QUANTITY = 24
LONGEST_TEXT = 200
LONGEST_LINES = 2_000

_SUPPORTS: dict[str, Support] = {
    "cantilever": "cantilever",
    "simply supported": "simply supported",
    "both ends fixed": "both ends fixed",
    "elastic mounts": "elastic mounts",
}
_LOADS: dict[str, LoadShape] = {
    "end": "end",
    "centre": "centre",
    "uniform": "uniform",
    "triangular": "triangular",
}
T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """What was asked.

    Attributes:
        typed: Each field as it was typed.
        faults: What is wrong with a field, by its name; where any is, the rest may not hold.
        by: The day the parts are wanted.
    """

    typed: Mapping[str, str]
    faults: Mapping[str, str]
    part: str
    quantity: int
    customer: str
    by: date | None
    what_if: WhatIf

    @property
    def query(self) -> str:
        """Return what was typed as the query of an address, empty fields left out."""
        return urlencode({name: text for name, text in self.typed.items() if text})


def read_ask(given: Mapping[str, str], shop: Shop) -> Ask:
    """Return what was asked of a shop.

    Args:
        given: Text by field; unknown fields are passed over.
        shop: Its first part is asked for where none is named.
    """
    typed = {name: given.get(name, "").strip()[:LONGEST_TEXT] for name in FIELDS}
    typed |= {name: given.get(name, "").strip()[:LONGEST_LINES] for name in AGREED_FIELDS}
    typed["part"] = typed["part"] or next(iter({**shop.parts, **shop.sets}), "")
    typed["quantity"] = typed["quantity"] or str(FIRST_QUANTITY)
    reader = _Reader(typed)
    if typed["part"] not in shop.parts and typed["part"] not in shop.sets:
        reader.faults["part"] = "There is no such part: choose one of the list."
    what_if = WhatIf(
        support=reader.one_of("held", _SUPPORTS),
        load=reader.one_of("load", _LOADS),
        force_n=reader.number("force", least=0, most=1e6, above=True),
        deflection_mm=reader.number("bend", least=0, most=1e4, above=True),
        mass_g=reader.number("mass", least=0, most=1e6, above=True),
        factor=reader.number("factor", least=0, most=100, above=True),
        mount_n_mm_per_rad=reader.number("mount", least=0, most=1e12, above=True),
        wage_per_hour=reader.decimal("wage", least=0, most=10_000),
        materials_change=_share(reader.decimal("materials", least=-99, most=1000)),
        rate=_share(reader.decimal("rate", least=0, most=99)),
    )
    _want_mount(what_if, shop, typed["part"], reader.faults)
    return Ask(
        quantity=reader.whole("quantity", least=1, most=LARGEST_QUANTITY),
        by=reader.read("by", date.fromisoformat, "Write a date as 2027-03-19."),
        part=typed["part"],
        customer=typed["customer"],
        what_if=what_if,
        typed=typed,
        faults=reader.faults,
    )


def _want_mount(what_if: WhatIf, shop: Shop, part: str, faults: dict[str, str]) -> None:
    """Note the fault of springy mounts whose stiffness nobody gave."""
    if what_if.support != "elastic mounts" or what_if.mount_n_mm_per_rad is not None:
        return
    asked = shop.parts[part].requirement if part in shop.parts else None
    if asked is None or asked.mount_n_mm_per_rad is None:
        faults.setdefault("mount", "Springy mounts need their stiffness: such as 5000.")


def _share(percent: Decimal | None) -> Decimal | None:
    return None if percent is None else percent / 100


class _Reader:
    """Reads fields and notes what is wrong with each."""

    def __init__(self, typed: Mapping[str, str]) -> None:
        self.typed = typed
        self.faults: dict[str, str] = {}

    def read(self, name: str, parse: Callable[[str], T], remedy: str) -> T | None:
        """Return a field read, None where it is empty or wrong."""
        text = self.typed[name]
        if not text:
            return None
        try:
            return parse(text)
        except (ValueError, InvalidOperation):
            self.faults[name] = remedy
            return None

    def whole(self, name: str, *, least: int, most: int) -> int:
        """Return a whole number; the least where it is wrong."""
        remedy = f"Write a whole number from {least:,} to {most:,}."
        found = self.read(name, int, remedy)
        if found is None or not least <= found <= most:
            self.faults[name] = remedy
            return least
        return found

    def decimal(self, name: str, *, least: float, most: float) -> Decimal | None:
        """Return a number of so many decimals as it was typed; a comma is a point too."""
        remedy = f"Write a number from {least:,g} to {most:,g}."
        found = self.read(name, lambda text: Decimal(text.replace(",", ".")), remedy)
        if found is None:
            return None
        if not found.is_finite() or not least <= found <= most:
            self.faults[name] = remedy
            return None
        return found

    def number(self, name: str, *, least: float, most: float, above: bool) -> float | None:
        """Return a number; ``above`` leaves the least one out."""
        found = self.decimal(name, least=least, most=most)
        if found is not None and above and found == Decimal(str(least)):
            self.faults[name] = f"Write a number above {least:g}."
            return None
        return None if found is None else float(found)

    def one_of(self, name: str, known: Mapping[str, T]) -> T | None:
        """Return one of a list, None where the field is empty."""
        text = self.typed[name]
        if text and text not in known:
            self.faults[name] = "Choose one of the list."
        return known.get(text)
