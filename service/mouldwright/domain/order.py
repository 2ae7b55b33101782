"""Orders and sets: what a customer asked for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Literal

from mouldwright.domain.process.operation import Operation


@dataclass(frozen=True, slots=True, kw_only=True)
class SetPart:
    """So many of one part, by one process, in a set."""

    part: str
    process: str
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class SetItem:
    """Something bought in for a set: a fitting, a bag."""

    name: str
    cost: Decimal
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """How alike the parts of one set have to be.

    Attributes:
        on: What is matched.
        window: The most that the heaviest (or stiffest) part of a set may differ from the
            lightest, as a share of its nominal.
        spread: Standard deviation of a part, the same way.
    """

    on: Literal["mass", "stiffness"]
    window: Decimal
    spread: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class PartSet:
    """What the customer buys when it is more than one part; priced and shipped as one.

    Attributes:
        operations: Work on the set itself (fit, glue, pack), ``per`` "order" or "part",
            a part being one set.
        match: How alike its parts have to be; None where any go together.
    """

    key: str
    title: str
    parts: tuple[SetPart, ...]
    items: tuple[SetItem, ...] = ()
    operations: tuple[Operation, ...] = ()
    match: Match | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """A quantity of a part, by a process, by a date.

    Attributes:
        part: Key of a part or of a set.
        process: Key of the process; None for a set, whose parts name their own.
        due: Instant by which it should be finished; None where it has no date.
        weight: How much a minute of lateness counts.
        release: Instant before which no work starts.
        starts: Parts to begin, where the scenario fixes them; None follows the service level.
        awaits_material: Whether it is only asked about, so that it waits for what stock lacks even
            where plans take materials as there: nobody has bought for it yet.
    """

    number: str
    part: str
    quantity: int
    process: str | None = None
    customer: str = ""
    due: datetime | None = None
    weight: int = 1
    release: datetime | None = None
    starts: int | None = None
    awaits_material: bool = False
