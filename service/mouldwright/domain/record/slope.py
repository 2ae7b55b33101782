"""The slope of a bench test: how far the part gives way for each newton, and how surely.

A straight line is laid through the readings by least squares, deflection over load, the loads
taken as exact. Where the line begins is left free, so that a part that settles into its seat
does not count as soft. Its standard error is s / √Σ(F - F̄)², s² = Σr² / (n - 2) (any text on
statistics). What the fixture gives way is then taken off.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from mouldwright.domain.record.bench_test import GRAVITY_M_S2, Reading

LEAST_LOADS = 3
# A reading further than this from the line, as a share of the range of deflections, is not
# dial and friction any more: the part yields, slips or settles. Common practice, no source.
MOST_OFF_LINE = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Slope:
    """A straight line through the readings of one test.

    Attributes:
        mm_per_n: Of the part alone, what the fixture gives way taken off.
        mm_per_n_error: Its standard uncertainty; None with two readings, which no line misses.
        begins_at_mm: Deflection at no load by the line, after the dial's zero is taken off.
        off_line_mm: Of each reading from the line, in the readings' order.
        most_off_line_mm: The most that is let pass.
        refused: Why the readings cannot be used, with what to do; empty where they can.
    """

    mm_per_n: float
    mm_per_n_error: float | None
    begins_at_mm: float
    off_line_mm: tuple[float, ...]
    most_off_line_mm: float
    refused: tuple[str, ...] = ()

    @property
    def stiffness_n_per_mm(self) -> float:
        """Return newtons for each millimetre."""
        return 1 / self.mm_per_n

    @property
    def stiffness_error_n_per_mm(self) -> float | None:
        """Return the standard uncertainty of the stiffness, to first order."""
        return None if self.mm_per_n_error is None else self.mm_per_n_error / self.mm_per_n**2


def slope_of(
    readings: Sequence[Reading],
    *,
    zero_mm: float,
    fixture_mm_per_n: float,
    dial_step_mm: float,
    loads_in: Literal["N", "kg"] = "N",
) -> Slope:
    """Return the line through readings, and why it cannot be used where it cannot.

    Args:
        readings: Loads in newtons, and what the dial showed.
        zero_mm: What the dial showed with no load.
        fixture_mm_per_n: What the fixture itself gives way.
        dial_step_mm: The smallest step of the dial.
        loads_in: What the loads were noted in, to speak of them so.
    """
    load = np.array([reading.load_n for reading in readings])
    dial = np.array([reading.deflection_mm for reading in readings]) - zero_mm
    if len(np.unique(load)) < LEAST_LOADS:
        return _none(
            readings,
            f"{LEAST_LOADS} different loads are the fewest that show whether it bends in "
            f"proportion: add readings.",
        )
    spread = load - load.mean()
    whole = float((spread**2).sum())
    both = float((spread * dial).sum() / whole)
    begins = float(dial.mean() - both * load.mean())
    off = dial - begins - both * load
    error = math.sqrt(float((off**2).sum()) / (len(load) - 2) / whole)
    most = max(MOST_OFF_LINE * float(np.ptp(dial)), dial_step_mm)
    own = both - fixture_mm_per_n
    refused = []
    if both <= 0:
        refused.append("it does not bend with the load: look at the signs of the readings.")
    elif own <= 0:
        refused.append(
            "the fixture gives way as much as all that was read: measure the fixture again."
        )
    worst = int(np.abs(off).argmax())
    if abs(off[worst]) > most:
        refused.append(
            f"it does not bend in proportion: under {said_load(load[worst], loads_in)} it is "
            f"{abs(off[worst]):.2f} mm off the line and {most:.2f} mm "
            f"({MOST_OFF_LINE * 100:g} % of the range, or one step of the dial) are let pass. "
            f"Look for a seat that slips or a part that yields, and test it again."
        )
    return Slope(
        mm_per_n=own,
        mm_per_n_error=error,
        begins_at_mm=begins,
        off_line_mm=tuple(float(each) for each in off),
        most_off_line_mm=most,
        refused=tuple(refused),
    )


def said_load(newtons: float, loads_in: Literal["N", "kg"]) -> str:
    """Return a load in the unit it was noted in."""
    if loads_in == "kg":
        return f"{newtons / GRAVITY_M_S2:.3g} kg"
    return f"{newtons:.2f} N"


def most_stiffness_n_per_mm(
    readings: Sequence[Reading], *, zero_mm: float, fixture_mm_per_n: float
) -> float | None:
    """Return the stiffness that a part which met its stop cannot pass, in N/mm.

    Without the stop it would have bent further under the greatest load. None where the
    readings say nothing.
    """
    last = max(readings, key=lambda reading: reading.load_n, default=None)
    if last is None or last.load_n <= 0:
        return None
    own = (last.deflection_mm - zero_mm) / last.load_n - fixture_mm_per_n
    return 1 / own if own > 0 else None


def _none(readings: Sequence[Reading], why: str) -> Slope:
    return Slope(
        mm_per_n=math.nan,
        mm_per_n_error=None,
        begins_at_mm=0.0,
        off_line_mm=tuple(0.0 for _ in readings),
        most_off_line_mm=0.0,
        refused=(why,),
    )
