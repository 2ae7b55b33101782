"""Whether parts weigh more on cold days: a straight line of mass over temperature.

By least squares, y = a + b (x - x̄); the standard error of b is s / √Σ(x - x̄)² with
s² = Σr² / (n - 2), and the interval about it is Student's t (any text on statistics).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from mouldwright.domain.special import stdtrit

# With fewer parts a slope says nothing that a person should act on; common practice, no source.
LEAST_PARTS = 6
CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class MassTrend:
    """How mass goes with temperature.

    Attributes:
        parts: That were weighed and whose temperature is known.
        per_c: Share of its expected mass that a part gains for each degree; None where the
            parts are too few, or all were made at one temperature.
        off: How far either way that may be, with 95 % confidence; None with it.
        coldest_c: None where no part is counted.
        warmest_c: None where no part is counted.
    """

    parts: int
    per_c: float | None = None
    off: float | None = None
    coldest_c: float | None = None
    warmest_c: float | None = None

    @property
    def is_sure(self) -> bool:
        """Return whether mass goes with temperature at all: the interval leaves nought out."""
        return self.per_c is not None and self.off is not None and abs(self.per_c) > self.off

    @property
    def words(self) -> str:
        """Return it as people read it."""
        if self.per_c is None or self.off is None:
            if self.parts < LEAST_PARTS:
                return (
                    f"Too few: {self.parts} of the {LEAST_PARTS} weighed parts that a line wants."
                )
            return "All were made at one temperature: a line wants cold and warm days."
        ten, off = self.per_c * 1000, self.off * 1000
        if not self.is_sure:
            return (
                f"Not to be told from none: {ten:+.1f} % for 10 °C, give or take {off:.1f} % "
                f"({self.parts} parts)."
            )
        days = "warm" if ten > 0 else "cold"
        return (
            f"Heavier on {days} days: {ten:+.1f} % for 10 °C, give or take {off:.1f} % "
            f"({self.parts} parts)."
        )


def mass_trend(weighed: Sequence[tuple[float, float]]) -> MassTrend:
    """Return how mass goes with temperature.

    Args:
        weighed: For each part, the temperature in °C and its mass over what is expected.
    """
    warm = np.array([temperature for temperature, _ in weighed], dtype=float)
    share = np.array([mass for _, mass in weighed], dtype=float)
    count = len(weighed)
    if not count:
        return MassTrend(parts=0)
    ends = {"coldest_c": float(warm.min()), "warmest_c": float(warm.max())}
    spread = warm - warm.mean()
    whole = float((spread**2).sum())
    if count < LEAST_PARTS or whole == 0:
        return MassTrend(parts=count, **ends)
    slope = float((spread * share).sum() / whole)
    off_line = share - share.mean() - slope * spread
    error = math.sqrt(float((off_line**2).sum()) / (count - 2) / whole)
    times = float(stdtrit(count - 2, (1 + CONFIDENCE) / 2))
    return MassTrend(parts=count, per_c=slope, off=times * error, **ends)
