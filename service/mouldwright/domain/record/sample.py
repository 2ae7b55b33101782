"""How many of a lot to test, so that a bad one is let pass no more often than is stated."""

from __future__ import annotations

from dataclasses import dataclass
from math import comb

from mouldwright.domain.record.tolerance import CONFIDENCE, SHARE_OF_PARTS

MOST_TESTED = 10_000


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
        return sum(
            comb(count, x) * bad_share**x * (1 - bad_share) ** (count - x)
            for x in range(min(allowed, count) + 1)
        )
    bad = bad_in(lot, bad_share)
    ways = sum(
        comb(bad, x) * comb(lot - bad, count - x)
        for x in range(min(allowed, bad, count) + 1)
        if count - x <= lot - bad
    )
    return ways / comb(lot, count)


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
    for count in range(min(allowed + 1, most), most):
        passes = passes_share(count, allowed, bad_share, lot=lot)
        if passes <= 1 - confidence:
            return SamplePlan(
                count=count,
                allowed=allowed,
                lot=lot,
                bad_share=bad_share,
                bad_passes=passes,
                is_all=False,
            )
    return SamplePlan(
        count=most,
        allowed=allowed,
        lot=lot,
        bad_share=bad_share,
        bad_passes=passes_share(most, allowed, bad_share, lot=lot),
        is_all=lot is not None,
    )
