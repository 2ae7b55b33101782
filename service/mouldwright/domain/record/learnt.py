"""What a shop counts on of a process's stiffness: the tests' where there are enough, else theory's.

Each test gives a share of the theory's stiffness for its own part, thickness and way of being
held; these shares are pooled over all parts of the process. What nine parts in ten pass with
95 % confidence is what is counted on.
"""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.process.process import Process
from mouldwright.domain.record.found import Found, found_by
from mouldwright.domain.record.tolerance import FEWEST, Tolerance, lower_limit, tolerance_factor
from mouldwright.domain.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class Learnt:
    """What the bench tests of one process say together.

    Attributes:
        found: Each test, in the order of the shop.
        tolerance: Of the shares of theory; None with fewer than two that count.
        bound: The most that a part which met its stop allows; None where none did.
        counted: Share of the theory's stiffness that is counted on by tests; None where they
            are too few or too far apart to say, and then theory stands.
    """

    process: str
    found: tuple[Found, ...]
    tolerance: Tolerance | None
    bound: float | None
    counted: float | None

    @property
    def counting(self) -> tuple[Found, ...]:
        """Return the tests that the limit is made of."""
        return tuple(each for each in self.found if each.counts)

    @property
    def is_too_wide(self) -> bool:
        """Return whether the tests are so far apart for their number that nothing is sure."""
        return self.tolerance is not None and self.tolerance.limit <= 0

    def limit_with(self, more: int) -> float | None:
        """Return the share counted on if so many more tests scattered as these do.

        None where there is no limit yet, or none would be left: nothing below 0 is stiffness.
        A part that met its stop holds it down however many more are bent.
        """
        held = self.tolerance
        if held is None:
            return None
        limit = held.mean - tolerance_factor(held.count + more) * held.spread
        if limit <= 0:
            return None
        return limit if self.bound is None else min(limit, self.bound)


def learnt(shop: Shop, process: Process) -> Learnt | None:
    """Return what the shop's bench tests say of a process; None where there is none of it.

    Raises:
        NotFound: if a test names no part, or the structure no material that is there.
        InvalidInput: if a material lacks what its structure needs.
    """
    tests = [test for test in shop.bench_tests.values() if test.process == process.key]
    if not tests:
        return None
    found = tuple(found_by(test, shop.part(test.part), process, shop.materials) for test in tests)
    shares = [each.share for each in found if each.counts and each.share is not None]
    bounds = [
        each.share
        for each in found
        if each.is_bound and not each.refused and each.share is not None
    ]
    bound = min(bounds, default=None)
    tolerance = lower_limit(shares) if len(shares) >= FEWEST else None
    counted = None
    if tolerance is not None and tolerance.limit > 0:
        counted = tolerance.limit if bound is None else min(tolerance.limit, bound)
    return Learnt(
        process=process.key, found=found, tolerance=tolerance, bound=bound, counted=counted
    )
