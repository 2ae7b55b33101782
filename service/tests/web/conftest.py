from __future__ import annotations

import pytest
from promise_databases import bench
from web_bench import WebBench

__all__ = ["bench"]


@pytest.fixture
def web(bench) -> WebBench:
    return WebBench(bench)
