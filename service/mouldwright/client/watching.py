"""Watching a run: told by the service as it happens, or asked for where that cannot be had."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic import ValidationError

from mouldwright.client.connection import Call, Connection
from mouldwright.client.errors import NoAnswer, Refused
from mouldwright.client.events import read_events
from mouldwright.client.kept import Kept
from mouldwright.wire.service.run import RunAnswer

_STREAM = "text/event-stream"
_UNDER_WAY = ("waiting", "running")
# Asking again would be answered alike.
_FINAL = (401, 403, 404)


class Watch:
    """One run, from where it stands to its end."""

    def __init__(self, connection: Connection, path: str, *, every_s: float) -> None:
        """Keep which run, and the wait between two questions where it must be asked for."""
        self._connection, self._path, self._every_s = connection, path, every_s
        self._last: RunAnswer | None = None
        self._last_id = ""

    def __iter__(self) -> Iterator[RunAnswer]:
        """Yield the run each time something happened to it, and last as it ended.

        Raises:
            Refused: if there is no such run, or it may not be seen.
            NoAnswer: if the service is gone.
        """
        broken_off = 0
        while not self._ended and broken_off < self._connection.attempts:
            seen = self._last
            yield from self._told()
            if self._last is seen:
                # Nothing was told this time: whatever stands between lets no events through.
                break
            broken_off += 1
        yield from self._asked()

    @property
    def _ended(self) -> bool:
        return self._last is not None and self._last.state not in _UNDER_WAY

    def _told(self) -> Iterator[RunAnswer]:
        headers = {"Accept": _STREAM}
        if self._last_id:
            headers["Last-Event-ID"] = self._last_id
        call = Call(method="GET", path=f"{self._path}/events", headers=headers)
        try:
            with self._connection.stream(call) as found:
                if not found.headers.get("content-type", "").startswith(_STREAM):
                    return
                for event in read_events(found.iter_lines()):
                    self._last_id = event.id
                    try:
                        run = RunAnswer.model_validate_json(event.data)
                    except ValidationError:  # an event of another kind
                        continue
                    if self._is_news(run):
                        yield run
                    if self._ended:
                        return
        except NoAnswer:
            return
        except Refused as refused:
            if refused.status in _FINAL:
                raise

    def _asked(self) -> Iterator[RunAnswer]:
        call = Call(method="GET", path=self._path)
        known: Kept[RunAnswer] | None = None
        while not self._ended:
            known = self._connection.read_anew(call, RunAnswer, known)
            if self._is_news(known.value):
                yield known.value
            if not self._ended:
                self._connection.wait(self._every_s)

    def _is_news(self, run: RunAnswer) -> bool:
        news = run != self._last
        if news:
            self._last = run
        return news
