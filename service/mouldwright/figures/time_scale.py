"""From minutes to places on the board: closed time drawn narrower, days and hours along the top."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from mouldwright.domain.hours.clock import intersect, union
from mouldwright.domain.hours.opening import MINUTES_A_DAY, Window, local, minute_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Zoom:
    """How much time the board shows.

    Attributes:
        span_min: From its left edge to its right.
        closed_share: Width of a closed minute, as a share of an open one.
    """

    title: str
    span_min: int
    closed_share: float


ZOOMS: dict[str, Zoom] = {
    "hour": Zoom(title="One hour", span_min=60, closed_share=1.0),
    "hours": Zoom(title="Six hours", span_min=6 * 60, closed_share=1.0),
    "day": Zoom(title="One day", span_min=1440, closed_share=1 / 3),
    "days": Zoom(title="Three days", span_min=3 * 1440, closed_share=1 / 3),
    "week": Zoom(title="One week", span_min=7 * 1440, closed_share=1 / 3),
    "two-weeks": Zoom(title="Two weeks", span_min=14 * 1440, closed_share=1 / 3),
    "six-weeks": Zoom(title="Six weeks", span_min=42 * 1440, closed_share=1 / 3),
}


class TimeScale:
    """Where a minute stands between two places, closed minutes taking a share of the width."""

    def __init__(
        self,
        first: int,
        last: int,
        open_windows: Sequence[Window],
        *,
        closed_share: float,
        start: float,
        end: float,
    ) -> None:
        """Lay the time from first to last over the places from start to end.

        Raises:
            ValueError: if there is no time, or closed time would have no width.
        """
        if not first < last:
            raise ValueError(f"a board from minute {first} to {last} shows no time")
        if not 0 < closed_share <= 1:
            raise ValueError(f"closed time takes a share above 0 up to 1, not {closed_share:g}")
        self.first, self.last = first, last
        self.open = intersect(union(open_windows), ((first, last),))
        edges = sorted({first, last, *(minute for window in self.open for minute in window)})
        opened = {window[0] for window in self.open}
        weights = [0.0]
        for a, b in pairwise(edges):
            weights.append(weights[-1] + (b - a) * (1.0 if a in opened else closed_share))
        scale = (end - start) / weights[-1]
        self._edges = edges
        self._places = [start + weight * scale for weight in weights]

    def __call__(self, minute: float) -> float:
        """Return the place of a minute; before the first and after the last, their places."""
        if minute <= self.first:
            return self._places[0]
        if minute >= self.last:
            return self._places[-1]
        at = bisect_right(self._edges, minute) - 1
        a, b = self._edges[at], self._edges[at + 1]
        left, right = self._places[at], self._places[at + 1]
        return left + (right - left) * (minute - a) / (b - a)

    @property
    def knees(self) -> tuple[tuple[int, float], ...]:
        """Return the minutes at which the scale changes, with their places; straight between."""
        return tuple(zip(self._edges, self._places, strict=True))

    @property
    def closed(self) -> tuple[Window, ...]:
        """Return the time between openings."""
        edges = [self.first, *(minute for window in self.open for minute in window), self.last]
        pairs = zip(edges[::2], edges[1::2], strict=True)
        return tuple((a, b) for a, b in pairs if a < b)


def days(first: int, last: int, zone: str) -> tuple[tuple[date, int, int], ...]:
    """Return each local day that some of the time lies in, with its first minute and its last."""
    info = ZoneInfo(zone)
    day, found = local(first, zone).date(), []
    while (start := _midnight(day, info)) < last:
        after = day + timedelta(days=1)
        found.append((day, start, _midnight(after, info)))
        day = after
    return tuple(found)


def _midnight(day: date, info: ZoneInfo) -> int:
    return minute_of(datetime(day.year, day.month, day.day, tzinfo=info))


def clock_minutes(first: int, last: int, zone: str, every_min: int) -> tuple[int, ...]:
    """Return the minutes at which local clocks show whole multiples of so many minutes.

    Midnights are left out. Where clocks are put on, what they skip has no mark of its own.
    """
    found = []
    for _, start, end in days(first, last, zone):
        # On the day the clocks change, minutes since midnight are not what clocks show.
        step = every_min if end - start == MINUTES_A_DAY else 1
        for minute in range(start + step, end, step):
            if step == 1:
                at = local(minute, zone)
                if (at.hour * 60 + at.minute) % every_min:
                    continue
            if first <= minute <= last:
                found.append(minute)
    return tuple(found)


def instant(minute: int, zone: str) -> str:
    """Return a local instant as a table holds it: 2027-03-04 10:40."""
    return f"{local(minute, zone):%Y-%m-%d %H:%M}"


_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def day_names(day: date) -> tuple[str, ...]:
    """Return what a day may be called, the longest first."""
    week, month = _WEEKDAYS[day.weekday()], _MONTHS[day.month - 1]
    return f"{week} {day.day} {month}", f"{week} {day.day}", str(day.day)


def moment(minute: int, zone: str) -> str:
    """Return a local instant in words: Thu 4 Mar 10:40."""
    at = local(minute, zone)
    return f"{day_names(at.date())[0]} {at:%H:%M}"
