"""How warm the shop is, and how that quickens or slows what cures.

A material's sheet states times at one temperature; every so many degrees warmer they halve
(commonly 10 °C: 30 min at 25 °C are 60 at 15, 15 at 35 and 21.21 at 30). Speeds are kept in
millionths of the sheet's, so that sums of them are whole numbers.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from mouldwright.domain.hours.opening import instant_of, local

MILLION = 1_000_000
# First minute, the minute after the last, and the temperature between.
Span = tuple[int, int, Decimal]


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """How warm it is from a day of the year until the next season begins.

    Attributes:
        begins: Month and day.
        day_c: By day.
        night_c: By night.
    """

    begins: tuple[int, int]
    day_c: Decimal
    night_c: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Temperatures:
    """The shop's temperatures by day, by night and by season.

    Attributes:
        seasons: One at least; the last of the year lasts until the first of the next.
        day: Minutes after local midnight between which it is day.
    """

    seasons: tuple[Season, ...]
    day: tuple[int, int] = (7 * 60, 19 * 60)

    def on(self, day: date) -> Season:
        """Return the season of a local date."""
        ordered = sorted(self.seasons, key=lambda season: season.begins)
        begun = [season for season in ordered if season.begins <= (day.month, day.day)]
        return begun[-1] if begun else ordered[-1]

    def spans(self, zone: str, first: int, last: int) -> tuple[Span, ...]:
        """Return how warm it is over [first, last), in minutes since the epoch, in order."""
        found: list[Span] = []
        day = local(first, zone).date()
        while True:
            season, after = self.on(day), day + timedelta(days=1)
            midnight, next_midnight = instant_of(day, 0, zone), instant_of(after, 0, zone)
            if midnight >= last:
                return tuple(found)
            wakes, sleeps = (instant_of(day, minute, zone) for minute in self.day)
            for start, end, warm in (
                (midnight, wakes, season.night_c),
                (wakes, sleeps, season.day_c),
                (sleeps, next_midnight, season.night_c),
            ):
                start, end = max(start, first), min(end, last)
                if start >= end:
                    continue
                if found and found[-1][2] == warm:
                    found[-1] = (found[-1][0], end, warm)
                else:
                    found.append((start, end, warm))
            day = after


@dataclass(frozen=True, slots=True, kw_only=True)
class Warmth:
    """What a material's sheet says of temperature.

    Attributes:
        reference_c: The temperature its times are stated at.
        reference_g: The mass its pot life is stated for; a larger one sets sooner.
        halves_per_c: Degrees by which times halve.
        least_c: Below it nothing cures; None where the sheet does not say.
        sheet_from_c: The coldest the sheet speaks of.
        sheet_to_c: The warmest.
    """

    reference_c: Decimal
    reference_g: Decimal | None = None
    halves_per_c: Decimal = Decimal(10)
    least_c: Decimal | None = None
    sheet_from_c: Decimal | None = None
    sheet_to_c: Decimal | None = None

    def speed(self, warm_c: Decimal) -> int:
        """Return how fast it sets at a temperature, in millionths of the sheet's speed."""
        return round(2 ** float((warm_c - self.reference_c) / self.halves_per_c) * MILLION)

    def cure_speed(self, warm_c: Decimal) -> int:
        """Return the same for curing, which stalls below the least temperature."""
        return 0 if self.least_c is not None and warm_c < self.least_c else self.speed(warm_c)

    def pot_life_at(self, pot_life_min: int, warm_c: Decimal) -> int:
        """Return the whole minutes that a pot life of the sheet lasts at a temperature."""
        return pot_life_min * MILLION // max(self.speed(warm_c), 1)

    def is_off_the_sheet(self, warm_c: Decimal) -> bool:
        """Return whether the sheet does not speak of that temperature."""
        return (self.sheet_from_c is not None and warm_c < self.sheet_from_c) or (
            self.sheet_to_c is not None and warm_c > self.sheet_to_c
        )


class Aging:
    """How far something has set, as the minutes of a stretch go by.

    Before and after the stretch the first and the last speed hold.
    """

    def __init__(self, spans: Sequence[tuple[int, int, int]]) -> None:
        """Lay out the speeds: start, end and millionths of the sheet's minute a minute."""
        if not spans:
            raise ValueError("at least one span is needed")
        self._starts = [start for start, _, _ in spans]
        self._speeds = [speed for _, _, speed in spans]
        self._lived = [0]
        for start, end, speed in spans[:-1]:
            self._lived.append(self._lived[-1] + (end - start) * speed)

    def lived(self, minute: int) -> int:
        """Return the millionths of a sheet's minute gone by then, from the stretch's start."""
        i = max(bisect_right(self._starts, minute) - 1, 0)
        return self._lived[i] + (minute - self._starts[i]) * self._speeds[i]

    def when(self, start: int, millionths: int) -> int | None:
        """Return the first whole minute by which so much has gone by, None where it never does."""
        return self._reached(self.lived(start) + millionths, start)

    def earliest(self, end: int, millionths: int) -> int:
        """Return the first minute from which no more than so much goes by until ``end``."""
        found = self._reached(self.lived(end) - millionths, self._starts[0] - (1 << 40))
        return end if found is None else min(found, end)

    def edge_after(self, minute: int) -> int | None:
        """Return the next minute at which the speed changes, None where it does no more."""
        i = bisect_right(self._starts, minute)
        return self._starts[i] if i < len(self._starts) else None

    def _reached(self, target: int, least: int) -> int | None:
        """Return the first minute from ``least`` by which that much has been lived."""
        i = max(bisect_right(self._lived, target) - 1, 0)
        # Where nothing goes by, several spans begin at one count: the first of them reached it.
        while i and self._lived[i] == target:
            i -= 1
        while self._speeds[i] == 0 and self._lived[i] < target:
            i += 1
            if i == len(self._speeds):
                return None
        gone = target - self._lived[i]
        found = self._starts[i] + (-(-gone // self._speeds[i]) if self._speeds[i] else 0)
        return max(found, least)
