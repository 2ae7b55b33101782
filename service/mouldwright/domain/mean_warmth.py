"""Cures as long as a season makes them on average, for what is reckoned without a plan.

A plan sums the clock of each cure through its own days and nights; a rate or a lead time has
none, and takes the mean of day and night, weighted by their hours, in the season it is asked.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.hours.opening import MINUTES_A_DAY, local
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.quantity import exact, whole_up
from mouldwright.domain.shop import Shop
from mouldwright.domain.warmth import MILLION, Warmth


def in_season(shop: Shop, process: Process, now: int) -> Process:
    """Return a process whose cures last as long as in a mean day of the season.

    Where the shop states no temperatures, or a sheet nothing of them, times stay as written.

    Args:
        shop: Its temperatures and materials.
        process: With the times of the sheets.
        now: Minutes since the epoch, in the season.

    Raises:
        HardLimit: if it never gets warm enough for something to cure.
    """
    if shop.temperatures is None or not any(o.cures for o in process.operations):
        return process
    return replace(
        process, operations=tuple(_warmed(shop, process, o, now) for o in process.operations)
    )


def mean_c(shop: Shop, process: Process, now: int) -> Decimal | None:
    """Return the mean temperature cures are reckoned at; None where the sheets' times hold."""
    if shop.temperatures is None or not any(_sheet(shop, o) for o in process.operations):
        return None
    (day_c, by_day), (night_c, by_night) = _day_and_night(shop, now)
    mean = exact(day_c) * by_day + exact(night_c) * by_night
    return Decimal(str(round(float(mean), 1)))


def _day_and_night(shop: Shop, now: int) -> tuple[tuple[Decimal, Fraction], ...]:
    """Return the temperature of day and of night, each with its share of 24 hours."""
    if shop.temperatures is None:
        raise ValueError("the shop states no temperatures")
    season = shop.temperatures.on(local(now, shop.zone).date())
    wakes, sleeps = shop.temperatures.day
    by_day = Fraction(sleeps - wakes, MINUTES_A_DAY)
    return (season.day_c, by_day), (season.night_c, 1 - by_day)


def _sheet(shop: Shop, operation: Operation) -> Warmth | None:
    material = shop.materials.get(operation.cures or "")
    return None if material is None else material.warmth


def _warmed(shop: Shop, process: Process, operation: Operation, now: int) -> Operation:
    sheet = _sheet(shop, operation)
    if sheet is None:
        return operation
    speed = sum(
        (sheet.cure_speed(warm) * share for warm, share in _day_and_night(shop, now)), Fraction(0)
    )
    if speed == 0:
        raise HardLimit(
            [
                f"{process.key}: {operation.name} never cures at this season's temperatures: "
                f"below {sheet.least_c} °C nothing does; a warmer shop or a warm cupboard would do."
            ]
        )

    def lasting(minutes: Decimal) -> Decimal:
        return Decimal(whole_up(exact(minutes) * MILLION / speed))

    return replace(
        operation, fixed_min=lasting(operation.fixed_min), each_min=lasting(operation.each_min)
    )
