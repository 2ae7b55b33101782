"""A month at a bench with its mishaps, through the service's own doors.

Usage, in service/benchmarks:
    python -m month [--months N] [--seed S] [--days D] [--seconds S] [--small] [--into FILE]
        [--within] [--by-clock]

Each morning the service plans anew, each day is lived by the plan with times, losses and mishaps
drawn from a seed, and all of it is noted in the log. What must always hold is looked at every week.
With --small, many months of a small shop whose times and losses follow the shop's own ranges: of
the dates given at 80 %, how many are kept? With --into each month is written to a file as it ends,
and those that stand in it are not lived again. With --within the small shop is asked by its use
cases, not over HTTP. With --by-clock its bench begins nothing before its planned minute.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import replace
from pathlib import Path

from mouldwright.scenario.demo import demo_path
from mouldwright.scenario.read import read_scenario

from .kept import keep_month, read_months
from .live import Course, Month, live
from .report import said, totals
from .small import small_course, small_shop
from .within import live_within


def main() -> None:
    """Run the command."""
    parser = argparse.ArgumentParser(prog="month", description=__doc__)
    parser.add_argument("--months", type=int, default=1)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--days", type=int, default=28)
    parser.add_argument("--seconds", type=float, default=1.0)
    parser.add_argument("--small", action="store_true")
    parser.add_argument("--into", type=Path)
    parser.add_argument("--within", action="store_true")
    parser.add_argument("--by-clock", action="store_true")
    asked = parser.parse_args()
    known = read_months(asked.into) if asked.into else {}
    found: list[Month] = []
    for seed in range(asked.seed, asked.seed + asked.months):
        month = known.get(seed)
        if month is None:
            month = _month(asked, seed)
            if asked.into:
                keep_month(asked.into, seed, month)
        found.append(month)
        out(said(seed, month))
        if asked.months > 1 and (len(found) % 50 == 0 or len(found) == asked.months):
            out(totals(found))


def _month(asked: argparse.Namespace, seed: int) -> Month:
    if asked.small:
        course = replace(small_course(seed), by_clock=asked.by_clock)
        if asked.within:
            return live_within(small_shop(), course, seed)
        return live(small_shop(), course, seed, quiet)
    demo = read_scenario(demo_path("foil-bench")).shop
    course = Course(days=asked.days, seconds=asked.seconds)
    return live(demo, course, seed, out if asked.months == 1 else quiet)


def out(line: str) -> None:
    """Print a line at once."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def quiet(line: str) -> None:
    """Say nothing."""


if __name__ == "__main__":
    main()
