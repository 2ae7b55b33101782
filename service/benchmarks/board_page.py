"""The board's page of many tasks, beside a page that shows next to nothing.

    .venv/bin/python service/benchmarks/board_page.py --tasks 2000

The demo bench is planned with its first order made larger until the plan has so many tasks; the
page is then asked for in process, as ``httpx`` would, and the median of several times is taken.
"""

from __future__ import annotations

import argparse
import statistics
import tempfile
import time
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from fastapi import FastAPI
from kept_bench import kept_bench
from starlette.testclient import TestClient

from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.planning.run import make_plan
from mouldwright.scenario.demo import demo_path
from mouldwright.scenario.read import read_scenario
from mouldwright.usecases.booked_shop import basis_of
from mouldwright.usecases.session import COOKIE
from mouldwright.web import add_pages

KEY = "bench"
NOW = datetime(2027, 3, 1, 8, 30, tzinfo=UTC)
ZOOMS = ("day", "week", "six-weeks")


def grown(shop: Shop, tasks: int) -> tuple[Shop, Plan]:
    """Return the shop with its first order made larger, and a plan of at least so many tasks."""
    plan = make_plan(shop, now=minute_of(NOW), seconds=0.0)
    while len(plan.tasks) < tasks:
        first, *rest = shop.orders
        more = max(10, first.quantity * (tasks - len(plan.tasks)) // (2 * len(plan.tasks)))
        first = replace(first, quantity=first.quantity + more)
        shop = replace(shop, orders=(first, *rest))
        plan = make_plan(shop, now=minute_of(NOW), seconds=0.0)
    return shop, plan


def served(folder: Path, shop: Shop, plan: Plan) -> TestClient:
    """Return a client of the pages, signed in, with the plan published."""
    services, secret = kept_bench(folder / "bench.db", KEY, shop, NOW)
    with services.units.write(KEY) as unit:
        unit.plans.keep(plan, basis=basis_of(unit), run="a benchmark", at=NOW)
        unit.commit()
    app = FastAPI()
    add_pages(app, services)
    return TestClient(app, headers={"cookie": f"{COOKIE}={secret}"})


def seconds_of(client: TestClient, path: str, times: int) -> tuple[float, int]:
    """Return the median time of a page, and its length."""
    taken = []
    for _ in range(times):
        began = time.perf_counter()
        answer = client.get(path)
        taken.append(time.perf_counter() - began)
        assert answer.status_code == 200, answer.text[:300]
    return statistics.median(taken), len(answer.content)


def main() -> None:
    """Print a table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--tasks", type=int, default=2000)
    parser.add_argument("--times", type=int, default=9)
    asked = parser.parse_args()
    shop, plan = grown(read_scenario(demo_path("foil-bench")).shop, asked.tasks)
    with tempfile.TemporaryDirectory() as folder:
        client = served(Path(folder), shop, plan)
        bare, _ = seconds_of(client, f"/shops/{KEY}/moulds", asked.times)
        print(f"{len(plan.tasks)} tasks; the moulds' page took {bare * 1000:.1f} ms")
        print("| board of | tasks shown | bytes | beside the moulds' page |")
        print("| --- | ---: | ---: | ---: |")
        for zoom in ZOOMS:
            path = f"/shops/{KEY}/board?zoom={zoom}"
            took, size = seconds_of(client, path, asked.times)
            shown = client.get(path).text.count('class="task"')
            print(f"| {zoom} | {shown} | {size:,} | {took / bare:.1f} |   ({took * 1000:.0f} ms)")


if __name__ == "__main__":
    main()
