"""How often, and how soon, the service is asked again."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Retry:
    """A wait that doubles, drawn at random up to its height, so that many do not come at once.

    Attributes:
        attempts: How often it is asked in all; 1 for never again.
        first_s: Height of the first wait, seconds.
        longest_s: No wait is longer, whatever the service asks for.
    """

    attempts: int = 6
    first_s: float = 0.1
    longest_s: float = 5.0

    def __post_init__(self) -> None:
        """Refuse what cannot be meant. Raises ValueError."""
        if self.attempts < 1:
            raise ValueError(f"attempts = {self.attempts}: ask at least once.")
        if not 0 <= self.first_s <= self.longest_s:
            raise ValueError(
                f"first_s = {self.first_s}: give 0 or more, and at most longest_s "
                f"({self.longest_s})."
            )

    def wait_s(self, tried: int, *, drawn: float, told_s: float | None = None) -> float:
        """Return the wait before the next attempt, seconds.

        Args:
            tried: Attempts made so far, from 1.
            drawn: From 0 to 1.
            told_s: What the service asked to wait; None where it said nothing.
        """
        # Beyond the thousandth attempt a double no longer holds the power; long before it the wait
        # is the longest.
        height = min(self.longest_s, self.first_s * 2.0 ** min(tried - 1, 1_000))
        if told_s is not None:
            return min(self.longest_s, max(0.0, told_s) + drawn * self.first_s)
        return height * drawn
