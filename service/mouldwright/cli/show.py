"""How answers look in a terminal: one width, plain rules, figures to the right."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import Any

from pydantic import BaseModel
from rich import box
from rich.console import Console
from rich.table import Table
from rich.text import Text

from mouldwright.domain.shown import fitted, lasting


def console() -> Console:
    """Return the console every command prints on; long lines wrap at words."""
    return Console(highlight=False, soft_wrap=False, emoji=False, markup=False)


def print_json(answer: BaseModel) -> None:
    """Print an answer as JSON on standard output."""
    sys.stdout.write(answer.model_dump_json(indent=2) + "\n")


def heading(out: Console, text: str) -> None:
    """Print a heading with a blank line before it."""
    out.print()
    out.print(Text(text, style="bold"))


def table(
    columns: Sequence[tuple[str, str]], rows: Sequence[Sequence[Any]], *, total: bool = False
) -> Table:
    """Return a table: heavy rules over and under, no frame.

    Args:
        columns: Heading and "left" or "right" for each.
        rows: Cells; None is shown as a dash.
        total: Whether the last row is a sum, set off by a rule.
    """
    made = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False, header_style="bold")
    for name, side in columns:
        made.add_column(
            name,
            justify="right" if side == "right" else "left",
            no_wrap=side == "right",
            overflow="fold",
        )
    for index, row in enumerate(rows):
        last = total and index == len(rows) - 2
        made.add_row(*[_cell(cell) for cell in row], end_section=last)
    return made


def _cell(value: Any) -> Text:
    return value if isinstance(value, Text) else Text("–" if value is None else str(value))


def figure(value: float | None, decimals: int = 1) -> str | None:
    """Return a figure with fixed decimals, None where there is none."""
    return None if value is None else f"{value:,.{decimals}f}"


def measure(value: float | None) -> str | None:
    """Return a measure with the decimals its size asks for, None where there is none."""
    return None if value is None else fitted(value)


def span(minutes: int) -> str | None:
    """Return minutes as a length of time; None for none."""
    return lasting(minutes) if minutes else None


def when(iso: str | None) -> str | None:
    """Return an ISO instant as weekday, date and time: "Fri 19 Mar 14:05"."""
    from datetime import datetime

    if iso is None:
        return None
    at = datetime.fromisoformat(iso)
    return f"{at:%a} {at.day} {at:%b} {at:%H:%M}"
