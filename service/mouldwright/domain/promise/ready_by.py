"""When an order would be ready: the minute to promise, and how likely it is kept."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.promise.finish_odds import OrderOdds


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyBy:
    """A date that may be promised.

    Attributes:
        finish: Minute since the epoch.
        odds: What many runs of the plan showed; None for a date by the rate alone, where
            nothing but the number of good parts is left to chance.
    """

    finish: int
    odds: OrderOdds | None = None

    @property
    def chance(self) -> float | None:
        """Return the chance of being ready by then; None for a date by the rate alone."""
        if self.odds is None:
            return None
        return self.odds.promised_chance if self.odds.promised == self.finish else None

    @classmethod
    def by(cls, odds: OrderOdds) -> ReadyBy:
        """Return the date that odds allow to be promised.

        Where that lies beyond all hours laid out, the plan's own date without a chance.
        """
        return cls(finish=odds.planned if odds.promised is None else odds.promised, odds=odds)
