"""The bound of the hands: work that must lie in an interval fits the people there.

If every unit is to end by a deadline, each task lies between its earliest start and its
latest end. For any interval, the work that lies wholly in it cannot be more than the
person-minutes open in it; a deadline for which some interval is overfull cannot be
met. Everything is whole numbers, so nothing is lost or gained by rounding.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np
import numpy.typing as npt

from mouldwright.planning.flow.edf import misses_a_deadline
from mouldwright.planning.flow.ordered import OrderedUnits

# Rows of (person-minutes open before the earliest start, before the latest end, work).
Loads = npt.NDArray[np.int64]


class Energy:
    """Asks whether sets of orders can end by a deadline as far as hands and copies go."""

    def __init__(self, units: OrderedUnits) -> None:
        """Work on the windows of single units."""
        self._units = units
        self.compiled: Callable[..., bool] | None = None
        self._loads: dict[tuple[int, int], Loads | None] = {}

    def refutes(self, orders: Iterable[int], deadline: int) -> bool:
        """Return whether those orders cannot all end by the deadline."""
        return self.refutes_each(dict.fromkeys(orders, deadline))

    def refutes_each(self, deadlines: dict[int, int]) -> bool:
        """Return whether orders cannot each end by a deadline of their own."""
        loads = []
        for order, deadline in deadlines.items():
            found = self._load(order, deadline)
            if found is None:
                return True
            loads.append(found)
        return bool(loads) and overfull(np.concatenate(loads), compiled=self.compiled)

    def _load(self, order: int, deadline: int) -> Loads | None:
        """Return an order's work by window, the like put together; None where none fits."""
        key = (order, deadline)
        if key in self._loads:
            return self._loads[key]
        if len(self._loads) > 4000:
            self._loads.clear()
        latest = self._units.latest_ends(order, deadline)
        if latest is None:
            self._loads[key] = None
            return None
        reach = self._units.reach
        stages = reach.stages
        windows: dict[tuple[int, int, int], int] = {}
        for start_row, end_row in zip(self._units.earliest_starts(order), latest, strict=True):
            for stage, start, end in zip(stages.stages_of(order), start_row, end_row, strict=True):
                window = (start, end, stages.duration[stage])
                windows[window] = windows.get(window, 0) + 1
        found = np.array(
            [
                (reach.person_minutes(start), reach.person_minutes(end), minutes * count)
                for (start, end, minutes), count in windows.items()
            ],
            dtype=np.int64,
        )
        self._loads[key] = found
        return found


def overfull(loads: Loads, *, compiled: Callable[..., bool] | None = None) -> bool:
    """Return whether some interval holds more work than person-minutes.

    Measured in person-minutes open before, people are one machine that may be
    interrupted, and an interval's capacity is its length.
    """
    loads = loads[np.argsort(loads[:, 0], kind="stable")]
    columns = loads[:, 0], loads[:, 1], loads[:, 2]
    if compiled is not None:
        return compiled(*columns)
    return misses_a_deadline(*(column.tolist() for column in columns))
