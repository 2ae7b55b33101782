"""What a service that many ask at once must not do: block, run dry, or say done too early."""

from __future__ import annotations

import inspect
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

import anyio.to_thread
import pytest
from quoting import ASKED, ORDERS, QUOTES, RUNS, made, match, moved
from service_bench import SHOP, closing, once, service_bench
from sqlalchemy import select
from starlette.middleware.base import BaseHTTPMiddleware
from written_shop import WHOLE

from mouldwright.store.engine import make_engine, reading
from mouldwright.store.fence import of_every_shop
from mouldwright.store.tables import METADATA
from mouldwright.store.unit_of_work import HouseWriteUnit, WriteUnit
from mouldwright.usecases.kept import Role

# Events are sent as they come; the others read a body that is still arriving. None of
# them waits for the database on the loop.
ASYNC_ROUTES = {"watch"}
# These look at the request alone, and would only wait for a thread.
ASYNC_DEPENDENCIES = {
    "any_form", "asked_once", "change_of", "json_body", "known_tags", "paging", "seat_in_house",
    "seat_in_shop",
}  # fmt: skip


def routes_of(app):
    return [route for route in app.routes if hasattr(route, "dependant")]


def dependencies(dependant):
    for each in dependant.dependencies:
        yield each.call
        yield from dependencies(each)


def is_async(call) -> bool:
    return inspect.iscoroutinefunction(call) or inspect.isasyncgenfunction(call)


def test_no_route_but_the_stream_of_events_runs_on_the_loop(served):
    found = routes_of(served.app)
    assert len(found) > 50
    assert {r.endpoint.__name__ for r in found if is_async(r.endpoint)} == ASYNC_ROUTES
    called = {call for route in found for call in dependencies(route.dependant)}
    assert {call.__name__ for call in called if is_async(call)} <= ASYNC_DEPENDENCIES


def test_what_stands_around_the_routes_is_not_of_the_dear_kind(served):
    kinds = [each.cls for each in served.app.user_middleware]
    assert kinds
    assert [kind for kind in kinds if issubclass(kind, BaseHTTPMiddleware)] == []


def test_as_many_requests_are_worked_on_as_there_are_connections_and_none_runs_dry(tmp_path):
    with closing(service_bench(tmp_path, threads=3)) as bench, bench.client() as client:
        tokens = []

        def told() -> float:
            return anyio.to_thread.current_default_thread_limiter().total_tokens

        async def limit() -> float:
            return told()

        tokens.append(client.portal.call(limit))
        assert tokens == [3]
        with ThreadPoolExecutor(40) as pool:
            answers = list(pool.map(lambda _: client.get(f"/v1/shops/{SHOP}/parts"), range(120)))
    assert {answer.status_code for answer in answers} == {200}


def everything(url: str):
    engine = of_every_shop(make_engine(url, pooled=False))
    with reading(engine).connect() as connection:
        rows = {
            table.name: sorted(map(tuple, connection.execute(select(table))), key=repr)
            for table in METADATA.sorted_tables
        }
    engine.dispose()
    return rows


def test_what_could_not_be_kept_is_never_said_to_be_done(served, monkeypatch):
    owner, keeper = served.client(), served.client(Role.KEEPER, None)
    draft = made(owner)
    sent = moved(owner, made(owner), "send")
    accepted = moved(owner, moved(owner, made(owner), "send"), "accept")
    assert accepted.status_code in (200, 201)
    (order,) = owner.get(ORDERS).json()["orders"][-1:]
    at = f"{ORDERS}/{order['number']}"
    read = owner.get(at)
    shop = owner.get(f"/v1/shops/{SHOP}")
    part = owner.get(f"/v1/shops/{SHOP}/parts/stabiliser").json()["part"]
    renamed = {**part, "title": "Tail foil"}
    writes = {
        "make a quote": lambda: owner.post(QUOTES, json=ASKED, headers=once()),
        "revise": lambda: owner.post(
            f"{QUOTES}/{draft.json()['number']}/revisions",
            json={"quantity": 9},
            headers=match(draft) | once(),
        ),
        "send": lambda: moved(owner, draft, "send"),
        "accept": lambda: moved(owner, sent, "accept"),
        "decline": lambda: moved(owner, sent, "decline"),
        "change": lambda: owner.patch(at, json={"weight": 2}, headers=match(read)),
        "cancel": lambda: owner.post(f"{at}/cancel", json={"by": "shop"}, headers=match(read)),
        "plan": lambda: owner.post(RUNS, json={}, headers=once()),
        "token": lambda: owner.post(
            f"/v1/shops/{SHOP}/tokens", json={"role": "bench", "label": "x"}, headers=once()
        ),
        "part": lambda: owner.put(
            f"/v1/shops/{SHOP}/parts/stabiliser", json=renamed, headers=match(shop)
        ),
        "forget": lambda: owner.post(
            f"/v1/shops/{SHOP}/customers/erase", json={"customer": ASKED["customer"]}
        ),
        "new shop": lambda: keeper.post(
            "/v1/shops", json={"key": "third", "scenario_toml": WHOLE}, headers=once()
        ),
    }
    before = everything(served.url)

    def fails(_: object) -> None:
        raise OSError("the disk is gone")

    with monkeypatch.context() as patch:
        patch.setattr(WriteUnit, "commit", fails)
        patch.setattr(HouseWriteUnit, "commit", fails)
        answered = {name: write().status_code for name, write in writes.items()}
    assert answered == dict.fromkeys(writes, 500)
    assert everything(served.url) == before


@pytest.mark.parametrize("asked", ["nothing", "when one more order would be ready"])
def test_the_server_itself_never_loads_the_solver(tmp_path, asked):
    program = f"""
import sys
sys.path.insert(0, {str(__file__.rpartition("/api/")[0])!r})
from pathlib import Path
from service_bench import SHOP, once, service_bench
bench = service_bench(Path({str(tmp_path)!r}))
client = bench.client()
assert client.get(f"/v1/shops/{{SHOP}}/quotes").status_code == 200
if {asked!r} != "nothing":
    asked = {{"part": "stabiliser", "process": "pressed", "quantity": 12}}
    made = client.post(f"/v1/shops/{{SHOP}}/quotes", json=asked, headers=once())
    assert made.status_code == 201, made.text
assert "mouldwright.api.app" in sys.modules
sys.exit("ortools was loaded" if "ortools" in sys.modules else 0)
"""
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert ran.returncode == 0, ran.stderr
