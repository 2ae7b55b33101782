"""What 1,000 runs of a plan of 500 pulls take beside an event simulator; and 10,000 cost draws.

Usage: odds_time.py [--pulls N] [--runs N]

The event simulator (simpy) goes through the same plan a few times, with the same turns of
people and moulds, and is counted up to as many runs. Cost draws stand beside working the cost
out anew by the exact rules.
"""

from __future__ import annotations

import argparse
import sys
import time
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np
import simpy

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

import builders as build

from mouldwright.domain.costing.cost_model import cost_model
from mouldwright.domain.costing.risk import cost_odds
from mouldwright.domain.costing.unit_cost import cost_of
from mouldwright.domain.estimate import OddsPolicy, Range
from mouldwright.domain.shop import Shop
from mouldwright.planning.odds.simulate import odds_of
from mouldwright.planning.plan import Plan
from mouldwright.planning.run import make_plan

A_FEW = 5


def shop_of(pulls: int) -> Shop:
    """Return a shop of two people and twelve moulds with one order of so many pulls."""
    process = build.process(
        build.hands("lay", 12),
        build.alone("cure", 90),
        build.hands("take out", 6, good_rate=Decimal("0.95")),
        build.hands("trim", 9, per="part"),
        build.alone("dry", 300, per="part"),
        build.hands("inspect", 3, per="part"),
        holds=[build.hold("lay", "take out")],
    )
    return build.shop(
        process,
        [build.order("1", pulls, starts=pulls)],
        people=[build.person("ana"), build.person("ben")],
        moulds=[build.moulds(12)],
        service_level=Decimal("0.9"),
        odds=OddsPolicy(
            time_range=Range(least=Decimal("0.8"), most=Decimal("1.6")), together=Decimal("0.3")
        ),
    )


def one_run(plan: Plan, rng: np.random.Generator) -> float:
    """Go through a plan once with events: turns as planned, hours left out."""
    world = simpy.Environment()
    ended: dict[tuple[str, int], Any] = {}
    for task in plan.tasks:
        ended[task.operation, task.members[0].pulls[0]] = world.event()
    turns: dict[str, list[Any]] = {}
    for task in sorted(plan.tasks, key=lambda t: t.start):
        for who in task.people or (f"alone {task.operation} {task.members[0].pulls[0]}",):
            turns.setdefault(who, []).append(task)
    before = {"cure": "lay", "take out": "cure", "trim": "take out", "dry": "trim",
              "inspect": "dry"}  # fmt: skip

    def works(tasks: list[Any]) -> Any:
        for task in tasks:
            pull = task.members[0].pulls[0]
            if task.operation in before:
                yield ended[before[task.operation], pull]
            share = 0.8 + 0.8 * rng.beta(2, 4) if task.people else 1.0
            yield world.timeout((task.end - task.start) * share)
            ended[task.operation, pull].succeed()

    for tasks in turns.values():
        world.process(works(tasks))
    world.run()
    return float(world.now)


def main() -> None:
    """Run the command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pulls", type=int, default=500)
    parser.add_argument("--runs", type=int, default=1000)
    asked = parser.parse_args()
    shop = shop_of(asked.pulls)
    plan = make_plan(shop, now=build.at("2027-03-01 08:00"), seconds=0.0)
    began = time.monotonic()
    odds_of(shop, plan, runs=asked.runs)
    ours = time.monotonic() - began
    rng = np.random.default_rng(1)
    began = time.monotonic()
    for _ in range(A_FEW):
        one_run(plan, rng)
    theirs = (time.monotonic() - began) / A_FEW * asked.runs
    print(f"{asked.runs} runs of a plan of {asked.pulls} pulls, {len(plan.tasks)} tasks:")
    print(f"an event simulator, hours left out, takes {theirs / ours:.0f} times as long")
    print(f"within 10 s: {'yes' if ours < 10 else 'no'}")

    person = replace(build.person("ana"), wage_per_hour=Decimal(20))
    priced = replace(shop, people={"ana": person})
    model = cost_model(priced, priced.part("fin"), priced.process("pressed"), charge=None)
    began = time.monotonic()
    cost = cost_of(model, asked.pulls)
    once = time.monotonic() - began
    assert cost.total is not None
    began = time.monotonic()
    cost_odds([(model, asked.pulls)], quantity=asked.pulls, total=cost.total, net=cost.total)
    draws = time.monotonic() - began
    print(f"10,000 cost draws take as long as working the cost out {draws / once:.0f} times")
    print(f"within 2 s: {'yes' if draws < 2 else 'no'}")


if __name__ == "__main__":
    main()
