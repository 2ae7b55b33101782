"""Which values of which rows are told when they change; every table stands in one list here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from mouldwright.store.tables import (
    AuditRow,
    BookingRow,
    CounterRow,
    DeclinedRow,
    FeedRow,
    KeptReplyRow,
    LogAboutRow,
    LogEntryRow,
    PinRow,
    PlanRow,
    QuoteLinkRow,
    QuoteRevisionRow,
    QuoteRow,
    RunRow,
    ShopRow,
    ShopVersionRow,
    SignInRow,
    TokenRow,
    ToldEventsRow,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """How a row is told.

    Attributes:
        thing: What it is.
        key: Which one, from the row.
        shown: The columns whose values are told. None names a customer, nor holds a secret or
            free text in which one may stand.
    """

    thing: str
    key: Callable[[Any], str]
    shown: tuple[str, ...] = ()


TOLD: dict[type[object], Told] = {
    # Its values are the differences between two documents.
    ShopVersionRow: Told(thing="shop", key=lambda row: f"version {row.version}"),
    TokenRow: Told(
        thing="token",
        key=lambda row: row.id,
        shown=("label", "role", "expires_at", "revoked_at"),
    ),
    SignInRow: Told(thing="sign-in link", key=lambda row: "", shown=("role", "expires_at")),
    QuoteRevisionRow: Told(
        thing="quote",
        key=lambda row: f"{row.number} revision {row.revision}",
        shown=(
            *("state", "part", "process", "quantity", "currency", "price_each", "net"),
            *("due", "valid_until"),
        ),
    ),
    BookingRow: Told(
        thing="order",
        key=lambda row: row.number,
        shown=(
            *("state", "revision", "part", "process", "quantity", "due", "weight", "release"),
            *("starts", "begun"),
        ),
    ),
    QuoteLinkRow: Told(
        thing="link to a quote",
        key=lambda row: f"{row.id} to quote {row.quote}",
        shown=("may_answer", "expires_at", "revoked_at", "answer"),
    ),
    FeedRow: Told(
        thing="feed",
        key=lambda row: row.id,
        shown=("kind", "about", "key", "revoked_at"),
    ),
    PinRow: Told(thing="pin", key=lambda row: row.id, shown=("binds",)),
    DeclinedRow: Told(thing="learnt change left", key=lambda row: row.key, shown=("evidence",)),
    RunRow: Told(
        thing="run",
        key=lambda row: row.id,
        shown=("subject", "publishes", "cancel_asked", "state"),
    ),
    PlanRow: Told(thing="plan", key=lambda row: f"version {row.version}", shown=("run",)),
    LogEntryRow: Told(
        thing="log entry", key=lambda row: str(row.number), shown=("what", "takes_back")
    ),
}

# Not told by themselves, and why.
UNTOLD: dict[type[object], str] = {
    AuditRow: "it is what tells",
    ShopRow: "its versions are told",
    QuoteRow: "its revisions are told",
    LogAboutRow: "its entry is told",
    CounterRow: "numbers are drawn with what they number",
    KeptReplyRow: "what was replied was told as what was made",
    ToldEventsRow: "worked out anew from the plan",
}

# Keys of a shop's document below which a change is told without its values.
HIDDEN = frozenset({"customer", "note", "notes"})
# The log is kept entry by entry.
APART = frozenset({"log"})
