"""One change of what is kept, and who made it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

Verb = Literal["added", "changed", "removed", "erased"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Actor:
    """Who asks for a change.

    Attributes:
        token: Id of the token, or "link" and the id of a customer's link; empty for the
            service's own doings.
        label: Whose that is, in words, as of then.
        role: How far it reached; empty where there is none.
        request: Id of the request, as answers and the log of requests have it; empty where
            none was made.
    """

    token: str = ""
    label: str
    role: str = ""
    request: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """One value of a thing before and after; None where there was or is none."""

    what: str
    before: str | None
    after: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditEntry:
    """One change.

    Attributes:
        number: From 1 for each shop, without a gap.
        thing: What kind of thing it is, in the trade's words.
        key: Which one.
        changes: Values before and after, the first 20 of them.
        left_out: How many more there were.
    """

    number: int
    at: datetime
    actor: Actor
    verb: Verb
    thing: str
    key: str
    changes: tuple[Changed, ...] = ()
    left_out: int = 0
