"""The planner beside two peers on reduced mould shops, objective against objective.

Usage: peers.py FOLDER --check CHECK.py --seconds S [--only A_20,AM_60] [--workers 2]

The peers are a plain constraint model, with people and pools as cumulative resources, closed
time booked and the units of an order in sequence, and the same through the general scheduling
library pyjobshop (extra ``benchmarks``). Each gets as long; the time a peer's model takes to
build is not counted. CHECK.py judges every plan and says what it is worth; a plan it refuses is
said so, and "none" stands where there is no plan.
"""

from __future__ import annotations

import argparse
import json
import re
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from ortools.sat.python import cp_model

HERE = Path(__file__).parent
Instance = dict[str, Any]
# By order, unit and step: the start.
Starts = dict[str, list[list[int]]]


def main() -> None:
    """Run the command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--check", type=Path, required=True)
    parser.add_argument("--seconds", type=float, default=20.0)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--only", default="")
    asked = parser.parse_args()
    only = {name for name in asked.only.split(",") if name}
    print("| instance | planned | cannot be under | plain model | general library |")
    print("| --- | ---: | ---: | ---: | ---: |")
    for path in sorted(asked.folder.glob("*.json"), key=_order):
        name = re.sub(r"_s\d+$", "", path.stem)
        if only and name not in only:
            continue
        instance = json.loads(path.read_text())
        with tempfile.TemporaryDirectory() as folder:
            out = Path(folder) / "schedule.json"
            _ours(path, out, asked.seconds)
            bound = json.loads(out.read_text())["bound"]
            values = [_judged(asked.check, path, out)]
            peers: list[Callable[[Instance, float, int], Starts | None]] = [plain, library]
            for peer in peers:
                starts = peer(instance, asked.seconds, asked.workers)
                out.write_text(json.dumps({"starts": starts}))
                values.append("none" if starts is None else _judged(asked.check, path, out))
        print(f"| {name.replace('_', ' ')} | {values[0]} | {bound} | {values[1]} | {values[2]} |")
        sys.stdout.flush()


def _order(path: Path) -> tuple[str, int]:
    kind, size, _ = path.stem.split("_")
    return kind, int(size)


def _ours(path: Path, out: Path, seconds: float) -> None:
    command = [sys.executable, HERE / "bench.py", path, "--seconds", str(seconds), "--out", out]
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)


def _judged(check: Path, path: Path, out: Path) -> str:
    """Return what the check says a plan is worth."""
    ran = subprocess.run(
        [sys.executable, check, path, out], check=False, stdout=subprocess.PIPE, text=True
    )
    said = json.loads(ran.stdout)
    return str(said["objective"]["obj"]) if ran.returncode == 0 else "refused"


def _horizon(instance: Instance) -> int:
    return int(instance["windows"][-1][1])


def _closed(instance: Instance) -> list[tuple[int, int, int]]:
    """Return when people are missing from the fullest crew: start, end, how many."""
    most = max(persons for _, _, persons in instance["windows"])
    found, since = [], 0
    for opens, closes, persons in instance["windows"]:
        if opens > since:
            found.append((since, opens, most))
        if persons < most:
            found.append((opens, closes, most - persons))
        since = closes
    found.append((since, since + 60 * 1440, most))
    return found


def plain(instance: Instance, seconds: float, workers: int) -> Starts | None:
    """Return the plan of the plain constraint model, None where it finds none."""
    model = cp_model.CpModel()
    last = _horizon(instance)
    most = max(persons for _, _, persons in instance["windows"])
    work, demands = [], []
    for since, until, missing in _closed(instance):
        work.append(model.new_fixed_size_interval_var(since, until - since, ""))
        demands.append(missing)
    held: dict[str, list[cp_model.IntervalVar]] = {pool: [] for pool in instance["pools"]}
    finish = model.new_int_var(instance["t0"], last, "")
    rows: dict[str, list[list[Any]]] = {}
    terms = []
    for order in instance["orders"]:
        steps = order["steps"]
        units: list[list[Any]] = []
        for unit in range(order["qty"]):
            row: list[Any] = []
            end: Any = order["release"]
            for place, step in enumerate(steps):
                start = end
                if step["att"]:
                    start = model.new_int_var(order["release"], last, "")
                    model.add(start >= end)
                    work.append(model.new_fixed_size_interval_var(start, step["dur"], ""))
                    demands.append(1)
                    if unit:
                        model.add(units[unit - 1][place] <= start)
                row.append(start)
                end = start + step["dur"]
            for hold in order["holds"]:
                leaves = row[hold["last"]] + steps[hold["last"]]["dur"]
                size, away = model.new_int_var(0, last, ""), model.new_int_var(0, last, "")
                model.add(away == leaves)
                held[hold["pool"]].append(
                    model.new_interval_var(row[hold["first"]], size, away, "")
                )
            model.add(finish >= end)
            units.append(row)
        rows[order["id"]] = units
        if order["due"] is not None:
            late = model.new_int_var(0, last, "")
            model.add(late >= units[-1][-1] + steps[-1]["dur"] - order["due"])
            terms.append(order["weight"] * late)
    model.add_cumulative(work, demands, most)
    for pool, stays in held.items():
        if stays:
            model.add_cumulative(stays, [1] * len(stays), instance["pools"][pool])
    weights = instance["obj"]
    model.minimize(weights["tard"] * sum(terms) + weights["makespan"] * finish)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = 1
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return {
        number: [[int(solver.value(at)) for at in row] for row in units]
        for number, units in rows.items()
    }


def library(instance: Instance, seconds: float, workers: int) -> Starts | None:
    """Return the plan of the general library, None where it finds none.

    A hold is a task of its own that may idle, begun and ended with the steps it spans. Where
    fewer people are in than at best, tasks that cannot move keep the rest from work.
    """
    from pyjobshop import Model

    model = Model()
    last = _horizon(instance)
    most = max(persons for _, _, persons in instance["windows"])
    whole = [(since, until) for since, until, missing in _closed(instance) if missing == most]
    people = model.add_renewable(most, breaks=whole)
    for since, until, missing in _closed(instance):
        if missing < most:
            away = model.add_task(earliest_start=since, latest_start=since)
            model.add_mode(away, people, until - since, missing)
    pools = {pool: model.add_renewable(copies) for pool, copies in instance["pools"].items()}
    numbers: list[tuple[str, int, int, int]] = []
    count = len(model.tasks)
    for order in instance["orders"]:
        job = model.add_job(
            weight=order["weight"], release_date=order["release"], due_date=order["due"]
        )
        before: list[Any] = []
        for unit in range(order["qty"]):
            row: list[Any] = []
            for place, step in enumerate(order["steps"]):
                task = model.add_task(job, earliest_start=order["release"], latest_end=last)
                numbers.append((order["id"], unit, place, count))
                count += 1
                if step["att"]:
                    model.add_mode(task, people, step["dur"], 1)
                else:
                    model.add_mode(task, [], step["dur"])
                if row:
                    model.add_end_before_start(row[-1], task)
                if row and not step["att"]:
                    model.add_start_before_end(task, row[-1])
                if before and step["att"]:
                    model.add_start_before_start(before[place], task)
                row.append(task)
            for hold in order["holds"]:
                stay = model.add_task(allow_idle=True, latest_end=last)
                count += 1
                model.add_mode(stay, pools[hold["pool"]], 1, 1)
                first, final = row[hold["first"]], row[hold["last"]]
                model.add_start_before_start(stay, first)
                model.add_start_before_start(first, stay)
                model.add_end_before_end(stay, final)
                model.add_end_before_end(final, stay)
            before = row
    weights = instance["obj"]
    model.set_objective(weight_makespan=weights["makespan"], weight_total_tardiness=weights["tard"])
    result = model.solve(time_limit=seconds, display=False, num_workers=workers, random_seed=1)
    tasks = result.best.tasks
    if not tasks:
        return None
    starts: Starts = {
        order["id"]: [[0] * len(order["steps"]) for _ in range(order["qty"])]
        for order in instance["orders"]
    }
    for number, unit, place, index in numbers:
        starts[number][unit][place] = int(tasks[index].start)
    return starts


if __name__ == "__main__":
    main()
