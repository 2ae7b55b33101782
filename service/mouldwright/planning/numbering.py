"""How the units of one part of an order are numbered, those begun later to make good a loss too."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Numbering:
    """Numbers of pulls and parts within an order.

    A unit is a pull, or a part where there are no pulls; units are counted from 0. Those beyond
    the first ones have numbers of their own, so that no other part of a set is numbered anew.

    Attributes:
        cavities: Parts of one unit.
        units: Units begun when nothing was lost yet.
        first_pull: Number of unit 0; 0 where there are no pulls.
        first_part: Number of the first part of unit 0.
        further_pull: Number of the first unit beyond.
        further_part: Number of its first part.
        most_further: How many units beyond there are numbers for.
    """

    cavities: int
    units: int
    first_pull: int
    first_part: int
    further_pull: int = 0
    further_part: int = 0
    most_further: int = 0

    @property
    def has_pulls(self) -> bool:
        """Return whether a unit is a pull."""
        return self.first_pull > 0

    def pull(self, unit: int) -> int:
        """Return the number of a unit's pull."""
        if unit < self.units:
            return self.first_pull + unit
        return self.further_pull + unit - self.units

    def parts(self, unit: int) -> range:
        """Return the numbers of a unit's parts."""
        if unit < self.units:
            first = self.first_part + unit * self.cavities
        else:
            first = self.further_part + (unit - self.units) * self.cavities
        return range(first, first + self.cavities)

    def unit_of_pull(self, pull: int) -> int | None:
        """Return which unit a pull is; None where it is none of these."""
        if not self.has_pulls:
            return None
        if self.first_pull <= pull < self.first_pull + self.units:
            return pull - self.first_pull
        beyond = pull - self.further_pull
        return self.units + beyond if 0 <= beyond < self.most_further else None

    def place_of_part(self, part: int) -> tuple[int, int] | None:
        """Return the unit of a part and which of its parts it is; None where it is none."""
        at = part - self.first_part
        if 0 <= at < self.units * self.cavities:
            return divmod(at, self.cavities)
        unit, which = divmod(part - self.further_part, self.cavities)
        return (self.units + unit, which) if 0 <= unit < self.most_further else None
