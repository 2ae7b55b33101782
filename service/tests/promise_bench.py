"""The demo shop on a database of a test's own, and quotes made in it in a few words."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from migrated import make_newest
from sqlalchemy import Engine

from mouldwright.domain.promise.booking import Booking
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.promise.revision import QuoteRevision
from mouldwright.domain.shop import Shop
from mouldwright.scenario.demo import demo_path
from mouldwright.scenario.kept import KeptScenarios
from mouldwright.scenario.read import read_scenario
from mouldwright.store.engine import make_engine
from mouldwright.store.fence import of_every_shop
from mouldwright.store.run_queue import StoreRunQueue
from mouldwright.store.unit_of_work import StoreUnits
from mouldwright.usecases.held import NOTHING_HELD, Held
from mouldwright.usecases.kept import ShopVersion
from mouldwright.usecases.orders import accept
from mouldwright.usecases.quotes import Draft, Wanted, draft, keep_new, keep_revision, send
from mouldwright.wire.answers.quote import QuoteAnswer

KEY = "foils"
# A Monday, before the demo's own start.
NOW = datetime(2027, 3, 1, 8, tzinfo=UTC)
DEMO = read_scenario(demo_path("foil-bench")).shop
WANTED = Wanted(part="stabiliser", process="pressed", quantity=12, customer="Tern survey club")


def freeze(shop: Shop, quote: Any) -> str:
    return QuoteAnswer.of(shop, quote).model_dump_json()


class Readiness:
    """A stand-in for the planner: ready so many minutes from now, or a failure."""

    def __init__(self, minutes: int = 10_000) -> None:
        self.minutes, self.error, self.asked = minutes, None, []

    def __call__(
        self,
        shop: Shop,
        part: str,
        process: str | None,
        quantity: int,
        now: int,
        held: Held = NOTHING_HELD,
    ) -> ReadyBy:
        self.asked.append((shop, part, process, quantity, now))
        if self.error is not None:
            raise self.error
        return ReadyBy(finish=now + self.minutes)


@dataclass
class PromiseBench:
    url: str
    engine: Engine
    units: StoreUnits
    queue: StoreRunQueue
    written: KeptScenarios
    finish: Readiness

    def change_shop(self, **changes: Any) -> None:
        """Write a further version of the shop."""
        with self.units.write(KEY) as unit:
            now = unit.shops.now()
            shop = replace(self.written.read(now.document), **changes)
            unit.shops.write(version_of(self.written, shop, now.version + 1))
            unit.commit()

    def draft(self, wanted: Wanted = WANTED, **more: Any) -> Draft:
        return draft(
            self.units, KEY, wanted, written=self.written, now=NOW, finish=self.finish, **more
        )

    def quoted(self, drafted: Draft | None = None, now: datetime = NOW) -> QuoteRevision:
        drafted = drafted or self.draft()
        with self.units.write(KEY) as unit:
            kept = keep_new(unit, drafted, freeze=freeze, now=now)
            unit.commit()
        return kept

    def revised(self, number: int, **changes: Any) -> QuoteRevision:
        drafted = self.draft(replace(WANTED, **changes), revises=number)
        with self.units.write(KEY) as unit:
            kept = keep_revision(unit, number, drafted, freeze=freeze, now=NOW)
            unit.commit()
        return kept

    def done(self, verb: Any, *args: Any, **more: Any) -> Any:
        """Do one thing in a unit of its own."""
        with self.units.write(KEY) as unit:
            result = verb(unit, *args, **more)
            unit.commit()
        return result

    def sent(self, drafted: Draft | None = None) -> QuoteRevision:
        kept = self.quoted(drafted)
        return self.done(send, kept.number, revision=None, now=NOW)

    def booked(self, drafted: Draft | None = None) -> Booking:
        kept = self.sent(drafted)
        return self.done(accept, kept.number, revision=None, now=NOW)

    def revision(self, number: int, revision: int | None = None) -> QuoteRevision:
        with self.units.read(KEY) as unit:
            return unit.quotes.revision(number, revision)

    def booking(self, number: str) -> Booking:
        with self.units.read(KEY) as unit:
            return unit.bookings.by_number(number)


def later(**span: float) -> datetime:
    return NOW + timedelta(**span)


def version_of(written: KeptScenarios, shop: Shop, version: int) -> ShopVersion:
    return ShopVersion(
        key=KEY,
        version=version,
        title=shop.name,
        document=written.document(shop),
        written_at=NOW,
        written_by="a test",
    )


def promise_bench(folder: Path, shop: Shop = DEMO) -> PromiseBench:
    """Return a bench with the shop kept in a new database in the folder."""
    return promise_bench_at(f"sqlite:///{folder / 'bench.db'}", shop)


def promise_bench_at(url: str, shop: Shop | None = DEMO) -> PromiseBench:
    """Return a bench with the shop kept in an empty database; None where it is kept already."""
    make_newest(url)
    # What tests look for by statements of their own may be any shop's.
    engine = of_every_shop(make_engine(url, pool_size=60))
    units, written = StoreUnits(engine, clock=lambda: NOW), KeptScenarios()
    if shop is not None:
        with units.write_house() as house:
            house.house.add_shop(version_of(written, shop, 1), shop.log)
            house.commit()
    return PromiseBench(url, engine, units, StoreRunQueue(engine), written, Readiness())
