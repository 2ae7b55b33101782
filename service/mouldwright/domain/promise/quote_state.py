"""Where a quote stands, and which way it may go from there.

::

    draft ──> sent ──> accepted ──> superseded
      │        ├─────> declined
      │        ├─────> lapsed
      └────────┴─────> superseded
"""

from __future__ import annotations

from datetime import date
from typing import Literal

from mouldwright.domain.errors import Conflict

QuoteState = Literal["draft", "sent", "accepted", "declined", "lapsed", "superseded"]

_NEXT: dict[QuoteState, tuple[QuoteState, ...]] = {
    "draft": ("sent", "superseded"),
    "sent": ("accepted", "declined", "lapsed", "superseded"),
    "accepted": ("superseded",),
    "declined": (),
    "lapsed": (),
    "superseded": (),
}
_VERB: dict[QuoteState, str] = {
    "draft": "made a draft",
    "sent": "sent",
    "accepted": "accepted",
    "declined": "declined",
    "lapsed": "let lapse",
    "superseded": "superseded",
}
_REMEDY: dict[QuoteState, str] = {
    "draft": "Send it first.",
    "sent": "It is with the customer: accept it, decline it, or make a new revision.",
    "accepted": "It is booked: change or cancel the order, or make a new revision.",
    "declined": "Make a new revision and send that.",
    "lapsed": "Make a new revision at today's prices and send that.",
    "superseded": "Look at the newest revision.",
}


def move(state: QuoteState, to: QuoteState, *, name: str) -> QuoteState:
    """Return the state a quote goes to.

    Args:
        state: Where it stands.
        to: Where it should go.
        name: The quote and its revision, for the message.

    Raises:
        Conflict: if there is no way from the one to the other.
    """
    if to not in _NEXT[state]:
        stands = "with the customer" if state == "sent" else state
        raise Conflict(
            f"{name} is {stands} and cannot be {_VERB[to]}.", remedy=_REMEDY[state], stands=state
        )
    return to


def is_past(valid_until: date, today: date) -> bool:
    """Return whether a quote no longer stands; on its last day it does."""
    return today > valid_until
