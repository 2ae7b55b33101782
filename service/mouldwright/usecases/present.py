"""When "now" is: as asked, else as the scenario says, else by the clock."""

from __future__ import annotations

from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.shop import Shop
from mouldwright.usecases.ports import Clock


def present(shop: Shop, asked: str | None, clock: Clock) -> int:
    """Return now in minutes since the epoch.

    Args:
        shop: Its ``start`` is used where nothing is asked.
        asked: ISO 8601 date and time, local to the shop where it has no offset.
        clock: The last resort.

    Raises:
        InvalidInput: if ``asked`` is no date and time.
    """
    if asked is not None:
        return minute_of(_instant(shop, "--now", asked))
    if shop.start is not None:
        return minute_of(shop.start)
    return minute_of(clock())


def wanted_by(shop: Shop, asked: str | None) -> int | None:
    """Return the minute by which parts are wanted.

    A date without a time is the end of the shop's opening that day, else of the last
    open day before.

    Raises:
        InvalidInput: if ``asked`` is no date.
    """
    if asked is None:
        return None
    try:
        day = date.fromisoformat(asked)
    except ValueError:
        return minute_of(_instant(shop, "--by", asked))
    closing = shop.hours.closing(day)
    return closing if closing is not None else minute_of(_midnight_after(shop, day))


def _midnight_after(shop: Shop, day: date) -> datetime:
    return datetime.combine(day, time(23, 59), ZoneInfo(shop.zone))


def _instant(shop: Shop, path: str, asked: str) -> datetime:
    try:
        instant = datetime.fromisoformat(asked)
    except ValueError:
        fault = Fault(
            path=path,
            value=asked,
            problem="that is no date and time.",
            remedy="Write it as 2027-03-01T08:30, local to the shop, or with an offset.",
        )
        raise InvalidInput([fault]) from None
    return instant if instant.tzinfo else instant.replace(tzinfo=ZoneInfo(shop.zone))
