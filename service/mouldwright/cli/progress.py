"""A search watched from the terminal: where it stands, and Ctrl-C to take the best so far."""

from __future__ import annotations

import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from rich.console import Console
from rich.status import Status

from mouldwright.usecases.planned import Report


@dataclass(slots=True)
class Watch:
    """What a search tells and asks.

    Attributes:
        told: Shows where it stands.
        stopped: Whether the reader asked it to stop.
    """

    told: Callable[[Report], None]
    stopped: bool = field(default=False)


@dataclass(slots=True)
class Walk:
    """What going through a plan many times tells and asks.

    Attributes:
        gone_through: Shows how many runs are done, of how many.
        stopped: Whether the reader asked it to stop.
    """

    gone_through: Callable[[int, int], None]
    stopped: bool = field(default=False)


@contextmanager
def walked() -> Iterator[Walk]:
    """Show how far the runs are on a terminal's error stream; Ctrl-C leaves the odds out.

    Where the error stream is no terminal, nothing is shown.
    """
    out = Console(stderr=True)
    if not sys.stderr.isatty():
        yield Walk(gone_through=lambda done, of: None)
        return
    with Status("going through the plan", console=out) as status:
        walk = Walk(
            gone_through=lambda done, of: status.update(
                f"going through the plan: {done} of {of} times (Ctrl-C leaves the odds out)"
            )
        )
        before = signal.signal(signal.SIGINT, lambda *_: setattr(walk, "stopped", True))
        try:
            yield walk
        finally:
            signal.signal(signal.SIGINT, before)


@contextmanager
def watched() -> Iterator[Watch]:
    """Show progress on a terminal's error stream; the first Ctrl-C keeps the best plan so far.

    Where the error stream is no terminal, nothing is shown.
    """
    out = Console(stderr=True)
    if not sys.stderr.isatty():
        yield Watch(told=lambda report: None)
        return
    with Status("planning", console=out) as status:
        watch = Watch(told=lambda report: status.update(_line(report)))
        before = signal.signal(signal.SIGINT, lambda *_: setattr(watch, "stopped", True))
        try:
            yield watch
        finally:
            signal.signal(signal.SIGINT, before)


def _line(report: Report) -> str:
    late, finish, *_ = report.best
    value = f"{late / 60:.0f} weighted hours late" if late else f"ready in {finish / 60:.1f} h"
    gap = "" if report.gap is None else f", within {report.gap * 100:.2f} % of the best possible"
    return f"plan {report.tries}: {value}{gap}; trying {report.trying} (Ctrl-C takes this one)"
