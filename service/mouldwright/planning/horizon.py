"""How far hours are laid out, and the open windows within it."""

from __future__ import annotations

from collections.abc import Sequence

from mouldwright.domain.hours.opening import OpeningHours, Window
from mouldwright.domain.shop import Shop
from mouldwright.planning.problem import Lot, Place
from mouldwright.planning.routing import Routing, duration_min

# Even an empty plan may have to wait this long for its first opening.
LEAST_MIN = 90 * 1440
# No estimate reaches further; a plan that needs more has its hours laid out again.
MOST_MIN = 4_000 * 1440


class Opening:
    """Lays out hours over one stretch of time, each pattern once."""

    def __init__(self, now: int, length: int) -> None:
        """Lay out from ``now``, minutes since the epoch, over ``length`` minutes."""
        self.now, self.length = now, length
        self._known: dict[tuple[object, ...], tuple[Window, ...]] = {}

    def of(self, hours: OpeningHours) -> tuple[Window, ...]:
        """Return the open windows in minutes from now."""
        key = (hours.weekly, hours.closed, tuple(sorted(hours.one_off.items())), hours.away)
        if key not in self._known:
            now = self.now
            found = hours.windows(now, now + self.length)
            self._known[key] = tuple((start - now, end - now) for start, end in found)
        return self._known[key]


def places_of(shop: Shop, opening: Opening) -> tuple[Place, ...]:
    """Return the stations of a shop, those with hours of their own laid out."""
    return tuple(
        Place(
            key=key,
            units=tuple(f"{key} {n}" for n in range(1, station.count + 1)),
            room=station.room or 0,
            windows=None
            if station.weekly is None
            else opening.of(shop.hours.with_weekly(station.weekly)),
        )
        for key, station in shop.stations.items()
    )


def estimate(lots: Sequence[Lot], routings: Sequence[Routing]) -> int:
    """Return a horizon in minutes that is long enough for most plans."""
    work = mould_time = 0
    for lot in lots:
        steps = routings[lot.routing].steps
        unit = sum(duration_min(s.operation, lot.cavities) * (s.people or 1) for s in steps)
        work += unit * lot.units * lot.cavities
        if lot.tools:
            mould_time += -(-lot.units // len(lot.tools)) * (unit + 1440)
    late = max((lot.release for lot in lots), default=0)
    return late + LEAST_MIN + min(2 * max(work, mould_time), MOST_MIN)
