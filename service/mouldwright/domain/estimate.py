"""Three-point estimates: the least, the likely and the most, and the spread they stand for.

An estimate is written as what is likely (the figure itself) and a :class:`Range` of shares
of it. Two shapes are known, with a the least, m the likely and b the most:

- PERT: a beta distribution from a to b with exponents 1 + 4 (m - a)/(b - a) and
  1 + 4 (b - m)/(b - a). Mean (a + 4 m + b)/6; variance (mean - a)(b - mean)/7.
  Malcolm, Roseboom, Clark and Fazar, Operations Research 7 (1959), from memory.
- Triangular: mean (a + m + b)/3; variance (a2 + m2 + b2 - am - ab - mb)/18.
  Johnson, Kotz and Balakrishnan, Continuous Univariate Distributions 2, section 26.9,
  from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from math import sqrt
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from mouldwright.domain.special import betaincinv, ndtr

Shape = Literal["pert", "triangle"]
Floats = NDArray[np.float64]

# Standard deviations either side that are told apart: beyond, one run in 500 million.
_FURTHEST = 6.0
_STEPS = 2400


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """The least and the most something may be.

    Attributes:
        least: As a share of what is likely; of a good rate, the rate itself.
        most: The same.
    """

    least: Decimal
    most: Decimal

    def __post_init__(self) -> None:
        """Raise ValueError where the least is below 0 or above the most."""
        if not 0 <= self.least <= self.most:
            raise ValueError("a range goes from its least, 0 or more, to its most")

    @property
    def is_certain(self) -> bool:
        """Return whether least and most are the same."""
        return self.least == self.most


@dataclass(frozen=True, slots=True, kw_only=True)
class OddsPolicy:
    """How a shop reckons with what is uncertain.

    Attributes:
        promise: Chance with which a promised date is to be kept.
        shape: Of every three-point estimate.
        time_range: Of attended operations that state none of their own; None, they are certain.
        together: Correlation, from 0 to 1, of the times of any two tasks: 0 where each
            varies by itself, 1 where all are quick or slow together.
    """

    promise: Decimal = Decimal("0.8")
    shape: Shape = "pert"
    time_range: Range | None = None
    together: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A three-point estimate.

    Attributes:
        least: The least it may be.
        likely: The value it most often has.
        most: The most it may be.
    """

    least: float
    likely: float
    most: float
    shape: Shape = "pert"

    @property
    def mean(self) -> float:
        """Return the mean."""
        weight = 4 if self.shape == "pert" else 1
        return (self.least + weight * self.likely + self.most) / (weight + 2)

    @property
    def deviation(self) -> float:
        """Return the standard deviation."""
        a, m, b = self.least, self.likely, self.most
        if self.shape == "pert":
            return sqrt((self.mean - a) * (b - self.mean) / 7)
        return sqrt((a * a + m * m + b * b - a * m - a * b - m * b) / 18)

    def at(self, scores: Floats) -> Floats:
        """Return the values at standard normal scores: 0 gives the median.

        Scores that are correlated give values that are: this is how what goes together
        is drawn (a normal copula).
        """
        if self.most <= self.least:
            return np.full_like(scores, self.likely)
        mode = (self.likely - self.least) / (self.most - self.least)
        table = _table(round(mode, 9), self.shape)
        place = np.clip((scores + _FURTHEST) * (_STEPS / (2 * _FURTHEST)), 0, _STEPS - 1e-9)
        below = place.astype(np.int64)
        low = table[below]
        share = low + (table[below + 1] - low) * (place - below)
        found: Floats = self.least + (self.most - self.least) * share
        return found


def factor(spread: Range | None, shape: Shape) -> Estimate | None:
    """Return the estimate of a share of what is likely; None where it is certain."""
    if spread is None or spread.is_certain:
        return None
    return Estimate(least=float(spread.least), likely=1.0, most=float(spread.most), shape=shape)


@lru_cache(maxsize=256)
def _table(mode: float, shape: Shape) -> Floats:
    """Return the quantiles of a shape from 0 to 1 at evenly spaced normal scores."""
    chances = ndtr(np.linspace(-_FURTHEST, _FURTHEST, _STEPS + 1))
    if shape == "pert":
        return np.asarray(betaincinv(1 + 4 * mode, 5 - 4 * mode, chances))
    rising = np.sqrt(chances * mode)
    falling = 1 - np.sqrt((1 - chances) * (1 - mode))
    return np.asarray(np.where(chances < mode, rising, falling), dtype=np.float64)
