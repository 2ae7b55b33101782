"""How long moulds last: when the plan uses each one up, and by when to begin the next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.hours.opening import MINUTES_A_DAY, local, minute_of
from mouldwright.domain.lead_time import made_by
from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.record.mould_ledger import MouldLedger
from mouldwright.domain.shop import Shop

# Fewer planned pulls than these say nothing of a pace; common practice, no source.
LEAST_PULLS = 3
LEAST_TIME = timedelta(days=7)
_LONGEST_MAKING_DAYS = 120


@dataclass(frozen=True, slots=True, kw_only=True)
class LifeAhead:
    """What the plan leaves of a mould, and what replaces it.

    Attributes:
        planned: Pulls that the plan still takes from it.
        left_after: Pulls left when the plan is through; None where it does not wear.
        used_up: When its last pull gives it back; None where nothing says so.
        is_by_plan: Whether the plan itself takes the last pull; else it is by the plan's pace.
        begin_by: The last moment to begin its successor, or to order it; None where nothing says
            how long that takes, or nothing uses it up.
    """

    planned: int
    left_after: int | None
    used_up: datetime | None = None
    is_by_plan: bool = False
    begin_by: datetime | None = None

    def is_pressing(self, now: datetime) -> bool:
        """Return whether its successor should be begun by now."""
        return self.begin_by is not None and self.begin_by <= now


def life_ahead(
    shop: Shop,
    ledger: MouldLedger,
    planned: Sequence[datetime],
    *,
    now: datetime,
    until: datetime | None = None,
) -> LifeAhead:
    """Return what a plan leaves of one mould.

    What it does not use up is taken to last on at the plan's pace: so many pulls over the time
    the plan is for, a week at the least.

    Args:
        shop: Who makes moulds, and when people are there.
        ledger: How the mould stands.
        planned: When each pull that the plan still takes from it gives it back.
        now: Zone-aware.
        until: The end of the plan; None for the last of those pulls.
    """
    left = ledger.life_left
    ends = sorted(planned)
    if left is None or not ledger.is_usable:
        return LifeAhead(planned=len(ends), left_after=left)
    if ledger.in_it is not None:
        left -= 1
    if len(ends) >= left:
        used_up = ends[left - 1] if left else ends[0] if ends else now
        return LifeAhead(
            planned=len(ends),
            left_after=0,
            used_up=used_up,
            is_by_plan=True,
            begin_by=_begin_by(shop, ledger.family, used_up),
        )
    paced: datetime | None = None
    if len(ends) >= LEAST_PULLS:
        end = max(until or ends[-1], now + LEAST_TIME)
        paced = end + (end - now) / len(ends) * (left - len(ends))
    return LifeAhead(
        planned=len(ends),
        left_after=left - len(ends),
        used_up=paced,
        begin_by=None if paced is None else _begin_by(shop, ledger.family, paced),
    )


def lives_ahead(
    shop: Shop,
    ledgers: Sequence[MouldLedger],
    planned: Mapping[str, Sequence[datetime]],
    *,
    now: datetime,
    until: datetime | None = None,
) -> Mapping[str, LifeAhead]:
    """Return the same of every mould, by its name; ``planned`` is by name too."""
    return {
        ledger.name: life_ahead(shop, ledger, planned.get(ledger.name, ()), now=now, until=until)
        for ledger in ledgers
    }


def _begin_by(shop: Shop, family: MouldFamily, wanted: datetime) -> datetime | None:
    """Return the last moment from which a successor is there in time."""
    building = shop.processes.get(family.made_by or "")
    if building is None:
        days = family.lead_days
        return None if days is None else wanted - timedelta(days=days)
    by = minute_of(wanted)
    for days in range(_LONGEST_MAKING_DAYS):
        begun = by - days * MINUTES_A_DAY
        try:
            if made_by(shop, building, begun) <= by:
                return local(begun, shop.zone)
        except HardLimit:
            return None
    return None
