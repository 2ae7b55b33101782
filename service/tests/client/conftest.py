"""The service on a database of a test's own, served, and clients of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

import pytest
from answering import Service
from service_bench import ServiceBench, closing, service_bench
from serving_app import serving

from mouldwright.client import Client, Shop


@pytest.fixture(scope="module")
def served(tmp_path_factory) -> Iterator[tuple[ServiceBench, str]]:
    with (
        closing(service_bench(tmp_path_factory.mktemp("served"))) as bench,
        serving(bench.app) as address,
    ):
        yield bench, address


@pytest.fixture
def keeper(served) -> Iterator[Client]:
    bench, address = served
    with Client(address, bench.secret("keeper")) as client:
        yield client


@pytest.fixture
def shop(served) -> Iterator[Shop]:
    bench, address = served
    with Client(address, bench.secret("owner")) as client:
        yield client.shop("foils")


@pytest.fixture(params=[False, True], ids=["in turn", "beside other work"])
def answering(request) -> Callable[..., Service]:
    """Return what makes a service that answers by hand, asked in either way."""
    return partial(Service, beside=request.param)
