"""Write ``scenarios/noted-month``: the foil bench with a month of its log behind it.

Usage, in service/benchmarks:
    python -m month.noted [--seed S] > ../../scenarios/noted-month/shop.toml

Orders of February are lived to their end, with mishaps from a seed: see ``life``. What they use
comes in, and finished parts are weighed.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from math import ceil
from random import Random
from zoneinfo import ZoneInfo

from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.judgement import judge
from mouldwright.domain.order import Order
from mouldwright.domain.record.log import Happening, LogEntry, LoggedMember
from mouldwright.domain.record.stock_ledger import stock_book, used_by_order
from mouldwright.domain.shop import Shop
from mouldwright.scenario.demo import demo_path
from mouldwright.scenario.kept import KeptScenarios
from mouldwright.scenario.read import read_scenario

from .life import Life
from .live import DAY, Month
from .mishaps import Mishaps
from .within import Bench, live_day, note, when_told

DAYS = 27
# What is ordered: number, customer, part, process, how many, days of February from and until when.
ORDERED = (
    ("0991", "A trimaran club", "stabiliser", "pressed", 20, 1, 26),
    ("0992", "A river survey crew", "sensor-fin", "cast-fin", 12, 9, 26),
    ("0993", "A school", "camera-boom", "printed", 6, 15, 26),
    ("0994", "A model shop upriver", "stabiliser", "cast", 5, 18, 26),
)
# Common sense, no source: parts weigh this much more or less, and a little more when it is cold.
SPREAD, HEAVIER_PER_DEGREE, USUAL_C = 0.008, 0.002, 19.0

HEAD = """# The foil bench with a month of its log behind it, written by the program. All invented.
# What is neither orders nor log is that of the foil bench.

"""


def main() -> None:
    """Run the command."""
    parser = argparse.ArgumentParser(prog="month.noted", description=__doc__)
    parser.add_argument("--seed", type=int, default=2)
    sys.stdout.write(HEAD + KeptScenarios().toml(noted(parser.parse_args().seed)))


def noted(seed: int) -> Shop:
    """Return the shop with its log."""
    demo = read_scenario(demo_path("foil-bench")).shop
    zone = ZoneInfo(demo.zone)
    first = datetime(2027, 2, 1, 8, tzinfo=zone)
    bare = replace(demo, orders=(), log=(), start=first)
    orders = [
        Order(
            number=number,
            customer=customer,
            part=part,
            process=process,
            quantity=quantity,
            release=datetime(2027, 2, since, 8, tzinfo=zone),
            due=datetime(2027, 2, until, 17, tzinfo=zone),
        )
        for number, customer, part, process, quantity, since, until in ORDERED
    ]
    bench, life = (
        Bench(bare=bare, orders=orders),
        Life(bare, Mishaps(bare, Random(seed), rough=True)),
    )
    ahead = []
    for day in range(DAYS):
        now = minute_of(first) + day * DAY
        told = [
            *ahead,
            *(life.ill(who, now, now + DAY) for who in bare.people if life.mishaps.is_ill()),
        ]
        note(bench, [each for each in told if each.minute <= now], Month())
        told = [each for each in told if each.minute > now] + live_day(bench, life, now)
        ahead = [each for each in told if each.minute >= now + DAY]
        note(bench, sorted((t for t in told if t.minute < now + DAY), key=when_told), Month())
    beside = [*_weighed(bench, Random(seed)), *_received(bench, first)]
    entries = sorted([*bench.log, *beside], key=lambda entry: entry.at)
    log = tuple(replace(entry, number=n) for n, entry in enumerate(entries, start=1))
    return replace(
        demo,
        name=f"{demo.name}, a month in",
        # What they were due by is past.
        orders=(*(replace(each, release=None, due=None) for each in orders), *demo.orders),
        log=log,
        counted=first - timedelta(hours=1),
    )


def _received(bench: Bench, first: datetime) -> Iterator[LogEntry]:
    """Yield deliveries of about what the month used, so that stock stands as it does without it."""
    used: dict[tuple[str, str], Fraction] = {}
    for taken in used_by_order(stock_book(bench.shop)).values():
        for key, amount in taken.items():
            used[key] = used.get(key, Fraction(0)) + amount
    at = (first + timedelta(days=1, minutes=40)).astimezone(UTC)
    for (material, unit), amount in sorted(used.items()):
        pack = 10 if unit == "m" else 100
        yield LogEntry(
            number=0,
            what=Happening.RECEIVED,
            at=at,
            noted_at=at,
            material=material,
            lot="feb",
            amount=Decimal(ceil(amount / pack) * pack),
        )


def _weighed(bench: Bench, chance: Random) -> Iterator[LogEntry]:
    """Yield what finished parts weighed, and how warm it was."""
    for order in bench.orders:
        part = bench.bare.part(order.part)
        judged = judge(bench.bare, part, bench.bare.process(order.process or ""))
        bad = bench.bad.get(order.number, set())
        for piece, minute in sorted(bench.through.get(order.number, {}).items()):
            if piece in bad or judged.mass_g is None:
                continue
            at = datetime.fromtimestamp((minute + 2) * 60, UTC)
            warm = USUAL_C + chance.gauss(0, 2.5)
            share = 1 + chance.gauss(0, SPREAD) + HEAVIER_PER_DEGREE * (USUAL_C - warm)
            yield LogEntry(
                number=0,
                what=Happening.WEIGHED,
                at=at,
                noted_at=at,
                members=(LoggedMember(order=order.number, parts=(piece,)),),
                mass_g=Decimal(f"{judged.mass_g * share:.1f}"),
                temperature_c=Decimal(f"{warm:.1f}"),
            )


if __name__ == "__main__":
    main()
