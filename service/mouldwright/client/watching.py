"""Watching a run: told by the service as it happens, or asked for where that cannot be had."""

from __future__ import annotations

from pydantic import ValidationError

from mouldwright.client.asking import Asking
from mouldwright.client.call import Call
from mouldwright.client.errors import NoAnswer, Refused
from mouldwright.client.events import EventReader
from mouldwright.client.kept import Kept
from mouldwright.client.steps import Close, Tell, Tells, Wait
from mouldwright.wire.service.run import RunAnswer

_STREAM = "text/event-stream"
_UNDER_WAY = ("waiting", "running")
# Asking again would be answered alike.
_FINAL = (401, 403, 404)


class Watch:
    """One run, from where it stands to its end."""

    def __init__(self, asking: Asking, path: str, *, every_s: float) -> None:
        """Keep which run, and the wait between two questions where it must be asked for."""
        self._asking, self._path, self._every_s = asking, path, every_s
        self._last: RunAnswer | None = None
        self._last_id = ""

    @property
    def last(self) -> RunAnswer:
        """Return the run as it was last told."""
        assert self._last is not None, "nothing was told yet"
        return self._last

    def told(self) -> Tells[RunAnswer]:
        """Tell of the run each time something happened to it, and last as it ended.

        Raises:
            Refused: if there is no such run, or it may not be seen.
            NoAnswer: if the service is gone.
        """
        broken_off = 0
        while not self._ended and broken_off < self._asking.attempts:
            seen = self._last
            yield from self._from_events()
            yield Close()
            if self._last is seen:
                # Nothing was told this time: whatever stands between lets no events through.
                break
            broken_off += 1
        yield from self._from_asking()

    @property
    def _ended(self) -> bool:
        return self._last is not None and self._last.state not in _UNDER_WAY

    def _from_events(self) -> Tells[RunAnswer]:
        headers = {"Accept": _STREAM}
        if self._last_id:
            headers["Last-Event-ID"] = self._last_id
        call = Call(method="GET", path=f"{self._path}/events", headers=headers)
        reader = EventReader()
        try:
            found = yield from self._asking.open(call)
            if not found.headers.get("content-type", "").startswith(_STREAM):
                return
            while (line := (yield from self._asking.line())) is not None:
                event = reader.take(line)
                if event is None:
                    continue
                self._last_id = event.id
                try:
                    run = RunAnswer.model_validate_json(event.data)
                except ValidationError:  # an event of another kind
                    continue
                if self._is_news(run):
                    yield Tell(run)
                if self._ended:
                    return
        except NoAnswer:
            return
        except Refused as refused:
            if refused.status in _FINAL:
                raise

    def _from_asking(self) -> Tells[RunAnswer]:
        call = Call(method="GET", path=self._path)
        known: Kept[RunAnswer] | None = None
        while not self._ended:
            known = yield from self._asking.read_anew(call, RunAnswer, known)
            if self._is_news(known.value):
                yield Tell(known.value)
            if not self._ended:
                yield Wait(self._every_s)

    def _is_news(self, run: RunAnswer) -> bool:
        news = run != self._last
        if news:
            self._last = run
        return news
