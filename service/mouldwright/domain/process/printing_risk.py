"""Work that may fail at any minute, and is then done again from its start: a print.

With λ failures an hour of work, the same in every hour, work of T hours comes through by chance
exp(-λT), and is begun again until it does:

- failures before it comes through: exp(λT) - 1 on average;
- hours gone when one fails, of those that fail: 1/λ - T/(exp(λT) - 1) on average, the mean of
  an exponential cut off at T;
- hours in all: their product and T, which is (exp(λT) - 1)/λ.

Where a chance p of failing in an hour is stated instead, (1 - p)^T is the same with
λ = -ln(1 - p). Memoryless failures: Feller, An Introduction to Probability Theory and Its
Applications 2, section I.3, from memory.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import exp, expm1

import numpy as np
from numpy.typing import NDArray

from mouldwright.domain.quantity import Exact, exact


def comes_through(per_hour: Decimal, minutes: Exact) -> float:
    """Return the chance that work of so many minutes does not fail."""
    return exp(-_expected(per_hour, minutes))


def failures_each(per_hour: Decimal, minutes: Exact) -> float:
    """Return the mean failures before it comes through."""
    return expm1(_expected(per_hour, minutes))


def share_gone(per_hour: Decimal, minutes: Exact) -> float:
    """Return the mean share of its time that is gone when it fails: a little under a half."""
    rate = _expected(per_hour, minutes)
    return 1 / rate - 1 / expm1(rate) if rate > 1e-6 else 0.5 - rate / 12


def minutes_lost(per_hour: Decimal, minutes: Exact) -> Fraction:
    """Return the mean minutes lost to failures each time, to nine decimals."""
    if not per_hour:
        return Fraction(0)
    lost = failures_each(per_hour, minutes) * share_gone(per_hour, minutes) * float(minutes)
    return exact(round(lost, 9))


def drawn_minutes_lost(
    per_hour: Decimal, minutes: NDArray[np.float64], rng: np.random.Generator
) -> NDArray[np.float64]:
    """Return minutes lost to failures, drawn for each of some pieces of work."""
    rates = float(per_hour) * minutes / 60
    failures = rng.geometric(np.exp(-rates)) - 1
    lost = np.zeros(len(minutes))
    for _ in range(int(failures.max(initial=0))):
        # An exponential cut off at the end of the work, by its inverse.
        uniform = rng.random(len(minutes))
        gone = -np.log1p(uniform * np.expm1(-rates)) * 60 / float(per_hour)
        lost += np.where(failures > 0, gone, 0.0)
        failures = failures - 1
    return lost


def _expected(per_hour: Decimal, minutes: Exact) -> float:
    return float(exact(per_hour) * exact(minutes) / 60)
