"""A delivery as it is promised: how many, when, and what haste costs it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class PromisedDelivery:
    """Part of an order with a date of its own.

    Attributes:
        number: From 1, in the order they are sent.
        quantity: Good pieces in it.
        due: When it is wanted; None for as promised.
        rush: Whether it goes before what is booked.
        finish: Minute it is ready to ship; None where no date can be promised.
        chance: That it is ready by then; None for a date by the rate alone.
        ordinary: Minute it would be ready at the ordinary pace; None where not known.
        days_sooner: Calendar days that haste gains on the ordinary day, none before the wished one.
        surcharge: Share of its price that haste costs.
    """

    number: int
    quantity: int
    due: datetime | None
    rush: bool
    finish: int | None
    chance: float | None
    ordinary: int | None
    days_sooner: int = 0
    surcharge: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class RushOption:
    """Hurry only the smallest lot that saves the customer.

    Attributes:
        by: Minute the pieces are wanted.
        quantity: Pieces in the delivery that is hurried.
        ready: Of those, how many are ready by then without haste.
        surcharge: What hurrying all of them costs.
        each: What hurrying one costs.
    """

    by: int
    quantity: int
    ready: int
    surcharge: Decimal
    each: Decimal
