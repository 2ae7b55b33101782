"""A lower bound on weighted lateness, over every sequence in which orders can end.

Sort the dated orders of any plan by when they end. When the j-th ends, the first j are
all done, so it ends no earlier than that set of orders can be done at all. The least
sum of weight x lateness over all sequences, each end taken at that bound, is therefore
below the lateness of every plan; it is found over subsets, not sequences. Orders too
many for one table are split into groups, whose least sums add up.

A set's finish is worked out only where a best sequence passes through it, so the bound
grows while one waits and holds at any time.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from mouldwright.planning.flow.finish import FinishBound
from mouldwright.planning.flow.instance import FlowInstance

MOST_IN_A_TABLE = 13


class LatenessBound:
    """The bound for one instance, refined as long as one likes."""

    def __init__(self, instance: FlowInstance, finish: FinishBound) -> None:
        """Group the dated orders by their dates."""
        dated = [
            place
            for place, order in enumerate(instance.orders)
            if order.due is not None and order.weight > 0
        ]
        dated.sort(key=lambda place: instance.orders[place].due or 0)
        self._tables = [
            _Table(instance, finish, dated[at : at + MOST_IN_A_TABLE])
            for at in range(0, len(dated), MOST_IN_A_TABLE)
        ]

    def refine(self, stop: Callable[[], bool]) -> bool:
        """Work until nothing can grow or told to stop; return whether it is finished."""
        finished = [table.refine(stop) for table in self._tables]
        return all(finished)

    @property
    def value(self) -> int:
        """Return the bound as it stands."""
        return sum(table.value for table in self._tables)

    @property
    def targets(self) -> dict[int, int]:
        """Return by order the end that the best sequence allows it."""
        return {order: at for table in self._tables for order, at in table.targets.items()}


class _Table:
    """The least sums over the subsets of one group of orders."""

    def __init__(self, instance: FlowInstance, finish: FinishBound, orders: list[int]) -> None:
        self._orders = orders
        self._finish = finish
        size = 1 << len(orders)
        self._due = [instance.orders[order].due or 0 for order in orders]
        self._weight = [instance.orders[order].weight for order in orders]
        self._known = np.zeros(size, dtype=np.int64)
        self._exact = np.zeros(size, dtype=bool)
        self._exact[0] = True
        masks = np.arange(size)
        counts = np.array([int(mask).bit_count() for mask in range(size)])
        self._layers = [masks[counts == count] for count in range(1, len(orders) + 1)]
        for place in range(len(orders)):
            self._work_out(1 << place)
        self._least = np.zeros(size, dtype=np.int64)
        self._last = np.zeros(size, dtype=np.int64)
        self._sum_up()

    @property
    def value(self) -> int:
        return int(self._least[-1])

    @property
    def targets(self) -> dict[int, int]:
        found = {}
        for mask in self._path():
            found[self._orders[int(self._last[mask])]] = int(self._known[mask])
        return found

    def refine(self, stop: Callable[[], bool]) -> bool:
        while True:
            # The path's small sets first: what is learnt of them holds for the larger.
            open_masks = [mask for mask in reversed(self._path()) if not self._exact[mask]]
            if not open_masks:
                return True
            for mask in open_masks:
                if stop():
                    self._sum_up()
                    return False
                self._work_out(mask)
            self._sum_up()

    def _work_out(self, mask: int) -> None:
        members = frozenset(order for place, order in enumerate(self._orders) if mask >> place & 1)
        at, _ = self._finish.finish(members, since=int(self._known[mask]))
        self._known[mask] = at
        self._exact[mask] = True

    def _sum_up(self) -> None:
        """Carry finishes up to larger sets, then take each set's least sum."""
        for layer in self._layers:
            for place in range(len(self._orders)):
                inside = layer[layer >> place & 1 == 1]
                self._known[inside] = np.maximum(
                    self._known[inside], self._known[inside ^ (1 << place)]
                )
            least = np.full(len(layer), np.iinfo(np.int64).max)
            last = np.zeros(len(layer), dtype=np.int64)
            for place in range(len(self._orders)):
                inside = layer >> place & 1 == 1
                late = np.maximum(self._known[layer] - self._due[place], 0)
                cost = self._weight[place] * late + self._least[layer ^ (1 << place)]
                better = inside & (cost < least)
                least = np.where(better, cost, least)
                last = np.where(better, place, last)
            self._least[layer] = least
            self._last[layer] = last

    def _path(self) -> list[int]:
        """Return the sets a best sequence passes, the full one first."""
        found = []
        mask = len(self._known) - 1
        while mask:
            found.append(mask)
            mask &= ~(1 << int(self._last[mask]))
        return found
