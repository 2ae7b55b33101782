"""One number that was written down, and how the shop would be with another in its place."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any, Literal, TypeVar, cast

from mouldwright.domain.part.requirement import Part
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop

Look = Literal["kinked", "stepped", "each", "once", "probed"]
Moves = Literal["cost", "strength", "time"]
T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Enquiry:
    """What is asked: so many good ones of a part, of a shop as it is."""

    shop: Shop
    part: str
    quantity: int

    @property
    def made(self) -> Part:
        """Return the part."""
        return self.shop.part(self.part)


Put = Callable[[Enquiry, Decimal], Enquiry]


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """A number that was written down.

    Attributes:
        key: Where it stands, as in a scenario file.
        title: What it is, in words.
        unit: Its unit; empty for a share.
        step: The finest it is written in.
        least: The least it may be.
        most: The greatest; None where nothing but good sense ends it.
        look: How costs follow it. Kinked: along straight lines that may bend down where another
            offer becomes the cheapest. Stepped: straight between whole things. Each: it is whole
            itself, and every value is looked at. Once: a winner that is left is left for good,
            because what passes only gets less (or more) and costs stay, because one process alone
            gets dearer (or cheaper), or because all costs are lines in one quantity. Probed: as
            materials and geometry have it.
        moves: What follows it.
        processes: Keys of the processes it moves; None moves all.
        put: Returns the enquiry with another value in its place.
    """

    key: str
    title: str
    unit: str
    value: Decimal
    step: Decimal
    put: Put
    least: Decimal = Decimal(0)
    most: Decimal | None = None
    look: Look = "stepped"
    moves: frozenset[Moves] = frozenset({"cost"})
    processes: frozenset[str] | None = None


def number(value: Decimal | float) -> Decimal:
    """Return a number as it was written."""
    return value if isinstance(value, Decimal) else Decimal(repr(value))


def finest(value: Decimal, usual: str) -> Decimal:
    """Return the step a number is written in, where that is finer than is usual."""
    exponent = value.normalize().as_tuple().exponent
    assert isinstance(exponent, int)
    return min(Decimal(usual), Decimal(1).scaleb(exponent)) if value else Decimal(usual)


def with_value(thing: T, name: str, value: Any) -> T:
    """Return a frozen value with one attribute changed, named only when it is run."""
    changes = {name: value}
    return cast("T", replace(cast("Any", thing), **changes))


def with_entry(shop: Shop, table: str, key: str, **changes: Any) -> Shop:
    """Return the shop with some attributes of one entry of a table changed."""
    entries: Mapping[str, Any] = getattr(shop, table)
    changed: Any = {**entries, key: replace(entries[key], **changes)}
    return replace(shop, **{table: changed})


def with_operation(process: Process, name: str, **changes: Any) -> Process:
    """Return the process with one operation changed."""
    operations: Iterable[Operation] = process.operations
    return replace(
        process,
        operations=tuple(replace(o, **changes) if o.name == name else o for o in operations),
    )


def of_itself(name: str) -> Callable[[T, Decimal], T]:
    """Return what puts a value into one attribute of a shop or a process."""
    return lambda thing, value: with_value(thing, name, value)


def of_entry(table: str, key: str, name: str) -> Callable[[Shop, Decimal], Shop]:
    """Return what puts a value into one attribute of one entry of a shop's table."""
    return lambda shop, value: with_entry(shop, table, key, **{name: value})


def of_operation(
    operation: str, name: str, *, whole: bool = False
) -> Callable[[Process, Decimal], Process]:
    """Return what puts a value into one attribute of one operation; a whole one as an integer."""
    return lambda process, value: with_operation(
        process, operation, **{name: int(value) if whole else value}
    )


def in_shop(change: Callable[[Shop, Decimal], Shop]) -> Put:
    """Return what puts a value into the shop of an enquiry."""
    return lambda enquiry, value: replace(enquiry, shop=change(enquiry.shop, value))
