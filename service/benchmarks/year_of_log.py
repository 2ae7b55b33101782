"""A note, a press on the day sheet and Today by the log's length, beside a bare route.

    .venv/bin/python service/benchmarks/year_of_log.py

The demo bench is planned, and its log is filled with what was done of earlier orders, closed since:
every task of the plan begun and finished, moved back round by round, each with numbers of its own.
Moulds and stock were counted before all of it, so that every entry moves a ledger. Each is asked
for in process through one client, the lengths in turn, so that a slow minute meets all of them;
the median is taken. The bare route goes through the same client.
"""

from __future__ import annotations

import argparse
import statistics
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import count
from pathlib import Path

from kept_bench import kept_bench
from starlette.responses import PlainTextResponse
from starlette.routing import Route
from starlette.testclient import TestClient

from mouldwright.bootstrap import make_app
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.record.log import Happening, LogEntry, LoggedTask
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.planning.run import make_plan
from mouldwright.scenario.demo import demo_path
from mouldwright.scenario.read import read_scenario
from mouldwright.usecases.booked_shop import basis_of
from mouldwright.usecases.log_shift import logged_task
from mouldwright.usecases.session import COOKIE
from mouldwright.wire.log import LogEntry as Document

KEY = "bench"
LENGTHS = (0, 1_000, 10_000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """A shop with so long a log, and a client of it."""

    entries: int
    client: TestClient
    by_page: dict[str, str]
    by_key: dict[str, str]
    notes: Iterator[dict[str, object]]


def past_log(plan: Plan, entries: int) -> Iterator[LogEntry]:
    """Yield what was done of earlier orders, the first first: so many entries."""
    tasks = sorted(plan.tasks, key=lambda task: task.start)
    first, last = tasks[0].start, max(task.end for task in tasks)
    rounds = -(-entries // (2 * len(tasks)))
    made: list[LogEntry] = []
    for turn in range(rounds):
        back = (last - first) * (turn + 1) + 1440
        for task in tasks:
            known = _earlier(logged_task(task), turn)
            for what, minute in (
                (Happening.STARTED, task.start),
                (Happening.FINISHED, task.end),
            ):
                at = local(minute - back, plan.zone)
                made.append(
                    LogEntry(
                        number=0, what=what, at=at, noted_at=at, people=task.people, task=known
                    )
                )
    made.sort(key=lambda entry: entry.at)
    for number, entry in enumerate(made[-entries:] if entries else (), start=1):
        yield replace(entry, number=number)


def _earlier(task: LoggedTask, turn: int) -> LoggedTask:
    members = (replace(member, order=f"{member.order}-{turn}") for member in task.members)
    return replace(task, members=tuple(members))


def to_note(plan: Plan, now: datetime) -> Iterator[dict[str, object]]:
    """Yield what the bench may note next: a task begun, then the same finished."""
    for task in sorted(plan.tasks, key=lambda task: task.start):
        for what in (Happening.STARTED, Happening.FINISHED):
            entry = LogEntry(
                number=1,
                what=what,
                at=now,
                noted_at=now,
                people=task.people,
                task=logged_task(task),
            )
            said = Document.of(entry).model_dump(mode="json", by_alias=True, exclude_defaults=True)
            yield {key: said[key] for key in ("what", "people", "task") if key in said}


def served(folder: Path, shop: Shop, plan: Plan, now: datetime, entries: int) -> Served:
    """Return the shop on a database of its own, its plan published, and a client signed in."""
    services, secret = kept_bench(folder / f"{entries}.db", KEY, shop, now)
    with services.units.write(KEY) as unit:
        unit.log.bring(past_log(plan, entries))
        unit.plans.keep(plan, basis=basis_of(unit), run="a benchmark", at=now)
        unit.commit()
    app = make_app(services)
    app.router.routes.insert(0, Route("/bare", lambda _: PlainTextResponse("ok")))
    client = TestClient(app, base_url="http://127.0.0.1")
    by_page = {"cookie": f"{COOKIE}={secret}"}
    by_key = {"authorization": f"Bearer {secret}"}
    return Served(
        entries=entries,
        client=client,
        by_page=by_page,
        by_key=by_key,
        notes=to_note(plan, now),
    )


def seconds_of(here: Served, what: str) -> float:
    """Return how long one request takes."""
    body = next(here.notes) if what == NOTE else None
    headers = here.by_key if PATHS[what].startswith("/v1") else here.by_page
    if body is not None:
        headers = {**headers, "Idempotency-Key": f"note-{next(_DRAWN)}"}
    began = time.process_time()
    answer = here.client.request(
        "GET" if body is None else "POST", PATHS[what], json=body, headers=headers
    )
    took = time.process_time() - began
    assert answer.status_code in (200, 201), answer.text[:500]
    return took


NOTE = "a note, and kept"
BARE = "a bare route"
PATHS = {
    BARE: "/bare",
    NOTE: f"/v1/shops/{KEY}/log",
    "Today": f"/shops/{KEY}/today",
    "day sheet": f"/shops/{KEY}/day",
    "log": f"/shops/{KEY}/log",
    "an entry": f"/v1/shops/{KEY}/log/1",
    "moulds": f"/shops/{KEY}/moulds",
    "materials": f"/shops/{KEY}/materials",
    "board": f"/shops/{KEY}/board",
}
_DRAWN = count(1)


def main() -> None:
    """Print a table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--entries", type=int, nargs="+", default=LENGTHS)
    parser.add_argument("--times", type=int, default=9)
    asked = parser.parse_args()
    shop = read_scenario(demo_path("foil-bench")).shop
    assert shop.start is not None
    now = shop.start + timedelta(hours=2)
    plan = make_plan(replace(shop, log=()), now=minute_of(shop.start), seconds=0.0)
    shop = replace(shop, log=(), counted=shop.start - timedelta(days=3650))
    taken: dict[str, dict[int, float]] = {}
    with tempfile.TemporaryDirectory() as folder:
        shops = [served(Path(folder), shop, plan, now, entries) for entries in asked.entries]
        for what in PATHS:
            found: dict[int, list[float]] = {here.entries: [] for here in shops}
            for here in shops:
                if not (what == "an entry" and not here.entries):
                    seconds_of(here, what)
            for _ in range(asked.times):
                for here in shops:
                    if not (what == "an entry" and not here.entries):
                        found[here.entries].append(seconds_of(here, what))
            taken[what] = {n: statistics.median(each) for n, each in found.items() if each}
    bare = statistics.median(taken[BARE].values())
    print(f"a bare route took {bare * 1000:.2f} ms; each figure is so many times that")
    print("| asked | " + " | ".join(f"{n:,} entries" for n in asked.entries) + " |")
    print("| --- |" + " ---: |" * len(asked.entries))
    for what, by in taken.items():
        cells = [f"{by[n] / bare:.1f}" if n in by else "" for n in asked.entries]
        print(f"| {what} | {' | '.join(cells)} |")


if __name__ == "__main__":
    main()
