"""A month at a bench with its mishaps, through the service's own doors.

Usage, in service/benchmarks:
    python -m month [--months N] [--seed S] [--days D] [--seconds S] [--small]

Each morning the service plans anew, each day is lived by the plan with times, losses and mishaps
drawn from a seed, and all of it is noted in the log. What must always hold is looked at every week.
With --small, many months of a small shop whose times and losses follow the shop's own ranges: of
the dates given at 80 %, how many are kept?
"""

from __future__ import annotations

import argparse
import sys

from mouldwright.scenario.demo import demo_path
from mouldwright.scenario.read import read_scenario

from .live import Course, Month, live
from .report import said, totals
from .small import small_course, small_shop


def main() -> None:
    """Run the command."""
    parser = argparse.ArgumentParser(prog="month", description=__doc__)
    parser.add_argument("--months", type=int, default=1)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--days", type=int, default=28)
    parser.add_argument("--seconds", type=float, default=1.0)
    parser.add_argument("--small", action="store_true")
    asked = parser.parse_args()
    found: list[Month] = []
    for seed in range(asked.seed, asked.seed + asked.months):
        if asked.small:
            month = live(small_shop(), small_course(seed), seed, quiet)
        else:
            demo = read_scenario(demo_path("foil-bench")).shop
            course = Course(days=asked.days, seconds=asked.seconds)
            month = live(demo, course, seed, out if asked.months == 1 else quiet)
        found.append(month)
        out(said(seed, month))
    if asked.months > 1:
        out(totals(found))


def out(line: str) -> None:
    """Print a line at once."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def quiet(line: str) -> None:
    """Say nothing."""


if __name__ == "__main__":
    main()
