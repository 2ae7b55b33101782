"""What is done from time to time whether anyone asks or not."""

from __future__ import annotations

from datetime import datetime, timedelta

from mouldwright.usecases.ports import Units


def forget_old_replies(units: Units, *, now: datetime, days: int) -> int:
    """Remove replies kept for requests made twice; return how many there were.

    Args:
        units: Where they are kept.
        now: Zone-aware.
        days: How long one is kept.
    """
    with units.write_house() as unit:
        gone = unit.replies.forget_before(now - timedelta(days=days))
        unit.commit()
    return gone
