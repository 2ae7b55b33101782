"""How many of a lot to test, so that a bad one is let pass no more often than is stated."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from mouldwright.domain.record.tolerance import CONFIDENCE, SHARE_OF_PARTS
from mouldwright.domain.special import bdtr, gammaln

MOST_TESTED = 10_000
MOST_ALLOWED = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class SamplePlan:
    """So many to test, and so many of them that may fail.

    Attributes:
        count: To test.
        allowed: How many of these may fail for the lot to pass.
        lot: Parts in it; None for what is made on and on.
        bad_share: Share of bad parts that must not pass unseen.
        bad_passes: Chance that a lot so bad passes all the same.
        is_all: Whether nothing less than testing every part is sure enough.
    """

    count: int
    allowed: int
    lot: int | None
    bad_share: float
    bad_passes: float
    is_all: bool


def passes_share(count: int, allowed: int, bad_share: float, *, lot: int | None = None) -> float:
    """Return the chance that at most ``allowed`` of ``count`` are bad.

    Binomial where the lot is endless; of a lot of N with D bad ones hypergeometric,
    Σ C(D, x) C(N - D, n - x) / C(N, n). D is the share of N, rounded up.
    """
    if lot is None:
        return float(bdtr(min(allowed, count), count, bad_share))
    bad = bad_in(lot, bad_share - 1e-12)
    fewest, most = max(0, count - (lot - bad)), min(allowed, bad, count)
    if most < fewest:
        return 0.0
    x = np.arange(fewest, most + 1)
    ways = _ways(bad, x) + _ways(lot - bad, count - x) - _ways(lot, np.array([count]))
    return min(1.0, float(np.exp(ways).sum()))


def _ways(of: int, drawn: NDArray[np.int64]) -> NDArray[np.float64]:
    """Return the logarithm of how many ways there are to draw so many of so many."""
    ways: NDArray[np.float64] = gammaln(of + 1) - gammaln(drawn + 1) - gammaln(of - drawn + 1)
    return ways


def bad_in(lot: int, bad_share: float) -> int:
    """Return how many bad parts a lot of that share holds, rounded up."""
    return min(lot, -int(-lot * bad_share // 1))


def sample_plan(
    *,
    lot: int | None,
    bad_share: float = 1 - SHARE_OF_PARTS,
    confidence: float = CONFIDENCE,
    allowed: int = 0,
) -> SamplePlan:
    """Return the fewest to test, so that a lot with that share of bad ones is found out.

    Without a lot and with none allowed to fail it is the least n with (1 - bad)^n of no more
    than 1 - confidence: 29 for a tenth and 95 %.

    Args:
        lot: Parts in it; None for what is made on and on.
        bad_share: Share of bad parts that must not pass unseen.
        confidence: Chance that it does not.
        allowed: How many of those tested may fail.

    Raises:
        ValueError: if a share is not between 0 and 1, or the lot has no part.
    """
    if not 0 < bad_share < 1 or not 0 < confidence < 1:
        raise ValueError("shares of bad parts and confidence lie between 0 and 1")
    if (lot is not None and lot < 1) or allowed < 0:
        raise ValueError("a lot has a part or more, and no fewer than none may fail")
    most = MOST_TESTED if lot is None else lot

    def is_sure(count: int) -> bool:
        return passes_share(count, allowed, bad_share, lot=lot) <= 1 - confidence

    # The more are tested, the less often a bad lot passes.
    count = bisect_left(range(most), True, lo=min(allowed + 1, most), key=is_sure)
    return SamplePlan(
        count=count,
        allowed=allowed,
        lot=lot,
        bad_share=bad_share,
        bad_passes=passes_share(count, allowed, bad_share, lot=lot),
        is_all=lot is not None and count == lot,
    )


def agreed_plan(
    *,
    lot: int | None,
    good_share: float,
    bad_share: float = 1 - SHARE_OF_PARTS,
    good_passes: float = CONFIDENCE,
    confidence: float = CONFIDENCE,
) -> SamplePlan:
    """Return the fewest to test so that a good lot passes surely enough and a bad one does not.

    Two points of the operating curve: a lot with no more than ``good_share`` bad ones (the
    acceptable quality, what its maker is protected by) passes with that chance or more, one with
    ``bad_share`` (the tolerance of its buyer) with no more than 1 - confidence. For each number
    that may fail the fewest that hold the second are found, and the first number taken whose plan
    holds the first too.

    Args:
        lot: Parts in it; None for what is made on and on.
        good_share: Share of bad parts that must still pass.
        bad_share: Share of bad parts that must not pass unseen.
        good_passes: Chance that the good lot passes.
        confidence: Chance that the bad one does not.

    Raises:
        ValueError: if a share is not between 0 and 1, the good one is no better than the bad one,
            or no count up to ``MOST_TESTED`` tells the two apart.
    """
    if not 0 <= good_share < bad_share or not 0 < good_passes < 1:
        raise ValueError("the good share lies below the bad one, and its chance between 0 and 1")
    for allowed in range(MOST_ALLOWED + 1):
        plan = sample_plan(lot=lot, bad_share=bad_share, confidence=confidence, allowed=allowed)
        if plan.is_all or plan.count >= MOST_TESTED:
            break
        if passes_share(plan.count, allowed, good_share, lot=lot) >= good_passes:
            return plan
    if lot is not None:
        # Every part looked at: what may fail is what a good lot holds.
        allowed = int(good_share * lot + 1e-9)
        return SamplePlan(
            count=lot, allowed=allowed, lot=lot, bad_share=bad_share, bad_passes=0.0, is_all=True
        )
    raise ValueError("the good and the bad share lie too near to be told apart by testing")


def operating_curve(plan: SamplePlan, *, points: int = 20) -> tuple[tuple[float, float], ...]:
    """Return how often lots pass by their share of bad parts: (share, chance), from none bad on.

    Up to twice the share that must not pass; of a lot in whole parts.
    """
    most = min(1.0, 2 * plan.bad_share)
    if plan.lot is None:
        shares = [most * n / points for n in range(points + 1)]
    else:
        worst = max(1, round(most * plan.lot))
        steps = range(0, worst + 1, max(1, -(-worst // points)))
        shares = [bad / plan.lot for bad in steps]
    return tuple(
        (share, passes_share(plan.count, plan.allowed, share, lot=plan.lot)) for share in shares
    )
