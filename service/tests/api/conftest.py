"""The service on a database of a test's own."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from service_bench import ServiceBench, closing, service_bench


@pytest.fixture
def served(tmp_path) -> Iterator[ServiceBench]:
    with closing(service_bench(tmp_path)) as bench:
        yield bench
