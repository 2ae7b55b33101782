"""Open time for many runs at once: where work fits, and when work that may pause ends."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from mouldwright.domain.estimate import Floats
from mouldwright.domain.hours.opening import Window


class Calendar:
    """One set of openings, in minutes from now, asked about by arrays of minutes.

    What lies beyond the last opening is answered with infinity.
    """

    def __init__(self, windows: Sequence[Window]) -> None:
        """Keep openings that are in order and apart."""
        self._opens = np.array([w[0] for w in windows], dtype=np.float64)
        self._closes = np.array([w[1] for w in windows], dtype=np.float64)
        worked = np.cumsum(self._closes - self._opens)
        self._before = np.concatenate(([0.0], worked))[:-1]
        self._until = worked
        self._long: dict[float, tuple[Floats, Floats]] = {}

    def start_whole(self, ready: Floats, work: float) -> Floats:
        """Return the first start from which so much work lies whole within one opening."""
        if work not in self._long:
            fits = self._closes - self._opens >= max(work, 1e-9)
            opens = np.append(self._opens[fits], np.inf)
            latest = np.append(self._closes[fits] - work, np.inf)
            self._long[work] = (opens, latest)
        opens, latest = self._long[work]
        return np.maximum(ready, opens[np.searchsorted(latest, ready, side="left")])

    def start_open(self, ready: Floats) -> Floats:
        """Return the first open minute."""
        place = np.searchsorted(self._closes, ready, side="right")
        found: Floats = np.maximum(ready, np.append(self._opens, np.inf)[place])
        return found

    def end_paused(self, start: Floats, work: Floats | float) -> Floats:
        """Return when work that pauses at closing ends, begun at an open minute."""
        place = np.searchsorted(self._closes, start, side="right")
        known = place < len(self._closes)
        at = np.minimum(place, len(self._closes) - 1)
        target = self._before[at] + (start - self._opens[at]) + work
        ends = np.searchsorted(self._until, target - 1e-9, side="left")
        known &= ends < len(self._until)
        ends = np.minimum(ends, len(self._until) - 1)
        finish = self._opens[ends] + (target - self._before[ends])
        # Work of no length ends where it began.
        found: Floats = np.where(known, np.maximum(finish, start), np.inf)
        return found
