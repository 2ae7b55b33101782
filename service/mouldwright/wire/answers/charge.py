"""Answers on weights at the bench: the charge of so many pulls, and a finished part weighed."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from pydantic import BaseModel, Field

from mouldwright.domain.record.charge_sheet import ChargeSheet, Weighed, Weighing
from mouldwright.domain.record.sample import SamplePlan


class WeighingAnswer(BaseModel):
    """One thing on the scale, or cut to length."""

    material: str
    of: str | None = Field(description="the mix it is part of; null for what is loaded as it is")
    grams: float = Field(description="in one cup for a mix, else for all pulls")
    millilitres: float
    metres: float | None = Field(description="of a material that comes by the metre")
    off_share: float = Field(description="half a step of the scale over the grams")
    is_coarse: bool = Field(description="the scale is too coarse for so little")

    @classmethod
    def of_weighing(cls, each: Weighing) -> WeighingAnswer:
        """Return the answer for one."""
        return cls(
            material=each.material,
            of=each.of,
            grams=float(each.grams),
            millilitres=each.millilitres,
            metres=each.metres or None,
            off_share=each.off_share,
            is_coarse=each.is_coarse,
        )


class WeighedAnswer(BaseModel):
    """A finished part on the scale."""

    grams: float
    share: float = Field(description="of what is expected")
    void_share: float | None = Field(
        description="share of air by its density; null where it weighs more than a solid part"
    )
    heavier_than_solid: bool
    state: Literal["good", "light", "heavy"]


class ChargeAnswer(BaseModel):
    """What so many pulls take, and what a finished part should weigh."""

    part: str
    process: str
    pulls: int
    parts: int
    mixes: int = Field(description="cups, all alike; 0 where nothing is mixed")
    weighings: list[WeighingAnswer]
    squeezed_g: float = Field(description="loaded and squeezed out again, all pulls")
    lost_g: float = Field(description="left in the cups")
    needed_g: float = Field(description="of the mix in one cup, what is lost included")
    least_mixed_g: float = Field(description="the least of it that is worth mixing")
    left_over_g: float = Field(description="mixed in all cups beyond need")
    expected_g: float = Field(description="of one finished part")
    least_g: float
    most_g: float
    scale_step_g: float
    weighed: WeighedAnswer | None = Field(description="of the part that was weighed, if one was")

    @classmethod
    def of(cls, sheet: ChargeSheet, weighed: Weighed | None) -> ChargeAnswer:
        """Return the answer for a sheet, and for a part that was weighed."""
        return cls(
            part=sheet.part,
            process=sheet.process,
            pulls=sheet.pulls,
            parts=sheet.parts,
            mixes=sheet.mixes,
            weighings=[WeighingAnswer.of_weighing(each) for each in sheet.weighings],
            squeezed_g=sheet.squeezed_g,
            lost_g=float(sheet.lost_g),
            needed_g=sheet.needed_g,
            least_mixed_g=float(sheet.least_mixed_g),
            left_over_g=sheet.left_over_g,
            expected_g=sheet.expected_g,
            least_g=sheet.least_g,
            most_g=sheet.most_g,
            scale_step_g=float(sheet.step_g),
            weighed=None
            if weighed is None
            else WeighedAnswer(
                grams=weighed.grams,
                share=weighed.share,
                void_share=weighed.void_share,
                heavier_than_solid=weighed.void_share is None,
                state=weighed.state,
            ),
        )


class PassesAnswer(BaseModel):
    """How often a lot passes, by its share of bad parts."""

    bad_share: float
    passes: float


class SampleAnswer(BaseModel):
    """How many of a lot to test."""

    test: int
    may_fail: int
    lot: int | None
    bad_share: float
    bad_passes: float = Field(description="chance that a lot so bad passes all the same")
    is_all: bool = Field(description="nothing less than every part is sure enough")
    curve: list[PassesAnswer] = Field(
        description="the operating curve: exact, binomial or of a lot hypergeometric"
    )

    @classmethod
    def of(cls, plan: SamplePlan, curve: Iterable[tuple[float, float]]) -> SampleAnswer:
        """Return the answer for a plan, with its operating curve."""
        return cls(
            test=plan.count,
            may_fail=plan.allowed,
            lot=plan.lot,
            bad_share=plan.bad_share,
            bad_passes=plan.bad_passes,
            is_all=plan.is_all,
            curve=[PassesAnswer(bad_share=share, passes=chance) for share, chance in curve],
        )
