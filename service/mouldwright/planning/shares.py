"""Which parts of a lot pass an operation by, where it is done only to a share of them.

Nobody knows beforehand which parts will need it. A plan puts as many through as can be
expected, rounded up, spread evenly over the lot; who needs a second round is always one
of those who needed the first.
"""

from __future__ import annotations

from collections.abc import Iterable

from mouldwright.planning.problem import Lot
from mouldwright.planning.routing import PART, Step


def spread(count: int) -> list[int]:
    """Return places 0 to ``count`` - 1 so that the first few of them lie evenly spread.

    Places in the order of their binary digits read backwards: of 8 first 0, then 4, 2, 6
    and so on.
    """
    digits = max(count - 1, 1).bit_length()
    return sorted(range(count), key=lambda place: int(f"{place:0{digits}b}"[::-1], 2))


def passed_by(steps: Iterable[Step], units: int, cavities: int) -> tuple[frozenset[int], ...]:
    """Return, for each step, the units (parts for a step by part) that it is not done to.

    Empty where every step is done to all.
    """
    steps = tuple(steps)
    if all(step.operation.is_for_all for step in steps):
        return ()
    found = []
    for step in steps:
        if step.operation.is_for_all:
            found.append(frozenset[int]())
            continue
        count = units * (cavities if step.level == PART else 1)
        found.append(frozenset(spread(count)[step.operation.taken_of(count) :]))
    return tuple(found)


def is_for_all(lot: Lot, step: Step) -> bool:
    """Return whether a step is done to every part of a lot."""
    return not lot.skips or not lot.skips[step.index]


def optional(lot: Lot) -> frozenset[int]:
    """Return the steps that some of a lot's parts pass by."""
    return frozenset(i for i, passing in enumerate(lot.skips) if passing)


def taken(lot: Lot, step: Step) -> int:
    """Return how many units of a lot (parts, for a step by part) go through a step."""
    count = lot.units * (lot.cavities if step.level == PART else 1)
    return count - (len(lot.skips[step.index]) if lot.skips else 0)


def ways(lot: Lot, steps: Iterable[Step]) -> frozenset[frozenset[int]]:
    """Return the different ways of the lot's parts: the steps that each of them passes by."""
    if not lot.skips:
        return frozenset({frozenset()})
    every = [step for step in steps if lot.skips[step.index]]
    return frozenset(
        frozenset(
            step.index
            for step in every
            if (part if step.level == PART else part // lot.cavities) in lot.skips[step.index]
        )
        for part in range(lot.units * lot.cavities)
    )
