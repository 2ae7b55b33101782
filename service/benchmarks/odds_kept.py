"""Are promised dates kept as often as is said? And what do the odds take beside an event simulator?

Usage: odds_kept.py [--shops N] [--draws N]

For each of many small shops a plan is made, its orders promised at 80 % from 500 runs, and
outcomes are drawn anew with another seed; counted is how many of the promises are kept. Each
shop is drawn at random: ways of making, hours, moulds, yields, and ranges of 0.8 to 1.6.
"""

from __future__ import annotations

import argparse
import sys
import time
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from random import Random

import numpy as np

sys.path[:0] = [str(Path(__file__).parents[1] / "tests" / part) for part in ("", "planning")]

from random_shops import draw  # noqa: E402

from mouldwright.domain.errors import HardLimit  # noqa: E402
from mouldwright.domain.estimate import OddsPolicy, Range  # noqa: E402
from mouldwright.planning.odds.simulate import odds_of, runs_of  # noqa: E402
from mouldwright.planning.run import make_plan  # noqa: E402


def main() -> None:
    """Run the command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--shops", type=int, default=200)
    parser.add_argument("--draws", type=int, default=100)
    asked = parser.parse_args()
    policy = OddsPolicy(
        time_range=Range(least=Decimal("0.8"), most=Decimal("1.6")), together=Decimal("0.3")
    )
    once, shares = [], []
    planning = walking = 0.0
    for seed in range(asked.shops):
        drawn = draw(Random(seed))
        shop = replace(drawn.shop, odds=policy)
        began = time.monotonic()
        try:
            plan = make_plan(shop, now=drawn.now, seconds=0.0, work_limit=4)
        except HardLimit:
            continue
        planned = time.monotonic()
        odds = odds_of(shop, plan, runs=500, seed=1)
        planning, walking = planning + planned - began, walking + time.monotonic() - planned
        outcomes = runs_of(shop, plan, runs=asked.draws, seed=1_000 + seed)
        assert odds is not None
        assert outcomes is not None
        for order in odds.orders:
            if order.promised is not None:
                kept = outcomes.finishes[order.number] + plan.now <= order.promised
                once.append(bool(kept[0]))
                shares.append(float(kept.mean()))
    print(f"{len(once)} promises of {asked.shops} shops at 80 %")
    print(f"kept in one outcome each: {np.mean(once) * 100:.1f} %")
    print(f"kept in {asked.draws} outcomes each: {np.mean(shares) * 100:.1f} %, ", end="")
    low, high = np.quantile(shares, [0.05, 0.95])
    print(f"nine in ten promises between {low * 100:.0f} and {high * 100:.0f} %")
    print(f"500 runs took {walking / planning:.2f} times what making the plans took")


if __name__ == "__main__":
    main()
