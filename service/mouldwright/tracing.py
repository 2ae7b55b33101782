"""What a request, a run or a statement took, told to whoever listens, and which belong together.

Off unless somebody listens. Who asks may send a ``traceparent`` (W3C Trace Context); a request goes
on under it, a run under the request that asked for it, in whichever process takes it up, and each
line of the log that belongs to one of them names it.
"""

from __future__ import annotations

import importlib
import logging
import re
import secrets
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from datetime import UTC, datetime

LOG = "log"
# W3C Trace Context, section 3.2: version, trace, parent, flags; more may follow in a later version.
_TRACEPARENT = re.compile(r"([0-9a-f]{2})-([0-9a-f]{32})-([0-9a-f]{16})-([0-9a-f]{2})(-.*)?")
_NO_VERSION, _FIRST_VERSION = "ff", "00"
_log = logging.getLogger("mouldwright.spans")


@dataclass(frozen=True, slots=True)
class Place:
    """Where in a trace something stands.

    Attributes:
        trace: 32 hexadecimal digits, the same for all that belongs together.
        span: 16 of them, of this one thing.
        flags: As they were sent; the last bit says that somebody keeps the trace.
    """

    trace: str
    span: str
    flags: str = "01"

    @property
    def traceparent(self) -> str:
        """Return it as it is sent."""
        return f"{_FIRST_VERSION}-{self.trace}-{self.span}-{self.flags}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Something that was done and took its time.

    Attributes:
        what: "request", "run" or "statement".
        parent: The span it belongs to; empty where it is the first of its trace.
        began: Zone-aware.
        facts: What is known of it; never a name of a customer, a secret or a value of a statement.
        error: The kind of error it ended in, empty where it ended in none.
    """

    what: str
    at: Place
    parent: str
    began: datetime
    seconds: float
    facts: Mapping[str, object] = field(default_factory=dict)
    error: str = ""


Hook = Callable[[Span], object]
_hooks: list[Hook] = []
_here: ContextVar[Place | None] = ContextVar("place in a trace", default=None)


def read_traceparent(text: str) -> Place | None:
    """Return the place that was sent; None where it is none, which begins a trace anew."""
    found = _TRACEPARENT.fullmatch(text)
    if found is None:
        return None
    version, trace, span, flags, more = found.groups()
    if version == _NO_VERSION or (version == _FIRST_VERSION and more):
        return None
    if not trace.strip("0") or not span.strip("0"):
        return None
    return Place(trace, span, flags)


def listen(hook: Hook) -> Callable[[], None]:
    """Tell a hook of every span that ends from now on; return what ends that."""
    _hooks.append(hook)
    return lambda: _hooks.remove(hook)


def is_on() -> bool:
    """Return whether anybody listens."""
    return bool(_hooks)


def here() -> Place | None:
    """Return where in a trace this thread or task is now."""
    return _here.get()


def begin(setting: str) -> None:
    """Let whoever the setting names listen.

    Args:
        setting: Empty for nobody; "log" for the log; else ``module:function`` of a hook.

    Raises:
        ValueError: if there is no such hook.
    """
    if not setting:
        return
    if setting == LOG:
        listen(into_log)
        return
    module, _, name = setting.partition(":")
    try:
        hook = getattr(importlib.import_module(module), name)
    except (ImportError, AttributeError, ValueError) as error:
        raise ValueError(
            f'TRACING = "{setting}": {error}. Write log, or module:function of a hook.'
        ) from error
    listen(hook)


@contextmanager
def span(what: str, *, under: str = "", **facts: object) -> Iterator[dict[str, object]]:
    """Be a span for as long as the block lasts; does nothing where nobody listens.

    Args:
        what: Kind of span.
        under: The ``traceparent`` it goes on under; else it begins a trace.
        facts: What is known of it; the block may add to what it is given.
    """
    if not _hooks:
        yield facts
        return
    parent = read_traceparent(under)
    at = Place(
        parent.trace if parent else secrets.token_hex(16),
        secrets.token_hex(8),
        parent.flags if parent else "01",
    )
    before, began, error = _here.set(at), time.perf_counter(), ""
    try:
        yield facts
    except BaseException as broke:
        error = type(broke).__name__
        raise
    finally:
        _here.reset(before)
        seconds = time.perf_counter() - began
        _tell(what, at, parent.span if parent else "", seconds, facts, error)


def note(what: str, seconds: float, **facts: object) -> None:
    """Tell of something that has just ended within what is under way; else of nothing."""
    within = _here.get()
    if within is not None and _hooks:
        at = Place(within.trace, secrets.token_hex(8), within.flags)
        _tell(what, at, within.span, seconds, facts, "")


def into_log(ended: Span) -> None:
    """Write a span down as a line of the log."""
    facts = {
        "trace": ended.at.trace,
        "span": ended.at.span,
        "parent": ended.parent or None,
        "what": ended.what,
        "began": ended.began.isoformat(timespec="milliseconds"),
        "ms": round(ended.seconds * 1000, 1),
        **({"error": ended.error} if ended.error else {}),
        **ended.facts,
    }
    _log.info("span", extra={"facts": facts})


def _tell(
    what: str, at: Place, parent: str, seconds: float, facts: Mapping[str, object], error: str
) -> None:
    began = datetime.fromtimestamp(time.time() - seconds, UTC)
    ended = Span(
        what=what, at=at, parent=parent, began=began, seconds=seconds, facts=facts, error=error
    )
    for hook in tuple(_hooks):
        try:
            hook(ended)
        except Exception as broke:  # who only listens must not break what is done
            _log.warning("a hook failed", exc_info=broke)
