"""Planning anew beside a plan from nothing: how long, and how much of it stays.

Run as ``.venv/bin/python service/benchmarks/replan.py``; ``--pulls`` sets how large the shop is.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from statistics import median

from mouldwright.domain.hours.opening import OpeningHours, minute_of
from mouldwright.domain.material import Material, Mix
from mouldwright.domain.money import Currency
from mouldwright.domain.order import Order
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.part.shape import Rectangle
from mouldwright.domain.process.mould import Mould, MouldFamily
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Hold, Process
from mouldwright.domain.shop import Person, Shop
from mouldwright.domain.structure.kinds import CastStructure
from mouldwright.planning.replan import Replanned, replan
from mouldwright.planning.run import make_plan

START = datetime(2027, 3, 1, 8, tzinfo=UTC)
NOW = minute_of(START)
ORDERS = 4
REPEATS = 3
WEEK = (((480, 720), (750, 1020)),) * 5 + ((), ())


def shop_of(pulls: int) -> Shop:
    """Return an invented bench of two people and eight moulds with so many pulls to do."""

    def step(name: str, minutes: int, **more: object) -> Operation:
        given = {"per": "pull", "attended": True, **more}
        return Operation(name=name, fixed_min=Decimal(minutes), **given)

    process = Process(
        key="cast",
        title="cast",
        structure=CastStructure(matrix="resin"),
        operations=(
            step("reset", 5, skill="wet"),
            step("mix", 4, per="batch", material="resin", pot_life_until="load", skill="wet",
                 batch_pulls=4),
            step("load", 10, skill="wet"),
            step("cure", 240, attended=False),
            step("demould", 6, skill="wet"),
            step("trim", 8, per="part", skill="dry"),
        ),
        holds=(Hold(resource="mould", first="reset", last="demould"),),
    )  # fmt: skip
    resin = Material(
        key="resin", title="resin", density_kg_m3=1100.0, modulus_gpa=3.0,
        mix=Mix(parts={"a": Decimal(100), "b": Decimal(100)}, pot_life_min=60,
                most_mixed_g=Decimal(1000), least_mixed_g=Decimal(0), lost_g=Decimal(0)),
    )  # fmt: skip
    people = {
        key: Person(key=key, title=key, skills=frozenset({"wet", "dry"}), wage_per_hour=Decimal(15))
        for key in ("first", "second")
    }
    part = Part(
        key="fin", title="fin", span_mm=100.0, made_by=("cast",),
        section=Rectangle(width_mm=20.0, height_mm=5.0),
    )  # fmt: skip
    family = MouldFamily(
        key="fin-mould", part="fin", process="cast",
        moulds=tuple(Mould(number=str(n)) for n in range(1, 9)),
    )  # fmt: skip
    late = START + timedelta(days=400)
    return Shop(
        name="An invented bench",
        currency=Currency("EUR"),
        hours=OpeningHours(weekly=WEEK, zone="UTC"),
        people=people,
        materials={"resin": resin},
        parts={"fin": part},
        moulds={"fin-mould": family},
        processes={"cast": process},
        orders=tuple(
            Order(number=str(n), part="fin", process="cast", quantity=pulls // ORDERS, due=late)
            for n in range(ORDERS)
        ),
    )


def changes(shop: Shop) -> dict[str, Shop]:
    """Return the shop changed in one thing each."""
    more = Order(number="new", part="fin", process="cast", quantity=10)
    away = replace(
        shop.people["first"],
        weekly=tuple(() if day == 2 else times for day, times in enumerate(WEEK)),
    )
    family = shop.moulds["fin-mould"]
    fewer = replace(family, moulds=family.moulds[:-1])
    return {
        "one more order of ten": replace(shop, orders=(*shop.orders, more)),
        "one of two away on every Wednesday": replace(shop, people={**shop.people, "first": away}),
        "one mould of eight lost": replace(shop, moulds={"fin-mould": fewer}),
    }


def timed(work: Callable[[], object]) -> tuple[float, object]:
    """Return the median of some repeats in seconds, and what came of the last."""
    taken, found = [], None
    for _ in range(REPEATS):
        began = time.perf_counter()
        found = work()
        taken.append(time.perf_counter() - began)
    return median(taken), found


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pulls", type=int, default=1_000)
    pulls = parser.parse_args().pulls
    shop = shop_of(pulls)
    held = make_plan(shop, now=NOW, seconds=0.0)
    print(f"{pulls} pulls, {len(held.tasks)} tasks")
    print("| change | beside a plan from nothing | tasks that stay % |")
    for name, changed in changes(shop).items():
        nothing, _ = timed(lambda c=changed: make_plan(c, now=NOW, seconds=0.0))
        beside, found = timed(lambda c=changed: replan(c, held, now=NOW))
        assert isinstance(found, Replanned)
        stays = 100 * found.kept / max(found.kept + found.moved, 1)
        print(f"| {name} | {beside / nothing:.2f} | {stays:.1f} |")


if __name__ == "__main__":
    main()
