"""Plan one instance of the reduced mould shop with the ordinary planner.

Usage: bench.py INSTANCE.json --seconds S --out SCHEDULE.json

Writes {"starts": {order: [[start of each step] of each unit]}, "value": ..., "bound": ...},
the last two by the instance's own objective.
"""

from __future__ import annotations

import argparse
import json
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

from instance_shop import InstanceShop, starts_of, value_of, written_down

from mouldwright.planning.attempt import Engine
from mouldwright.planning.flow.solve import solve_flow
from mouldwright.planning.plan import Plan
from mouldwright.planning.reduce import as_flow
from mouldwright.planning.run import make_plan


def main() -> None:
    """Run the command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("instance", type=Path)
    parser.add_argument("--seconds", type=float, default=5.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--out", type=Path, required=True)
    asked = parser.parse_args()
    instance = json.loads(asked.instance.read_text())
    written = written_down(instance)
    began = time.monotonic()
    first: list[float] = []
    plan = make_plan(
        written.shop,
        now=written.now,
        seconds=asked.seconds,
        seed=asked.seed,
        progress=lambda report: first.append(time.monotonic() - began),
    )
    bound, name = _bound(instance, written, plan, asked.seconds, asked.seed)
    answer = {
        "starts": starts_of(instance, plan, written.zero),
        "value": value_of(instance, plan),
        "bound": bound,
        "bound_name": name,
        "first_plan_s": round(first[0], 3) if first else None,
    }
    asked.out.write_text(json.dumps(answer))
    gap = (answer["value"] - answer["bound"]) / max(answer["value"], 1)
    print(
        f"{instance['name']}: {answer['value']}, cannot be under {answer['bound']} "
        f"({name}), gap {gap * 100:.3f} %, first plan after {answer['first_plan_s']} s"
    )


def _bound(
    instance: dict[str, Any], written: InstanceShop, plan: Plan, seconds: float, seed: int
) -> tuple[int, str]:
    """Return a bound on the instance's own objective, and its name.

    A plan's bound is on its lateness where it is late; the instance adds lateness and
    finish up, so the bound on that sum is looked for apart, for as long again.
    """
    weights = instance["obj"]
    if not plan.objective.weighted_late_min:
        return weights["makespan"] * (plan.bound or 0), plan.bound_name or ""
    engine = Engine.for_shop(written.shop, now=written.now, orders=None, running=())
    flow = as_flow(engine.problem, plan.objective.finish_min)
    if flow is None:
        return weights["tard"] * (plan.bound or 0), plan.bound_name or ""
    summed = replace(flow, lateness_weight=weights["tard"], finish_weight=weights["makespan"])
    found = solve_flow(summed, seconds=seconds, seed=seed)
    return found.bound, found.bound_name


if __name__ == "__main__":
    main()
