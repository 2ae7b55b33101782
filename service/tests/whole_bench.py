"""A bench with one of everything that a page shows: quotes, orders, a plan, a run, links, feeds."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from fastapi.testclient import TestClient
from service_bench import BASE, SHOP, ServiceBench, once, service_bench

from mouldwright.domain.hours.opening import minute_of
from mouldwright.planning.run import make_plan
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.session import COOKIE, FORM_KEY, form_key

V1 = f"/v1/shops/{SHOP}"


@dataclass
class Browser:
    """Someone signed in, who opens pages and sends forms."""

    bench: ServiceBench
    secret: str

    def __post_init__(self) -> None:
        self.client = TestClient(
            self.bench.app,
            base_url=BASE,
            headers={"Origin": BASE, "Cookie": f"{COOKIE}={self.secret}"},
            raise_server_exceptions=False,
            follow_redirects=False,
        )

    def get(self, path: str) -> Any:
        return self.client.get(path)

    def post(self, path: str, fields: list[tuple[str, str]], files: Any = None) -> Any:
        """Send a form with the key of this session; names may come several times."""
        data: dict[str, Any] = {FORM_KEY: form_key(self.secret)}
        for name, value in fields:
            if name != FORM_KEY:
                data.setdefault(name, []).append(value)
        return self.client.post(path, data=data, files=files)


def whole_bench(folder: Path, *, customer: str = "Tern survey club") -> tuple[ServiceBench, str]:
    """Return a bench with everything in it, and the secret address of a quote."""
    bench = service_bench(folder)
    owner = bench.client("owner")

    def made() -> Any:
        body = {"part": "stabiliser", "process": "pressed", "quantity": 12, "customer": customer}
        return said(owner.post(f"{V1}/quotes", json=body, headers=once()), 201)

    def moved(quote: Any, verb: str) -> Any:
        match = {"If-Match": quote.headers["ETag"]}
        path = f"{V1}/quotes/{quote.json()['number']}/{verb}"
        return said(owner.post(path, headers=match | once()), 200)

    moved(moved(made(), "send"), "accept")
    shown = moved(made(), "send")
    made()
    link = said(
        owner.post(f"{V1}/quotes/{shown.json()['number']}/links", headers=once()), 201
    ).json()
    feed = {"about": "person", "key": "ines", "label": "a telephone"}
    said(owner.post(f"{V1}/feeds", json=feed, headers=once()), 201)
    note = {"what": "mould lost", "mould": "stabiliser-pressed 1", "cause": "dropped"}
    said(owner.post(f"{V1}/log", json=note, headers=once()), 201)
    hold_a_plan(bench)
    return bench, link["path"]


def hold_a_plan(bench: ServiceBench) -> None:
    """Make a plan of what is booked and let it hold."""
    units, now = bench.services.units, bench.clock()
    read = read_booked(units, SHOP, bench.services.written)
    plan = make_plan(read.without(), now=minute_of(now), seconds=0.0)
    with units.write(SHOP) as unit:
        unit.plans.keep(plan, basis=read.basis, run="made by a test", at=now)
        unit.commit()


def said(answer: Any, status: int) -> Any:
    """Return an answer that must have a status."""
    assert answer.status_code == status, answer.text
    return answer
