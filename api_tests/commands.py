"""The command line's own answers, to hold the service's against."""

from __future__ import annotations

import json
import os
from functools import lru_cache
from pathlib import Path
from typing import Any

from forked import run_forked


@lru_cache
def answer(*arguments: str) -> Any:
    """Return what a command answers with ``--json``; the same question is asked once."""
    code, printed = run_forked([*arguments, "--json"], Path.cwd(), os.environ)
    assert code == 0, printed
    return json.loads(printed)
