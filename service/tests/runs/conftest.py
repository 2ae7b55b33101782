"""Here the bench is one on each database: what a worker does leans on how each of them locks."""

import pytest
from promise_databases import either_bench, postgresql_databases

__all__ = ["bench", "either_bench", "postgresql_databases"]


@pytest.fixture
def bench(either_bench):
    return either_bench
