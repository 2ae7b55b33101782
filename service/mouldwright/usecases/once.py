"""Doing a thing once however often it is asked.

The reply is kept in the same unit of work as what was made: either both are there or
neither is, whenever the power fails. A second request waits for the first unit and then
finds its reply.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import datetime
from typing import Protocol, TypeVar

from mouldwright.usecases.kept import Asked, Reply
from mouldwright.usecases.ports import Replies, Units


class Unit(Protocol):
    """A unit of work that keeps replies."""

    @property
    def replies(self) -> Replies:
        """Return the replies kept."""
        ...

    def commit(self) -> None:
        """Let what was changed hold."""
        ...


U = TypeVar("U", bound=Unit)


def once(
    unit: AbstractContextManager[U],
    asked: Asked,
    work: Callable[[U], Reply],
    *,
    now: datetime,
    kept: Callable[[Reply], Reply] = lambda reply: reply,
) -> Reply:
    """Do the work and keep its reply, or give the reply kept before.

    Args:
        unit: A unit of work that writes, not yet entered.
        asked: Who asks, with which key, for what.
        work: Changes what is to be changed and returns the reply; commits nothing itself.
            What is slow (pricing, planning, drawing) is done before and closed over.
        now: Zone-aware.
        kept: What of the reply may be kept, where it holds a secret.

    Raises:
        KeyReused: if the key was used for something else.
    """
    with unit as open_unit:
        before = open_unit.replies.find(asked)
        if before is not None:
            return before
        reply = work(open_unit)
        open_unit.replies.keep(asked, kept(reply), now)
        open_unit.commit()
    return reply


def reply_before(units: Units, shop: str, asked: Asked) -> Reply | None:
    """Return the reply kept before, so that slow work need not be done for nothing.

    Raises:
        KeyReused: if the key was used for something else.
    """
    with units.read(shop) as unit:
        return unit.replies.find(asked)
