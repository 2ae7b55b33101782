"""Server-sent events, read from the lines of an answer (WHATWG HTML, "Server-sent events")."""

from __future__ import annotations

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


class EventReader:
    """Puts the events of a stream together; one that is cut off halfway is left out."""

    def __init__(self) -> None:
        """Begin before the first line."""
        self._kind, self._last_id = "", ""
        self._data: list[str] = []

    def take(self, line: str) -> Event | None:
        """Take the next line, without its end; return the event that it completes, if any."""
        if not line:
            kind, data = self._kind, self._data
            self._kind, self._data = "", []
            if not data:
                return None
            return Event(kind=kind or "message", data="\n".join(data), id=self._last_id)
        name, _, value = line.partition(":")
        value = value.removeprefix(" ")
        if name == "data":
            self._data.append(value)
        elif name == "event":
            self._kind = value
        elif name == "id" and "\0" not in value:
            self._last_id = value
        return None
