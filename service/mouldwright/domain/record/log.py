"""The log: what really happened at the bench, one entry after another.

An entry is never changed. One that was wrong is taken back by a later one that names it, and
taking that one back puts the first in force again.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from enum import StrEnum


class Happening(StrEnum):
    """What an entry tells."""

    STARTED = "started"
    FINISHED = "finished"
    SCRAPPED = "scrapped"
    SECOND = "second"
    REWORKED = "reworked"
    STOPPED = "stopped"
    MOULD_LOST = "mould lost"
    MOULD_RETIRED = "mould retired"
    STOCK_COUNTED = "stock counted"
    RECEIVED = "received"
    PERSON_AWAY = "person away"
    DELIVERY_LATE = "delivery late"
    WEIGHED = "weighed"
    RETURNED = "returned"
    TAKEN_BACK = "taken back"


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggedMember:
    """What of one order an entry is about.

    Attributes:
        order: Number of the order.
        pulls: Pull ids, unique within the order, from 1, as the plan numbers them.
        parts: Part ids, unique within the order, from 1.
    """

    order: str
    pulls: tuple[int, ...] = ()
    parts: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggedTask:
    """One operation done once, as a plan names it.

    Attributes:
        operation: Name of the operation.
        process: Key of the process; the key of the set for an operation of a set.
        part: Key of the part; of the set for an operation of a set.
        mould: Name of the mould it was really done on.
        stations: Names of the station units it really took.
        members: Empty for upkeep and making of a mould.
    """

    operation: str
    process: str
    part: str
    mould: str | None = None
    stations: tuple[str, ...] = ()
    members: tuple[LoggedMember, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class UsedLot:
    """So much of a material that was taken from one lot.

    Attributes:
        amount: Grams, or metres of a material that comes by the metre.
    """

    material: str
    lot: str
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class LogEntry:
    """One thing that happened.

    Attributes:
        number: In the shop's sequence, from 1, without gaps.
        at: When it happened.
        noted_at: When it was written down; later than ``at`` where a phone had no network.
        noted_by: Who wrote it down.
        people: Keys of those whose hands did it; of who is away, for ``PERSON_AWAY``.
        task: For ``STARTED``, ``FINISHED`` and ``STOPPED``; for ``SCRAPPED``, ``SECOND`` and
            ``REWORKED`` where it showed, if that is known.
        members: For ``SCRAPPED``, ``SECOND``, ``REWORKED``, ``WEIGHED`` and ``RETURNED``: the
            pulls or parts it is about. ``WEIGHED`` without them is of the cup of a mix.
        mould: For ``MOULD_LOST`` and ``MOULD_RETIRED``.
        material: For ``STOCK_COUNTED``, ``RECEIVED`` and ``DELIVERY_LATE``; for ``WEIGHED`` the
            mix whose cup was weighed when it was done with.
        lot: The lot that was counted or received.
        amount: What was counted or received, in grams or metres.
        best_before: ISO day of a lot that was received.
        supplier: For ``DELIVERY_LATE`` and ``RECEIVED``.
        until: Until when a person is away; when a late delivery is expected now.
        used: Lots that a finished task took its materials from.
        mass_g: For ``WEIGHED``: of each part, or what stayed behind in the cup.
        temperature_c: What the thermometer in the shop showed, where somebody looked.
        paid: For ``RECEIVED``: what was paid for all of it, shipping left out.
        hours_used: For ``RETURNED``: how long the customer had used it, in hours.
        cause: Why, in few words: for ``STOPPED``, ``SCRAPPED``, ``MOULD_LOST`` and ``RETURNED``.
        note: Anything else.
        takes_back: Number of the entry that ``TAKEN_BACK`` takes back.
        said_once: What its sender called it, so that one sent twice is kept once.
    """

    number: int
    what: Happening
    at: datetime
    noted_at: datetime
    noted_by: str = ""
    people: tuple[str, ...] = ()
    task: LoggedTask | None = None
    members: tuple[LoggedMember, ...] = ()
    mould: str | None = None
    material: str | None = None
    lot: str | None = None
    amount: Decimal | None = None
    best_before: str | None = None
    supplier: str | None = None
    until: datetime | None = None
    used: tuple[UsedLot, ...] = ()
    mass_g: Decimal | None = None
    temperature_c: Decimal | None = None
    paid: Decimal | None = None
    hours_used: Decimal | None = None
    cause: str = ""
    note: str = ""
    takes_back: int | None = None
    said_once: str = ""
