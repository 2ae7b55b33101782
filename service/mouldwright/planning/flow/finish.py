"""The earliest minute by which a set of orders can all be done: a proven lower bound.

The largest of the single unit's way through the openings, the busiest copy's chain, and
the first deadline that people's energy does not refute.
"""

from __future__ import annotations

from mouldwright.planning.flow.chains import PoolChains
from mouldwright.planning.flow.energy import Energy
from mouldwright.planning.flow.ordered import OrderedUnits
from mouldwright.planning.flow.reach import Reach
from mouldwright.planning.flow.stages import NEVER, Stages


class FinishBound:
    """Lower bounds on the last end of sets of orders."""

    def __init__(self, stages: Stages) -> None:
        """Prepare every argument once."""
        self.reach = Reach(stages)
        self.units = OrderedUnits(self.reach)
        self.energy = Energy(self.units)
        self.chains = PoolChains(self.reach)
        self._stages = stages

    def cheap(self, orders: frozenset[int]) -> tuple[int, str]:
        """Return the minute from single units and single copies alone, and its name."""
        stages = self._stages
        path = max(
            self.reach.through(stages.first[order], stages.first[order + 1], stages.release[order])
            for order in orders
        )
        chain = self.chains.finish(orders)
        return (path, "critical path") if path >= chain else (chain, "mould chain")

    def finish(self, orders: frozenset[int], *, since: int = 0) -> tuple[int, str]:
        """Return a minute before which not all can have ended, and the argument's name.

        Args:
            orders: Places of the orders, at least one.
            since: A minute already known to be such.
        """
        best, name = self.cheap(orders)
        if since > best:
            best, name = since, "people's energy"
        if best >= NEVER or not self.energy.refutes(orders, best):
            return best, name
        # Midpoints on a fixed grid, so that other sets ask about the same minutes.
        bad, step = best, 64
        while True:
            good = (bad // step + 1) * step
            if not self.energy.refutes(orders, good):
                break
            bad = good
            step *= 2
            if bad > NEVER // 4:
                return NEVER, "people's energy"
        while good - bad > 1:
            middle = _roundest(bad, good)
            if self.energy.refutes(orders, middle):
                bad = middle
            else:
                good = middle
        return good, "people's energy"


def _roundest(low: int, high: int) -> int:
    """Return the number strictly between two that the largest power of two divides."""
    step = 1 << ((low ^ (high - 1)).bit_length() - 1)
    return (high - 1) // step * step
