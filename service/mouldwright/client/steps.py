"""What has to be done to ask the service, step by step, whoever does it and however they wait.

A verb is a generator of these steps. It is written once; a connection that waits in turn and one
that waits beside other work each do the same steps, and send back into it what came of them.
"""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from mouldwright.client.call import Call

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Send:
    """Ask; the whole answer comes back, or the ``httpx.TransportError`` that lost it."""

    call: Call


@dataclass(frozen=True, slots=True)
class Open:
    """Ask for an answer that is read line by line; it comes back as it begins."""

    call: Call


@dataclass(frozen=True, slots=True)
class Line:
    """Read the next line of what was opened; None comes back at its end."""


@dataclass(frozen=True, slots=True)
class Close:
    """Let go of what was opened."""


@dataclass(frozen=True, slots=True)
class Wait:
    """Wait so many seconds."""

    seconds: float


@dataclass(frozen=True, slots=True)
class Tell(Generic[T]):
    """Hand this to whoever asked, before it goes on."""

    value: T


@dataclass(frozen=True, slots=True)
class Ended(Generic[T]):
    """All is done, and this came of it."""

    value: T


Step = Send | Open | Line | Close | Wait
# What one answer takes, and what one answer after another takes.
Steps = Generator[Step | Tell[Any], Any, T]
Tells = Generator[Step | Tell[T], Any, None]


def next_step(
    steps: Steps[T], reply: object, lost: Exception | None
) -> Step | Tell[Any] | Ended[T]:
    """Return what is to be done next, after what came of the step before.

    Args:
        steps: Those of one verb.
        reply: What came back; None to begin with.
        lost: What went wrong instead; None where nothing did.
    """
    try:
        return steps.send(reply) if lost is None else steps.throw(lost)
    except StopIteration as end:
        return Ended(end.value)
