"""Opening hours: weekly patterns with breaks, closed dates, one-off openings.

Times of day are local to the shop's zone; instants are whole minutes since
1970-01-01T00:00Z, so a cure of 1440 minutes is 24 elapsed hours whatever the clocks do.
Intervals are half-open: work may end exactly when hours close and start exactly
when they open.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

# Minutes after local midnight, [open, close); close may pass 1440 for a shift over midnight.
DayTimes = tuple[tuple[int, int], ...]
# Minutes since the epoch, [open, close).
Window = tuple[int, int]

MINUTES_A_DAY = 1440


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningHours:
    """A weekly pattern with exceptions, in one time zone.

    Attributes:
        weekly: Seven entries from Monday, each the openings of that day.
        closed: Dates on which nothing opens.
        one_off: Dates that open at other times than the week says.
        away: Minutes since the epoch, [from, until), in which nothing of it counts.
        zone: IANA name of the time zone.
    """

    weekly: tuple[DayTimes, ...]
    zone: str
    closed: frozenset[date] = frozenset()
    one_off: Mapping[date, DayTimes] = field(default_factory=dict)
    away: tuple[Window, ...] = ()

    def __post_init__(self) -> None:
        """Raise ValueError where a day is missing, an opening is empty or two overlap."""
        if len(self.weekly) != 7:
            raise ValueError("a week has seven days")
        for day in (*self.weekly, *self.one_off.values()):
            last = 0
            for opens, closes in sorted(day):
                if not 0 <= opens < closes <= 2 * MINUTES_A_DAY or opens >= MINUTES_A_DAY:
                    raise ValueError("an opening starts within its day and ends after it starts")
                if opens < last:
                    raise ValueError("two openings of one day overlap")
                last = closes

    @property
    def ever_open(self) -> bool:
        """Return whether any day of the week opens at all."""
        return any(self.weekly)

    def with_weekly(self, weekly: tuple[DayTimes, ...]) -> OpeningHours:
        """Return a person's or station's own week under the same closed dates.

        One-off openings bind only those without hours of their own, so they go.
        """
        return OpeningHours(weekly=weekly, zone=self.zone, closed=self.closed)

    def on(self, day: date) -> DayTimes:
        """Return the openings that begin on a local date, in order."""
        if day in self.closed:
            return ()
        return tuple(sorted(self.one_off.get(day, self.weekly[day.weekday()])))

    def windows(self, first_minute: int, last_minute: int) -> tuple[Window, ...]:
        """Return the openings that touch [first, last), cut to it, joined where they meet.

        What lies in ``away`` is left out of them.
        """
        zone = ZoneInfo(self.zone)
        day = local(first_minute, self.zone).date() - timedelta(days=2)
        last_day = local(last_minute, self.zone).date()
        found: list[Window] = []
        while day <= last_day:
            for opens, closes in self.on(day):
                start = max(_instant(day, opens, zone, fold=0), first_minute)
                end = min(_instant(day, closes, zone, fold=1), last_minute)
                if start >= end:
                    continue
                if found and start <= found[-1][1]:
                    found[-1] = (found[-1][0], max(found[-1][1], end))
                else:
                    found.append((start, end))
            day += timedelta(days=1)
        for left, back in self.away:
            found = [
                piece
                for start, end in found
                for piece in ((start, min(end, left)), (max(start, back), end))
                if piece[0] < piece[1]
            ]
        return tuple(found)

    def closing(self, day: date, *, days_back: int = 370) -> int | None:
        """Return the minute hours close on that day, else on the last open day before.

        Returns:
            Minutes since the epoch, or None where nothing opened in ``days_back`` days.
        """
        zone = ZoneInfo(self.zone)
        for back in range(days_back):
            at = day - timedelta(days=back)
            times = self.on(at)
            if times:
                return _instant(at, times[-1][1], zone, fold=1)
        return None


def instant_of(day: date, minute_of_day: int, zone: str) -> int:
    """Return the minute of a local time of day, the first of two where it comes twice."""
    return _instant(day, minute_of_day, ZoneInfo(zone), fold=0)


def _instant(day: date, minute_of_day: int, zone: ZoneInfo, *, fold: int) -> int:
    """Return the instant of a local time of day.

    A time the clocks skip is read as the same distance past the jump; of a time that
    comes twice, ``fold`` picks the first (0) or the second (1).
    """
    days, minute = divmod(minute_of_day, MINUTES_A_DAY)
    at = day + timedelta(days=days)
    naive = datetime(at.year, at.month, at.day, minute // 60, minute % 60)
    # Only a time that really comes twice may take the later reading: in a gap, fold=1
    # would read the time an hour early.
    early, late = naive.replace(tzinfo=zone, fold=0), naive.replace(tzinfo=zone, fold=1)
    in_gap = early.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != naive
    return minute_of(early if in_gap or not fold else late)


def minute_of(instant: datetime) -> int:
    """Return whole minutes since the epoch.

    Raises:
        ValueError: if the instant has no time zone.
    """
    if instant.tzinfo is None:
        raise ValueError("an instant needs a time zone")
    return int(instant.timestamp() // 60)


def local(minute: int, zone: str) -> datetime:
    """Return the zone-aware local time of a minute since the epoch."""
    return datetime.fromtimestamp(minute * 60, UTC).astimezone(ZoneInfo(zone))
