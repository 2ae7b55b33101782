from __future__ import annotations

import pytest
from promise_bench import promise_bench


@pytest.fixture
def bench(tmp_path):
    return promise_bench(tmp_path)
