"""Every page of a five-person shop with a year of history, beside a route that does nothing.

    .venv/bin/python service/benchmarks/pages.py

The shop of ``scenarios/five-hands`` is given a year of quotes, orders and published plans, and its
moulds outlive them; then each page is asked for in process several times, and the median is taken.
The bare route goes through the same client, so that what the client takes is in both.
"""

from __future__ import annotations

import argparse
import random
import tempfile
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from board_page import seconds_of
from fastapi import FastAPI
from kept_bench import kept_bench
from starlette.responses import PlainTextResponse
from starlette.testclient import TestClient

from mouldwright.domain.errors import MouldwrightError
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.shop import Shop
from mouldwright.planning.run import make_plan
from mouldwright.scenario.read import read_scenario
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.kept_run import Page, Run
from mouldwright.usecases.orders import accept, call_off
from mouldwright.usecases.quotes import Wanted, decline, draft, keep_new, send
from mouldwright.usecases.services import Services
from mouldwright.usecases.session import COOKIE
from mouldwright.web import add_pages
from mouldwright.wire.service.quote import quote_document

KEY = "five"
ROOT = Path(__file__).parent.parent.parent
SLOWEST_MS = 150.0
OPEN_ORDERS = 12
CUSTOMERS = ("A rowing club", "A river crew", "A school", "A model shop", "A survey office")


def filled(services: Services, shop: Shop, quotes: int, now: datetime) -> None:
    """Keep a year of quotes: two in three accepted, all but a dozen of those done with."""
    chance = random.Random(1)
    made = [
        (part.key, process)
        for part in shop.parts.values()
        for process in part.made_by
        if part.key in shop.parts
    ]
    booked: list[str] = []
    for at in range(quotes):
        day = now - timedelta(days=365) + timedelta(days=365 * at / quotes)
        part, process = chance.choice(made)
        wanted = Wanted(
            part=part, process=process, quantity=chance.randint(2, 12),
            customer=chance.choice(CUSTOMERS),
        )  # fmt: skip
        try:
            drafted = draft(
                services.units, KEY, wanted, written=services.written, now=day,
                finish=lambda *_: ReadyBy(finish=minute_of(day) + 14_400),  # noqa: B023
            )  # fmt: skip
        except MouldwrightError:
            continue
        with services.units.write(KEY) as unit:
            kept = keep_new(unit, drafted, freeze=quote_document, now=day)
            send(unit, kept.number, revision=None, now=day)
            if at % 3 == 2:
                decline(unit, kept.number, revision=None, now=day)
            else:
                booked.append(accept(unit, kept.number, revision=None, now=day).order.number)
            unit.commit()
        if len(booked) > OPEN_ORDERS:
            done = booked.pop(0)
            with services.units.write(KEY) as unit:
                call_off(unit, done, read_version=1, by="customer")
                unit.commit()


def lasting(shop: Shop) -> Shop:
    """Return the shop with moulds that outlive a year."""
    moulds = {
        key: replace(family, life_pulls=None if family.life_pulls is None else 100_000)
        for key, family in shop.moulds.items()
    }
    return replace(shop, moulds=moulds)


def planned(services: Services, plans: int, now: datetime) -> int:
    """Publish several plans of what is open, each with its run; return the tasks of one."""
    read = read_booked(services.units, KEY, services.written)
    plan = make_plan(read.without(), now=minute_of(now), seconds=0.0)
    for at in range(plans):
        when = now - timedelta(days=plans - at)
        with services.units.write(KEY) as unit:
            run = unit.runs.ask(
                Run(id=f"run-{at}", shop=KEY, state="waiting", why="a benchmark", seconds=1,
                    seed=1, asked_at=when)
            )  # fmt: skip
            unit.runs.ask_to_stop(run.id, when)
            unit.plans.keep(plan, basis=read.basis, run=run.id, at=when)
            unit.commit()
    return len(plan.tasks)


def opened(folder: Path, shop: Shop, now: datetime) -> tuple[Services, TestClient]:
    """Return services on a new database with the shop in it, and a client signed in."""
    services, secret = kept_bench(folder / "year.db", KEY, shop, now)
    app = FastAPI()
    app.add_api_route("/bare", lambda: PlainTextResponse("ok"))
    add_pages(app, services)
    return services, TestClient(app, headers={"cookie": f"{COOKIE}={secret}"})


def paths_of(services: Services, shop: Shop) -> dict[str, str]:
    """Return every page by what it is called."""
    with services.units.read(KEY) as unit:
        last = unit.quotes.listed(Page(limit=1))[0].number
        order = unit.bookings.open()[0].order.number
    part = next(part for part in shop.parts.values() if part.made_by)
    return {
        "today": "today",
        "board, a week": "board",
        "board, six weeks": "board?zoom=six-weeks",
        "a task of the board": "board/1/tasks/t10",
        "day sheet": "day",
        "everyone's day sheets": "day?person=every+one",
        "quotes": "quotes",
        "a quote": f"quotes/{last}",
        "orders": "orders",
        "all orders": "orders?which=all",
        "an order": f"orders/{order}",
        "parts": "parts",
        "a part": f"parts/{part.key}",
        "processes": "processes",
        "a process": f"processes/{part.made_by[0]}",
        "materials": "materials",
        "moulds": "moulds",
        "shop": "shop",
        "a form": f"edit/parts/{part.key}",
        "versions": "versions",
        "file": "file",
        "who may come in": "access",
        "find a customer": "find?q=club",
        "buying": "buying",
        "bench tests": "tests",
        "enquiry": f"enquiry?part={part.key}&quantity=6",
    }


def main() -> None:
    """Print a table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quotes", type=int, default=300)
    parser.add_argument("--plans", type=int, default=250)
    parser.add_argument("--times", type=int, default=9)
    asked = parser.parse_args()
    shop = lasting(read_scenario(ROOT / "scenarios" / "five-hands").shop)
    now = shop.start or datetime(2027, 3, 1, 8, tzinfo=UTC)
    with tempfile.TemporaryDirectory() as folder:
        services, client = opened(Path(folder), shop, now)
        filled(services, shop, asked.quotes, now)
        tasks = planned(services, asked.plans, now)
        bare, _ = seconds_of(client, "/bare", 5 * asked.times)
        print(f"{asked.quotes} quotes, {asked.plans} plans of {tasks} tasks; ", end="")
        print(f"a bare route took {bare * 1000:.1f} ms")
        print("| page | bytes | beside the bare route | |")
        print("| --- | ---: | ---: | ---: |")
        for name, path in paths_of(services, shop).items():
            took, size = seconds_of(client, f"/shops/{KEY}/{path}", asked.times)
            slow = " slow" if took * 1000 > SLOWEST_MS else ""
            print(f"| {name} | {size:,} | {took / bare:.0f} | ({took * 1000:.0f} ms){slow} |")


if __name__ == "__main__":
    main()
