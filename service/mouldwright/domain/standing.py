"""Where each process stands, and which one wins under an aim."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

Aim = Literal["recommended", "cheapest", "soonest", "stiffest", "lightest"]
AIMS: tuple[Aim, ...] = ("recommended", "cheapest", "soonest", "stiffest", "lightest")


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What one process is judged by.

    Attributes:
        passes: Whether the part can be made so and meets what is asked of it.
        cost_each: Exact money for one good part; None where it is unknown.
        finish: Minute the last part is ready; None where that is not said.
        deflection_mm: Under the asked load; None where none is asked.
        mass_g: Of the finished part.
    """

    process: str
    passes: bool
    cost_each: Fraction | None
    finish: int | None
    deflection_mm: float | None
    mass_g: float | None

    def measure(self, aim: Aim) -> Fraction | float | None:
        """Return what is least in the best under an aim."""
        if aim == "soonest":
            return self.finish
        if aim == "stiffest":
            return self.deflection_mm
        return self.mass_g if aim == "lightest" else self.cost_each

    def is_in_time(self, by: int | None) -> bool:
        """Return whether it is ready by that minute; None is any time."""
        return by is None or (self.finish is not None and self.finish <= by)


def best_under(standings: Sequence[Standing], aim: Aim, *, by: int | None = None) -> str | None:
    """Return the process that wins, the first of equals; None where none can.

    Recommended is the cheapest of those that pass and are ready in time; where none is ready
    in time, the soonest of those that pass and have a known cost; where none of them has a date,
    the cheapest of them. Under every other aim dates do not count.
    """
    passing = [standing for standing in standings if standing.passes]
    if aim == "recommended":
        passing = [standing for standing in passing if standing.cost_each is not None]
        in_time = [standing for standing in passing if standing.is_in_time(by)]
        dated = [(s.finish, s.process) for s in passing if s.finish is not None]
        if dated and not in_time:
            soonest, _ = min(dated, key=lambda each: each[0])
            return next(process for finish, process in dated if finish == soonest)
        passing = in_time or passing
    known = [(m, s.process) for s in passing if (m := s.measure(aim)) is not None]
    if not known:
        return None
    least = min(measure for measure, _ in known)
    return next(process for measure, process in known if measure == least)
