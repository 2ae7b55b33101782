"""What one bench test says: how much of the theory's stiffness the piece has."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from mouldwright.domain.errors import CannotBeMade
from mouldwright.domain.material import Material
from mouldwright.domain.part.point_load import give_mm_per_n
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.part.section import drawn_thickness_mm, section_at
from mouldwright.domain.process.process import Process
from mouldwright.domain.record.as_drawn import drawn_then_mm, part_then, redrawn
from mouldwright.domain.record.bench_test import BenchTest
from mouldwright.domain.record.slope import Slope, most_stiffness_n_per_mm, slope_of
from mouldwright.domain.structure.made import Made
from mouldwright.domain.structure.making import made

# Small-deflection theory understates a test past this share of the lever; see ``beam``.
MOST_BEND_SHARE = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """One bench test, worked out.

    Attributes:
        slope: The line through its readings.
        is_bound: Whether it says only what the stiffness cannot pass: it touched its stop.
        stiffness_n_per_mm: Of the piece, or the most it can have; None where it is refused.
        theory_n_per_mm: By the process's theory, of a piece as thick as this one; None where
            the part cannot be made so.
        share: Stiffness over the theory's; of a bound, the most it can be.
        share_error: Its standard uncertainty, from the readings alone.
        modulus_gpa: That share of the modulus that theory gives the part as drawn.
        thickness_share: Thickness of the piece, as measured, else as drawn when it was bent, over
            the drawn one; 1 where neither is known.
        drawn_then_mm: How thick the part was drawn at its root when the piece was bent; None
            where that was not noted.
        expected_g: What a piece as thick as this one weighs by theory.
        mass_share: Mass of the piece over that; None where it was not weighed.
        refused: Why it is left out; empty where it counts.
        warnings: What to know of it besides.
    """

    test: BenchTest
    slope: Slope
    is_bound: bool
    stiffness_n_per_mm: float | None
    theory_n_per_mm: float | None
    share: float | None
    share_error: float | None
    modulus_gpa: float | None
    thickness_share: float
    drawn_then_mm: float | None
    expected_g: float | None
    mass_share: float | None
    refused: tuple[str, ...]
    warnings: tuple[str, ...] = ()

    @property
    def counts(self) -> bool:
        """Return whether it is one of those that the tolerance limit is made of."""
        return not self.refused and not self.is_bound


def found_by(
    test: BenchTest, part: Part, process: Process, materials: Mapping[str, Material]
) -> Found:
    """Return what a bench test says of a process.

    The piece is set beside the theory of a piece of its own thickness, of the drawing it was made
    to where that was noted, held and loaded as it was, so what is left is the material's doing
    and can be pooled over parts of the process.

    Raises:
        NotFound: if the structure names a material that is not there.
        InvalidInput: if a material lacks what its structure needs.
    """
    slope = slope_of(
        test.readings,
        zero_mm=test.zero_mm,
        fixture_mm_per_n=test.fixture_mm_per_n,
        dial_step_mm=test.dial_step_mm,
        loads_in=test.loads_in,
    )
    now, part = part, part_then(test, part)
    drawn = drawn_thickness_mm(part.section)
    thicker = (test.thickness_mm or test.drawn_thickness_mm or drawn) / drawn
    refused: list[str] = []
    theory: Made | None = None
    drawn_gpa = 0.0
    try:
        theory = made(part, process, materials, thickened=thicker)
        drawn_gpa = _root_gpa(part, process, materials)
    except CannotBeMade as error:
        refused.extend(error.reasons)
    expected = _give(test, part, theory) if theory else None
    if test.touched_stop:
        stiffness = most_stiffness_n_per_mm(
            test.readings, zero_mm=test.zero_mm, fixture_mm_per_n=test.fixture_mm_per_n
        )
        if stiffness is None:
            refused.append("its readings give no stiffness at the stop.")
    else:
        refused.extend(slope.refused)
        refused.extend(_bent_too_far(test, part))
        stiffness = None if refused else slope.stiffness_n_per_mm
    share = None if stiffness is None or expected is None else stiffness * expected
    slope_error = slope.stiffness_error_n_per_mm
    measured = not test.touched_stop and not refused
    expected_g = theory.charge.finished_g if theory else None
    return Found(
        test=test,
        slope=slope,
        is_bound=test.touched_stop,
        stiffness_n_per_mm=stiffness,
        theory_n_per_mm=None if expected is None else 1 / expected,
        share=share,
        share_error=slope_error * expected
        if measured and slope_error is not None and expected
        else None,
        modulus_gpa=None if share is None else share * drawn_gpa,
        thickness_share=thicker,
        drawn_then_mm=drawn_then_mm(test, part),
        expected_g=expected_g,
        mass_share=test.mass_g / expected_g if test.mass_g and expected_g else None,
        refused=tuple(refused),
        warnings=_warnings(test, now),
    )


def _warnings(test: BenchTest, part: Part) -> tuple[str, ...]:
    if not redrawn(test, part):
        return ()
    drawn = drawn_thickness_mm(part.section)
    if test.drawn is not None:
        thick, long = drawn_thickness_mm(test.drawn.section), test.drawn.span_mm
        return (
            f"The part was drawn otherwise when this piece was bent: {long:g} mm long and "
            f"{thick:.2f} mm thick at its root then, {part.span_mm:g} mm and {drawn:.2f} mm now. "
            "The piece is set beside the drawing it was made to. Bend one as it is drawn now.",
        )
    taken = (
        f"measured at {test.thickness_mm:g} mm"
        if test.thickness_mm is not None
        else f"taken as the {test.drawn_thickness_mm:.2f} mm it was drawn then"
    )
    return (
        f"The part was drawn {test.drawn_thickness_mm:.2f} mm thick at its root when this piece "
        f"was bent and is drawn {drawn:.2f} mm now: the piece is {taken}. Bend "
        f"one as it is drawn now.",
    )


def _give(test: BenchTest, part: Part, theory: Made) -> float:
    return give_mm_per_n(
        part_span_mm=part.span_mm,
        bending_n_mm2=theory.bending_n_mm2,
        shear_n=theory.shear_n,
        support=test.support,
        start_mm=test.start_mm,
        span_mm=test.span_of(part.span_mm),
        load_at_mm=test.load_place(part.span_mm),
    )


def _root_gpa(part: Part, process: Process, materials: Mapping[str, Material]) -> float:
    drawn = made(part, process, materials)
    return drawn.root_bending_n_mm2 / section_at(part.section, 0.0).second_moment_x_mm4 / 1000


def _bent_too_far(test: BenchTest, part: Part) -> list[str]:
    lever = test.load_place(part.span_mm)
    if test.support == "simply supported":
        lever = test.span_of(part.span_mm)
    bent = max(abs(r.deflection_mm - test.zero_mm) for r in test.readings)
    if bent <= MOST_BEND_SHARE * lever:
        return []
    return [
        f"it bends {bent:.1f} mm, more than a tenth of the {lever:g} mm it is tested over: "
        f"small-deflection theory does not hold there. Leave out the greatest loads."
    ]
