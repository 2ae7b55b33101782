"""Months kept in a file, one a line, so that a long row of them can be stopped and gone on with."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path

from .live import Month, Promise


def read_months(path: Path) -> dict[int, Month]:
    """Return the months of a file by their seeds; none where there is no file yet."""
    if not path.exists():
        return {}
    found = {}
    for line in path.read_text(encoding="utf-8").splitlines():
        of = json.loads(line)
        seed = of.pop("seed")
        promises = [Promise(**promise) for promise in of.pop("promises")]
        found[seed] = Month(promises=promises, **of)
    return found


def keep_month(path: Path, seed: int, month: Month) -> None:
    """Write a month under those of a file."""
    with path.open("a", encoding="utf-8") as file:
        file.write(json.dumps({"seed": seed} | asdict(month)) + "\n")
