"""Server-sent events, read from the lines of an answer (WHATWG HTML, "Server-sent events")."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One event.

    Attributes:
        kind: Its name, ``message`` where it has none.
        data: What it carries.
        id: By which the stream can be taken up after it; empty where it has none.
    """

    kind: str
    data: str
    id: str


def read_events(lines: Iterable[str]) -> Iterator[Event]:
    """Yield the events of a stream; one that is cut off halfway is left out.

    Args:
        lines: Without their ends.
    """
    kind, last_id = "", ""
    data: list[str] = []
    for line in lines:
        if not line:
            if data:
                yield Event(kind=kind or "message", data="\n".join(data), id=last_id)
            kind, data = "", []
            continue
        name, _, value = line.partition(":")
        value = value.removeprefix(" ")
        if name == "data":
            data.append(value)
        elif name == "event":
            kind = value
        elif name == "id" and "\0" not in value:
            last_id = value
