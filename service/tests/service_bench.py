"""The service over HTTP on a database of a test's own, asked by people of every role."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import cache
from hashlib import sha256
from itertools import count
from pathlib import Path
from typing import Any

from fastapi import FastAPI
from fastapi.testclient import TestClient
from migrated import make_newest
from promise_bench import DEMO
from sqlalchemy import select
from written_shop import WHOLE

from mouldwright.bootstrap import Opened, make_app, open_services
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.shop import Shop
from mouldwright.scenario.kept import KeptScenarios
from mouldwright.settings import Settings
from mouldwright.store.engine import make_engine, reading
from mouldwright.store.fence import of_every_shop
from mouldwright.store.tables import METADATA
from mouldwright.usecases.access import issue
from mouldwright.usecases.enquiry import FinishBeside
from mouldwright.usecases.held import NOTHING_HELD, Held
from mouldwright.usecases.kept import Role, ShopVersion
from mouldwright.usecases.services import Services

BASE = "http://127.0.0.1:8000"
SHOP, OTHER = "foils", "next-door"
START = datetime(2027, 3, 1, 8, tzinfo=UTC)
KEYS = count(1)


class HandClock:
    """A clock that a test moves."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> datetime:
        return self.now

    def on(self, **span: float) -> None:
        self.now += timedelta(**span)


@dataclass
class ServiceBench:
    """The demo shop as ``foils``, a second shop as ``next-door``, and a token for each role."""

    opened: Opened
    services: Services
    app: FastAPI
    clock: HandClock
    url: str

    def client(self, role: Role | str | None = Role.OWNER, shop: str | None = SHOP) -> TestClient:
        """Return a client signed in for a role of a shop; None is signed in as nobody."""
        headers = {} if role is None else {"Authorization": f"Bearer {self.secret(role, shop)}"}
        return TestClient(self.app, base_url=BASE, headers=headers, raise_server_exceptions=False)

    def secret(self, role: Role | str, shop: str | None = SHOP) -> str:
        """Return the secret of a new token."""
        role = Role(role)
        with self.services.units.write_house() as unit:
            issued = issue(
                unit.tokens,
                shop=None if role is Role.KEEPER else shop,
                role=role,
                label="a test",
                days=30,
                now=self.clock(),
                chance=self.services.chance,
            )
            unit.commit()
        return issued.secret

    def version(self, shop: str = SHOP) -> int:
        with self.services.units.read(shop) as unit:
            return unit.shops.version()


def once() -> dict[str, str]:
    """Return the header of a request that makes something, with a key never used before."""
    return {"Idempotency-Key": f"test-{next(KEYS)}"}


def if_match(version: int | str) -> dict[str, str]:
    return {"If-Match": f'"{version}"'}


def problem_of(response: Any, status: int, kind: str) -> dict[str, Any]:
    """Return the problem of a response that must be one of this kind."""
    assert (response.status_code, response.headers["content-type"]) == (
        status,
        "application/problem+json",
    ), response.text
    problem: dict[str, Any] = response.json()
    assert problem["type"] == f"/v1/problems/{kind}", problem
    assert problem["status"] == status
    return problem


def service_bench(folder: Path, **settings: Any) -> ServiceBench:
    """Return the service on a new database in the folder, with two shops in it."""
    return service_bench_at(f"sqlite:///{folder / 'service.db'}", **settings)


def service_bench_at(url: str, **settings: Any) -> ServiceBench:
    """Return the service on an empty database, with two shops in it."""
    make_newest(url)
    opened = open_services(Settings(database_url=url, **settings))
    clock = HandClock()
    services = replace(
        opened.services,
        clock=clock,
        finish=_remembering(opened.services.finish, _FINISHES),
        hurried=_remembering(opened.services.hurried, _HURRIED),
    )
    written = services.written
    shops = {SHOP: DEMO, OTHER: read_whole()}
    with services.units.write_house() as unit:
        for key, shop in shops.items():
            unit.house.add_shop(
                ShopVersion(
                    key=key,
                    version=1,
                    title=shop.name,
                    document=written.document(shop),
                    written_at=clock(),
                    written_by="a test",
                ),
                shop.log,
            )
        unit.commit()
    return ServiceBench(opened, services, make_app(services), clock, url)


# When one order more is ready, by all that it was asked of: it takes a second to plan, and
# most tests ask the same of the same two shops at the same moment.
_FINISHES: dict[str, ReadyBy] = {}
_HURRIED: dict[str, ReadyBy] = {}


def _remembering(plans: FinishBeside, answers: dict[str, ReadyBy]) -> FinishBeside:
    def answered(
        shop: Shop,
        part: str,
        process: str | None,
        quantity: int,
        now: int,
        held: Held = NOTHING_HELD,
    ) -> ReadyBy:
        # The text of a value says every field of it; it is long, so its digest is kept.
        said = repr((shop, part, process, quantity, now, held))
        asked = sha256(said.encode()).hexdigest()
        if asked not in answers:
            answers[asked] = plans(shop, part, process, quantity, now, held)
        return answers[asked]

    return answered


@cache
def read_whole() -> Shop:
    """Return the shop that has something of everything."""
    return KeptScenarios().read_toml(WHOLE)


def rows_kept(url: str) -> list[str]:
    """Return every row of every shop that a database keeps, each as text."""
    engine = of_every_shop(make_engine(url, pooled=False))
    try:
        with reading(engine).connect() as connection:
            return [
                str(tuple(row))
                for table in METADATA.sorted_tables
                for row in connection.execute(select(table))
            ]
    finally:
        engine.dispose()


@contextmanager
def closing(bench: ServiceBench) -> Iterator[ServiceBench]:
    """Let go of the bench's database afterwards."""
    try:
        yield bench
    finally:
        bench.opened.close()
