"""Rules about temperature: cures last, and pot lives run out, by how warm the shop is."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from math import ceil
from zoneinfo import ZoneInfo

from mouldwright.domain.process.operation import Operation
from mouldwright.domain.shop import Shop
from mouldwright.planning.checking.ledger import Ledger
from mouldwright.planning.plan import Task

# Speeds count in millionths of the sheet's.
_WHOLE = 10**6


def sets_by_warmth(shop: Shop, material: str | None) -> bool:
    """Return whether a material's times follow the shop's temperature."""
    known = shop.materials.get(material or "")
    return shop.temperatures is not None and known is not None and known.warmth is not None


def gone_by(shop: Shop, material: str, start: int, end: int, *, curing: bool) -> int:
    """Return how much of a material's own time goes by over [start, end), in millionths.

    Each minute counts 2 ** ((temperature - reference) / degrees that halve), worked out day by
    day; curing stands still below the least temperature.
    """
    if end <= start:
        return 0
    zone = ZoneInfo(shop.zone)
    day = datetime.fromtimestamp(start * 60, zone).date()
    gone = 0
    while (midnight := _at(day, 0, zone)) < end:
        morrow = day + timedelta(days=1)
        edges = [midnight, *(_at(day, minute, zone) for minute in _day(shop)), _at(morrow, 0, zone)]
        day_c, night_c = _on(shop, day)
        for i, warm in enumerate((night_c, day_c, night_c)):
            minutes = min(edges[i + 1], end) - max(edges[i], start)
            if minutes > 0:
                gone += minutes * _speed(shop, material, warm, curing)
        day = morrow
    return gone


def judge_cure(ledger: Ledger, task: Task, operation: Operation, members: int) -> None:
    """Judge that a cure ends in the first whole minute by which all of it has gone by."""
    wanted = ceil((Fraction(operation.fixed_min) + Fraction(operation.each_min) * members) * _WHOLE)
    material = operation.cures or ""
    gone = gone_by(ledger.shop, material, task.start, task.end, curing=True)
    if gone < wanted:
        short = -(-(wanted - gone) // _WHOLE)
        ledger.complain(task, f"ends {short} min of its sheet before {material} has cured")
    elif task.end > task.start:
        before = gone_by(ledger.shop, material, task.start, task.end - 1, curing=True)
        if before >= wanted:
            ledger.complain(task, f"ends later than {material} has cured")


def past_pot_life(shop: Shop, material: str, mixed: int, used: int) -> int:
    """Return how many of the sheet's minutes past its pot life a mix is used; 0 for none."""
    mix = shop.materials[material].mix
    assert mix is not None  # those that are mixed
    over = gone_by(shop, material, mixed, used, curing=False) - mix.pot_life_min * _WHOLE
    return max(0, -(-over // _WHOLE))


def _at(day: date, minute: int, zone: ZoneInfo) -> int:
    """Return the minute of a wall-clock time: the first of two, the gap's length on in a gap."""
    wall = datetime(day.year, day.month, day.day) + timedelta(minutes=minute)
    return int(wall.replace(tzinfo=zone, fold=0).timestamp()) // 60


def _day(shop: Shop) -> tuple[int, int]:
    assert shop.temperatures is not None  # asked by sets_by_warmth
    return shop.temperatures.day


def _on(shop: Shop, day: date) -> tuple[Decimal, Decimal]:
    """Return how warm it is on a date by day and by night."""
    assert shop.temperatures is not None  # asked by sets_by_warmth
    best, latest = None, None
    for season in shop.temperatures.seasons:
        if latest is None or season.begins > latest.begins:
            latest = season
        if season.begins <= (day.month, day.day) and (best is None or season.begins > best.begins):
            best = season
    found = best or latest
    assert found is not None  # there is one at least
    return found.day_c, found.night_c


def _speed(shop: Shop, material: str, warm: Decimal, curing: bool) -> int:
    sheet = shop.materials[material].warmth
    assert sheet is not None  # asked by sets_by_warmth
    if curing and sheet.least_c is not None and warm < sheet.least_c:
        return 0
    return round(2 ** float((warm - sheet.reference_c) / sheet.halves_per_c) * _WHOLE)
