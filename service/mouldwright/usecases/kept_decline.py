"""What someone declined of what the log teaches."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

# Declined once, a change is shown again when it rests on so many times the evidence.
AGAIN_AT = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Declined:
    """A learnt change that someone left.

    Attributes:
        key: Of the change.
        evidence: What it rested on then.
        by: Who declined it: the label of a token.
    """

    key: str
    evidence: int
    declined_at: datetime
    by: str

    def holds_for(self, evidence: int) -> bool:
        """Return whether a change that rests on so much by now is still declined."""
        return evidence < AGAIN_AT * self.evidence
