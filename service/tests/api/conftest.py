"""The service on a database of a test's own."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from promise_databases import empty_url, postgresql_databases
from service_bench import ServiceBench, closing, service_bench

__all__ = ["empty_url", "postgresql_databases", "served"]


@pytest.fixture
def served(tmp_path) -> Iterator[ServiceBench]:
    with closing(service_bench(tmp_path)) as bench:
        yield bench
