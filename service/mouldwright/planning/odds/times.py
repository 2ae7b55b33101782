"""How long tasks take in each run: by their estimates, and begun again where they fail."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from mouldwright.domain.estimate import Estimate, Floats
from mouldwright.domain.process.printing_risk import drawn_minutes_lost
from mouldwright.planning.odds.network import Node


@dataclass(slots=True, kw_only=True)
class Times:
    """How long tasks take: the factor on planned minutes, drawn for each task and run.

    Attributes:
        by_operation: Estimates of the factor, by step; None where certain.
        common: One normal score a run, shared by all tasks.
        together: Correlation of any two tasks.
    """

    estimate: Callable[[Node], Estimate | None]
    common: Floats
    together: float
    rng: np.random.Generator

    def minutes(self, node: Node) -> Floats | None:
        """Return the minutes of a node in each run; None where they are as planned."""
        estimate = self.estimate(node)
        often = node.step.operation.failures_per_hour
        if (estimate is None and not often) or not node.work:
            return None
        minutes = np.full(len(self.common), float(node.work))
        if estimate is not None:
            own = self.rng.standard_normal(len(self.common))
            if self.together:
                own = self.together**0.5 * self.common + (1 - self.together) ** 0.5 * own
            minutes = node.work * estimate.at(own)
        if often:
            minutes = minutes + drawn_minutes_lost(often, minutes, self.rng)
        return minutes
