"""A post-cure: heated slowly, held, and cooled again."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.quantity import exact, whole_up

SUPPORT = (
    "Support the part while it is hot and let it cool before handling; "
    "the maker's sheet says how warm for how long."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Heat:
    """The recipe of a post-cure.

    Attributes:
        hold_c: Temperature held.
        hold_min: For so long.
        ramp_c_per_h: How fast it is heated.
        from_c: Temperature it begins and ends at.
        cool_c_per_h: How fast it is cooled; None as fast as it is heated.
    """

    hold_c: Decimal
    hold_min: Decimal
    ramp_c_per_h: Decimal
    from_c: Decimal = Decimal(20)
    cool_c_per_h: Decimal | None = None

    def __post_init__(self) -> None:
        """Raise ValueError where it is not hotter than it begins, or never gets there."""
        cool = self.ramp_c_per_h if self.cool_c_per_h is None else self.cool_c_per_h
        if self.hold_c <= self.from_c:
            raise ValueError("a post-cure is hotter than it begins")
        if self.ramp_c_per_h <= 0 or cool <= 0:
            raise ValueError("a post-cure is heated and cooled at some rate")

    @property
    def minutes(self) -> int:
        """Return whole minutes from cold to cold, rounded up.

        16 h at 50 °C from 20 °C at 10 °C/h are 3 h up, 16 h and 3 h down: 1320 min.
        """
        rise = exact(self.hold_c) - exact(self.from_c)
        cool = exact(self.cool_c_per_h or self.ramp_c_per_h)
        up, down = rise / exact(self.ramp_c_per_h), rise / cool
        return whole_up(60 * Fraction(up + down) + exact(self.hold_min))
