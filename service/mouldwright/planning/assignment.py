"""The cheapest way to give each order one place in a sequence."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt


def least_cost(costs: npt.NDArray[np.int64]) -> int:
    """Return the least sum of one entry from each row and each column.

    Shortest augmenting paths with dual prices (Kuhn 1955, Munkres 1957; from memory), in
    whole numbers.

    Args:
        costs: A square matrix of whole numbers.
    """
    size = len(costs)
    row_price = np.zeros(size + 1, dtype=np.int64)
    column_price = np.zeros(size + 1, dtype=np.int64)
    row_of = np.zeros(size + 1, dtype=np.int64)
    endless = np.int64(1 << 60)
    for row in range(1, size + 1):
        row_of[0] = row
        column = 0
        least = np.full(size + 1, endless, dtype=np.int64)
        came_from = np.zeros(size + 1, dtype=np.int64)
        used = np.zeros(size + 1, dtype=bool)
        while True:
            used[column] = True
            at = row_of[column]
            free = ~used
            free[0] = False
            reduced = costs[at - 1] - row_price[at] - column_price[1:]
            better = free[1:] & (reduced < least[1:])
            least[1:][better] = reduced[better]
            came_from[1:][better] = column
            candidates = np.where(free, least, endless)
            nearest = int(np.argmin(candidates))
            step = candidates[nearest]
            row_price[row_of[used]] += step
            column_price[used] -= step
            least[free] -= step
            column = nearest
            if row_of[column] == 0:
                break
        while column:
            previous = int(came_from[column])
            row_of[column] = row_of[previous]
            column = previous
    return int(sum(costs[row_of[c] - 1, c - 1] for c in range(1, size + 1)))
