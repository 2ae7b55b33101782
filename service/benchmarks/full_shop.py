"""A first plan with every rule of the shop, its check and its memory, by size.

Usage: full_shop.py [PULLS:ORDERS ...]   (1000:12 10000:12 10000:100 unless told otherwise)

The demo's foil bench, whose processes mix, batch, wait, press, cure, dry, condition their moulds
and lose parts, with its orders repeated every three weeks and grown, and moulds enough for them.
Every size is measured in a process of its own, by the processor time it takes, and said as a
multiple of the smallest's first plan, so that a busy machine tells the same.
"""

from __future__ import annotations

import argparse
import json
import resource
import subprocess
import sys
import time
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.process.mould import Mould, MouldFamily
from mouldwright.domain.shop import Shop
from mouldwright.planning.assemble import assemble
from mouldwright.planning.attempt import Engine
from mouldwright.planning.check import check_plan
from mouldwright.scenario.demo import demo_path
from mouldwright.scenario.read import read_scenario

NOW = datetime(2027, 3, 1, 8, 30, tzinfo=UTC)


def main() -> None:
    """Print a table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("sizes", nargs="*", default=["1000:12", "10000:12", "10000:100"])
    parser.add_argument("--one", action="store_true", help="measure one size and print it as JSON")
    asked = parser.parse_args()
    if asked.one:
        print(json.dumps(measured(*map(int, asked.sizes[0].split(":")))))
        return
    print("| pulls | orders | tasks | first plan | check | most memory, MiB |")
    print("| ---: | ---: | ---: | ---: | ---: | ---: |")
    unit = 0.0
    for size in asked.sizes:
        command = [sys.executable, __file__, size, "--one"]
        ran = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True)
        row = json.loads(ran.stdout)
        unit = unit or row["first_s"]
        print(
            f"| {row['pulls']} | {row['orders']} | {row['tasks']} | {row['first_s'] / unit:.1f} | "
            f"{row['check_s'] / unit:.1f} | {row['mib']} |   ({row['first_s']:.2f} s)",
            flush=True,
        )


def measured(pulls: int, orders: int) -> dict[str, float]:
    """Return what the first plan of a shop of that size takes."""
    shop = grown(read_scenario(demo_path("foil-bench")).shop, pulls, orders)
    began = time.process_time()
    engine = Engine.for_shop(shop, now=minute_of(NOW))
    attempt = engine.attempt(next(engine.portfolio()))
    plan = assemble(engine.problem, attempt.tasks, attempt.progress, engine.unit_names)
    planned = time.process_time()
    complaints = check_plan(shop, plan)
    checked = time.process_time()
    assert not complaints, complaints[:3]
    return {
        "pulls": sum(lot.units for lot in engine.problem.lots),
        "orders": orders,
        "tasks": len(plan.tasks),
        "first_s": planned - began,
        "check_s": checked - planned,
        "mib": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024,
    }


def grown(shop: Shop, pulls: int, count: int) -> Shop:
    """Return the shop with so many orders of about so many pulls in all."""
    found = []
    for place in range(count):
        order = shop.orders[place % len(shop.orders)]
        later = timedelta(days=21 * (place // len(shop.orders)))
        due = None if order.due is None else order.due + later
        found.append(replace(order, number=str(1000 + place), due=due))
    # Scrap and parts that share a pull about cancel out.
    share = pulls / sum(order.quantity for order in found)
    orders = tuple(replace(o, quantity=max(1, round(o.quantity * share))) for o in found)
    shop = replace(shop, orders=orders)
    return replace(shop, moulds={k: _enough(shop, family) for k, family in shop.moulds.items()})


def _enough(shop: Shop, family: MouldFamily) -> MouldFamily:
    """Return a family with moulds for all that is ordered, and a third more for scrap."""
    wanted = sum(
        o.quantity for o in shop.orders if (o.part, o.process) == (family.part, family.process)
    )
    pulls = wanted * 4 // 3 // family.cavities + 10
    left = sum(family.pulls_left(mould) or 0 for mould in family.moulds)
    if family.life_pulls is None or left >= pulls:
        return family
    first = len(family.moulds) + 1
    more = -(-(pulls - left) // family.life_pulls)
    new = tuple(Mould(number=str(first + place)) for place in range(more))
    return replace(family, moulds=(*family.moulds, *new))


if __name__ == "__main__":
    main()
