"""When "now" is: as asked, else as the scenario says, else by the clock."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
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


def day_asked(text: str | None, path: str) -> date | None:
    """Return the day that is asked for, None where none is. Raises InvalidInput."""
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        fault = Fault(
            path=path,
            value=(text or "")[:40],
            problem="that is no day.",
            remedy="Write it as 2027-03-19.",
        )
        raise InvalidInput([fault]) from None


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


def local_instant(path: str, read: datetime | None, *, zone: str) -> datetime | None:
    """Return a time as an instant: local to a zone where it has no offset.

    Args:
        path: Names it in a fault.
        read: The time; None stays None.
        zone: The shop's.

    Raises:
        InvalidInput: if the clocks skip that local time.
    """
    if read is None:
        return None
    info = ZoneInfo(zone)
    instant = read.replace(tzinfo=info) if read.tzinfo is None else read
    utc = instant.astimezone(UTC)
    if read.tzinfo is None and utc.astimezone(info).replace(tzinfo=None) != read:
        fault = Fault(
            path=path,
            value=read.isoformat(),
            problem=f"the clocks of {zone} skip this time.",
            remedy="Write one before or after.",
        )
        raise InvalidInput([fault])
    # In the zone's own time: a phone may be elsewhere.
    return utc.astimezone(info)


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
