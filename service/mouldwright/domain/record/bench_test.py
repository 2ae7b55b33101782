"""A bench test as it was noted down: a finished part, loads put on it, deflections read off."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from mouldwright.domain.part.shape import Shape

TestSupport = Literal["cantilever", "simply supported"]
# What one kilogram hung on a part pulls with, the standard gravity of the SI (exact).
GRAVITY_M_S2 = 9.80665


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A load and what the dial showed under it."""

    load_n: float
    deflection_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnAs:
    """What a part was drawn like at some time: how long, and its section along it."""

    span_mm: float
    section: Shape


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchTest:
    """One part bent at the bench.

    Attributes:
        part: Key of the part that was bent.
        process: Key of the process it was made by.
        readings: In the order they were taken.
        support: How it was held.
        start_mm: From the root to the clamp, or to the first support.
        span_mm: From the clamp to the tip or between the supports; None for all that is left
            of the part.
        load_at_mm: From the clamp or the first support to the load, where the dial stood too;
            None for the end of a cantilever and the middle between two supports.
        zero_mm: What the dial showed with no load.
        fixture_mm_per_n: What the fixture itself gives way.
        dial_step_mm: The smallest step of the dial.
        touched_stop: Whether the part met a stop at the greatest load.
        thickness_mm: Greatest thickness of the piece at its root; None where not measured.
        drawn_thickness_mm: How thick the part was drawn at its root when the test was made; None
            where that was not noted.
        drawn: What the part was drawn like when the test was made; None where that was not
            noted.
        mass_g: What the piece weighs; None where not weighed.
        age_days: Days from its cure to the test.
        temperature_c: Of the piece.
        loads_in: What its loads were noted in; here they are newtons.
        serial: Of the piece; empty where it has none.
    """

    key: str
    part: str
    process: str
    day: date
    readings: tuple[Reading, ...]
    support: TestSupport = "cantilever"
    start_mm: float = 0.0
    span_mm: float | None = None
    load_at_mm: float | None = None
    zero_mm: float = 0.0
    fixture_mm_per_n: float = 0.0
    dial_step_mm: float = 0.01
    touched_stop: bool = False
    thickness_mm: float | None = None
    drawn_thickness_mm: float | None = None
    drawn: DrawnAs | None = None
    mass_g: float | None = None
    age_days: float | None = None
    temperature_c: float | None = None
    note: str = ""
    serial: str = ""
    loads_in: Literal["N", "kg"] = "N"

    def span_of(self, part_span_mm: float) -> float:
        """Return the span under test, of a piece of that length."""
        return part_span_mm - self.start_mm if self.span_mm is None else self.span_mm

    def fits(self, part_span_mm: float) -> bool:
        """Return whether the clamp, the supports and the load lie on the piece.

        Args:
            part_span_mm: Length of the part as it is drawn; the piece's own where it was noted.
        """
        part_span_mm = self.drawn.span_mm if self.drawn else part_span_mm
        left = part_span_mm - self.start_mm
        if left <= 0:
            return False
        span, load = self.span_of(part_span_mm), self.load_place(part_span_mm)
        if span > left + 1e-9 or load > span + 1e-9:
            return False
        return self.support == "cantilever" or load < span

    def load_place(self, part_span_mm: float) -> float:
        """Return how far from the clamp or the first support the load stood."""
        if self.load_at_mm is not None:
            return self.load_at_mm
        span = self.span_of(part_span_mm)
        return span if self.support == "cantilever" else span / 2
