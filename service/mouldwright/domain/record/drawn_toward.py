"""What values are about, drawn toward what was to be expected while few were seen.

They are taken as normal about a centre, with the normal and inverse chi-squared prior that goes
with them. With n values of mean m and squares S about it, and k, v, s of the prior about p, the
centre is (k p + n m) / (k + n) and its interval Student's t with v + n degrees of freedom about
it, of scale √((v s² + S + k n (m - p)² / (k + n)) / (v + n) / (k + n)). Gelman et al., Bayesian
Data Analysis, 3rd ed., section 3.3, from memory.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from mouldwright.domain.special import stdtrit


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnToward:
    """What values are about.

    Attributes:
        mean: Their own; None where there are none.
        centre: Drawn toward what was to be expected.
        off: With the confidence asked for the centre is off by no more.
        spread: Two values in three lie within so much of it.
    """

    mean: float | None
    centre: float
    off: float
    spread: float


def drawn_toward(
    expected: float,
    values: Sequence[float],
    *,
    sure: int,
    spread: float,
    spread_sure: int,
    confidence: float,
) -> DrawnToward:
    """Return what values are about.

    Args:
        expected: Before any was seen.
        values: As they were seen, in any one unit.
        sure: So many values at what was expected count as much as it does.
        spread: Expected of them.
        spread_sure: So many values of that spread count as much as it does.
        confidence: Of the interval, a share.
    """
    count = len(values)
    mean = sum(values) / count if count else expected
    squares = sum((each - mean) ** 2 for each in values)
    weight, freedom = sure + count, spread_sure + count
    centre = (sure * expected + count * mean) / weight
    apart = sure * count * (mean - expected) ** 2 / weight
    variance = (spread_sure * spread**2 + squares + apart) / freedom
    return DrawnToward(
        mean=mean if count else None,
        centre=centre,
        off=float(stdtrit(freedom, (1 + confidence) / 2)) * math.sqrt(variance / weight),
        spread=math.sqrt(variance),
    )
