"""Answers on bench tests: what each says, and what a process is counted on for."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from pydantic import BaseModel, Field

from mouldwright.domain.counted import CountedOn, ProcessTests
from mouldwright.domain.record.found import Found
from mouldwright.domain.record.tolerance import CONFIDENCE, SHARE_OF_PARTS


class CountedAnswer(BaseModel):
    """How much of a computed stiffness is counted on, and what that rests on."""

    by: Literal["tests", "theory", "stated"] = Field(
        description="bench tests, the shop's theory factor, or a stated modulus"
    )
    share: float
    theory_share: float = Field(description="what it would be without any test")
    tests: int = Field(description="bench tests the limit is made of")
    refused: int = Field(description="bench tests left out")
    mean: float | None = Field(description="mean share of theory that the tests show")
    spread: float | None = Field(description="its standard deviation")
    tolerance_factor: float | None = Field(description="k, one-sided")
    parts_share: float = Field(description="share of parts that pass the limit")
    confidence: float
    bound: float | None = Field(description="the most that a part at its stop allows")
    too_wide: bool = Field(
        default=False, description="whether the tests lie too far apart to count on any stiffness"
    )
    modulus_gpa: float | None = Field(description="effective modulus counted on for this part")

    @classmethod
    def of(cls, counted: CountedOn, modulus_gpa: float | None) -> CountedAnswer:
        """Return the answer, for a part of which theory says that modulus."""
        held = counted.learnt
        tolerance = held.tolerance if held else None
        return cls(
            by=counted.by,
            share=counted.share,
            theory_share=counted.theory_share,
            tests=len(held.counting) if held else 0,
            refused=sum(1 for each in held.found if each.refused) if held else 0,
            mean=tolerance.mean if tolerance else None,
            spread=tolerance.spread if tolerance else None,
            tolerance_factor=tolerance.factor if tolerance else None,
            parts_share=SHARE_OF_PARTS,
            confidence=CONFIDENCE,
            bound=held.bound if held else None,
            too_wide=held is not None and held.is_too_wide,
            modulus_gpa=None if modulus_gpa is None else modulus_gpa * counted.share,
        )


class ReadingAnswer(BaseModel):
    """One reading, the dial's zero taken off, and how far it lies from the line."""

    load_n: float
    deflection_mm: float
    off_line_mm: float


class BentAnswer(BaseModel):
    """One bench test, worked out."""

    key: str
    part: str
    process: str
    day: str
    counts: bool = Field(description="whether the limit is made of it")
    is_bound: bool = Field(description="it met its stop: only an upper bound")
    refused: list[str] = Field(description="why it is left out, and what to do")
    stiffness_n_per_mm: float | None
    stiffness_error_n_per_mm: float | None = Field(description="standard uncertainty")
    theory_n_per_mm: float | None = Field(description="by theory, of a piece as thick")
    share: float | None = Field(description="stiffness over the theory's")
    share_error: float | None
    modulus_gpa: float | None = Field(description="effective, of the part as drawn")
    thickness_share: float = Field(description="thickness over the drawn one; 1 if not measured")
    expected_g: float | None
    mass_share: float | None = Field(description="mass over what is expected of it")
    begins_at_mm: float = Field(description="where the line begins, the dial's zero taken off")
    most_off_line_mm: float
    readings: list[ReadingAnswer]
    drawn_thickness_mm: float | None = Field(
        description="how thick the part was drawn at its root then, if noted"
    )
    warnings: list[str] = Field(description="what to know of it besides")
    note: str

    @classmethod
    def of(cls, found: Found) -> BentAnswer:
        """Return the answer for one test."""
        test, slope = found.test, found.slope
        measured = not found.is_bound and not found.refused
        return cls(
            key=test.key,
            part=test.part,
            process=test.process,
            day=test.day.isoformat(),
            counts=found.counts,
            is_bound=found.is_bound,
            refused=list(found.refused),
            stiffness_n_per_mm=found.stiffness_n_per_mm,
            stiffness_error_n_per_mm=slope.stiffness_error_n_per_mm if measured else None,
            theory_n_per_mm=found.theory_n_per_mm,
            share=found.share,
            share_error=found.share_error,
            modulus_gpa=found.modulus_gpa,
            thickness_share=found.thickness_share,
            expected_g=found.expected_g,
            mass_share=found.mass_share,
            begins_at_mm=slope.begins_at_mm,
            most_off_line_mm=slope.most_off_line_mm,
            readings=[
                ReadingAnswer(
                    load_n=each.load_n,
                    deflection_mm=each.deflection_mm - test.zero_mm,
                    off_line_mm=off,
                )
                for each, off in zip(test.readings, slope.off_line_mm, strict=True)
            ],
            drawn_thickness_mm=found.drawn_then_mm,
            warnings=list(found.warnings),
            note=test.note,
        )


class LearntAnswer(BaseModel):
    """What the bench tests of one process say together."""

    process: str
    title: str
    counted: CountedAnswer
    share_with_more: dict[int, float] = Field(
        description="what would be counted on if so many more tests scattered as these do"
    )
    tests: list[BentAnswer]

    @classmethod
    def of(cls, tested: ProcessTests) -> LearntAnswer:
        """Return the answer for a process."""
        learnt = tested.learnt
        more = {count: learnt.limit_with(count) for count in (1, 2, 5, 10)}
        return cls(
            process=tested.process.key,
            title=tested.process.title,
            counted=CountedAnswer.of(tested.counted, None),
            share_with_more={n: limit for n, limit in more.items() if limit is not None},
            tests=[BentAnswer.of(found) for found in learnt.found],
        )


class BenchTestsAnswer(BaseModel):
    """All bench tests of a shop, by process."""

    processes: list[LearntAnswer]

    @classmethod
    def of(cls, found: Iterable[ProcessTests]) -> BenchTestsAnswer:
        """Return the answer for what was found of each process."""
        return cls(processes=[LearntAnswer.of(each) for each in found])
