"""The command line's own answers, to hold the service's against."""

from __future__ import annotations

import json
import subprocess
import sys
from functools import lru_cache
from typing import Any


@lru_cache
def answer(*arguments: str) -> Any:
    """Return what a command answers with ``--json``; the same question is asked once."""
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            "from mouldwright.cli.main import run; run()",
            *arguments,
            "--json",
        ],
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return json.loads(done.stdout)
