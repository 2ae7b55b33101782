"""Small shops with every rule, drawn at random: how many plans are proven best, and by what.

Usage: small_shops.py [--shops N] [--seconds S]
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from pathlib import Path
from random import Random

TESTS = Path(__file__).resolve().parents[1] / "tests"
sys.path[:0] = [str(TESTS), str(TESTS / "planning")]

from random_shops import draw  # noqa: E402  # found once the tests are on the path

from mouldwright.planning.attempt import Engine  # noqa: E402  # the same
from mouldwright.planning.relaxed import NAME, is_small  # noqa: E402  # the same
from mouldwright.planning.run import make_plan  # noqa: E402  # the same


def main() -> None:
    """Run the command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--shops", type=int, default=60)
    parser.add_argument("--seconds", type=float, default=3.0)
    asked = parser.parse_args()
    proven: Counter[str] = Counter()
    gaps: list[float] = []
    small = raised = 0
    for seed in range(asked.shops):
        drawn = draw(Random(seed))
        small += is_small(Engine.for_shop(drawn.shop, now=drawn.now).problem)
        plan = make_plan(drawn.shop, now=drawn.now, seconds=asked.seconds, seed=1)
        value = plan.objective.weighted_late_min or plan.objective.finish_min
        assert plan.bound is not None
        raised += plan.bound_name == NAME
        if plan.bound >= value:
            proven["the solver" if plan.bound_name == NAME else "other bounds"] += 1
        else:
            gaps.append((value - plan.bound) / value)
    print(f"{asked.shops} shops, {asked.seconds:g} s each, {small} of them small enough")
    print(f"proven best: {dict(proven)}; the solver's bound was the best in {raised}")
    if gaps:
        gaps.sort()
        print(f"of the others the gap was {100 * gaps[len(gaps) // 2]:.1f} % at the median")


if __name__ == "__main__":
    main()
