"""A customer's link to one quote, as it is kept."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

CustomersAnswer = Literal["accepted", "declined"]


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteLink:
    """A link that opens one quote of one shop and nothing else, without its secret.

    Attributes:
        quote: Number of the quote.
        may_answer: Whether whoever holds it may accept or decline.
        made_by: Id of the token that made it.
        revoked_at: When it was withdrawn, None while it was not.
        answer: What was answered by it last; None where nothing was.
        answered_at: When that was.
    """

    id: str
    shop: str
    quote: int
    may_answer: bool
    made_by: str
    made_at: datetime
    expires_at: datetime
    revoked_at: datetime | None = None
    answer: CustomersAnswer | None = None
    answered_at: datetime | None = None

    def holds(self, now: datetime) -> bool:
        """Return whether it opens anything now."""
        return self.revoked_at is None and now < self.expires_at
