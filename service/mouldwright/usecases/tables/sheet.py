"""A table to be handed out: named columns of one kind each, and rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Literal

from mouldwright.domain.hours.opening import local

# "money" has the decimals of the shop's currency; "moment" is a time with its zone.
ColumnKind = Literal["text", "whole", "number", "money", "day", "moment", "yes or no"]
Cell = str | int | float | Decimal | bool | date | datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column.

    Attributes:
        name: Stays the same from version to version; ends in its unit.
        kind: Of every cell in it.
        about: What it says, in a few words.
    """

    name: str
    kind: ColumnKind
    about: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetTable:
    """A table.

    Attributes:
        name: By which it is asked for.
        title: As people read it.
        currency: Of its money.
        zone: In which its times are written.
        rows: Each as long as the columns; an empty cell is None.
    """

    name: str
    title: str
    currency: str
    zone: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]

    def __post_init__(self) -> None:
        """Raise ValueError where a row is longer or shorter than the columns."""
        for row in self.rows:
            if len(row) != len(self.columns):
                raise ValueError(f"a row of {len(row)} cells under {len(self.columns)} columns")


def text(name: str, about: str) -> Column:
    """Return a column of words."""
    return Column(name=name, kind="text", about=about)


def whole(name: str, about: str) -> Column:
    """Return a column of whole numbers."""
    return Column(name=name, kind="whole", about=about)


def number(name: str, about: str) -> Column:
    """Return a column of numbers."""
    return Column(name=name, kind="number", about=about)


def money(name: str, about: str) -> Column:
    """Return a column of amounts."""
    return Column(name=name, kind="money", about=about)


def day(name: str, about: str) -> Column:
    """Return a column of days."""
    return Column(name=name, kind="day", about=about)


def moment(name: str, about: str) -> Column:
    """Return a column of times in the shop's zone."""
    return Column(name=name, kind="moment", about=about)


def yes_or_no(name: str, about: str) -> Column:
    """Return a column of what is so or not."""
    return Column(name=name, kind="yes or no", about=about)


def at(minute: int | None, zone: str) -> datetime | None:
    """Return a minute since the epoch as the clock in a zone shows it."""
    return None if minute is None else local(minute, zone)


def listed(words: Sequence[object]) -> str:
    """Return several things in one cell."""
    return "; ".join(str(each) for each in words)
