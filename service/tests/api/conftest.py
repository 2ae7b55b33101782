"""The service on a database of a test's own: SQLite, or what ``TEST_DATABASE`` names."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest
from promise_databases import empty_url, postgresql_databases
from service_bench import ServiceBench, closing, service_bench_at

__all__ = ["empty_url", "postgresql_databases", "served"]


@pytest.fixture
def served(empty_url) -> Iterator[ServiceBench]:
    url = empty_url(os.environ.get("TEST_DATABASE", "sqlite"))
    with closing(service_bench_at(url)) as bench:
        yield bench
