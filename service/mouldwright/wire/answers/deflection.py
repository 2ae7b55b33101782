"""Answer to "is it stiff enough, and what does it weigh?"."""

from __future__ import annotations

from pydantic import BaseModel, Field

from mouldwright.domain.judgement import Judgement
from mouldwright.domain.part.load import Load
from mouldwright.domain.stress import Stress
from mouldwright.wire.answers.bench_tests import CountedAnswer


class Curve(BaseModel):
    """The deflected shape along the span."""

    x_mm: list[float]
    deflection_mm: list[float]


class Constituent(BaseModel):
    """What goes into one part."""

    material: str
    finished_g: float = Field(description="grams in the finished part")
    loaded_g: float = Field(description="grams loaded, excess included")
    metres: float | None = Field(description="metres, of a material that comes by the metre")


class LoadAnswer(BaseModel):
    """The force on a part, and where it comes from."""

    force_n: float = Field(description="in all, the safety factor included")
    factor: float
    dynamic_pressure_pa: float | None = Field(description="of the flow; null for a stated force")
    plan_area_mm2: float | None = Field(description="span times mean chord, of a load from flow")
    lift_coefficient: float | None
    angle_deg: float | None = Field(description="that the lift follows from, if it does")
    aspect_ratio: float | None = Field(description="span² / area, mirrored at a wall")
    lift_per_rad: float | None = Field(description="slope of the lift for that span")
    lift_rule: str | None = Field(description="published form of that slope")

    @classmethod
    def of(cls, load: Load) -> LoadAnswer:
        """Return the answer for a load."""
        flow = load.flow
        span = flow.finite_span if flow else None
        return cls(
            force_n=load.force_n,
            factor=load.factor,
            dynamic_pressure_pa=flow.pressure_pa if flow else None,
            plan_area_mm2=flow.area_mm2 if flow else None,
            lift_coefficient=flow.lift_coefficient if flow else None,
            angle_deg=span.angle_deg if span else None,
            aspect_ratio=span.aspect_ratio if span else None,
            lift_per_rad=span.per_rad if span else None,
            lift_rule=span.rule if span else None,
        )


class StressAnswer(BaseModel):
    """How hard one material is stressed in bending."""

    material: str = Field(description="as people call it")
    root_mpa: float
    greatest_mpa: float = Field(description="wherever along the span it is greatest")
    strength_mpa: float | None = Field(description="in bending; null where nobody states it")
    share: float | None = Field(description="of that strength, where it is stressed most")

    @classmethod
    def of(cls, stress: Stress) -> StressAnswer:
        """Return the answer for one material."""
        return cls(
            material=stress.of,
            root_mpa=stress.root_mpa,
            greatest_mpa=stress.greatest_mpa,
            strength_mpa=stress.strength_mpa,
            share=stress.share,
        )


class DeflectionAnswer(BaseModel):
    """One part by one process, judged."""

    part: str
    process: str
    makeable: bool
    meets_requirement: bool | None
    deflection_mm: float | None
    allowed_mm: float | None
    utilisation: float | None = Field(description="deflection / allowed")
    mass_g: float | None
    bending_stiffness_n_mm2: float | None = Field(
        description="at the root, before the share of it that is counted on"
    )
    first_frequency_hz: float | None = Field(description="in bending, shear included")
    area_mm2: float | None
    second_moment_mm4: float | None
    modulus_gpa: float | None = Field(description="effective, before that share")
    theory_factor: float = Field(description="share of that stiffness counted on")
    theory_deflection_mm: float | None = Field(description="without any bench test")
    counted: CountedAnswer | None = Field(description="what that share rests on")
    root_stress_mpa: float | None
    greatest_stress_mpa: float | None = Field(description="of the base material, along the span")
    stresses: list[StressAnswer] = Field(description="of each material, the base material first")
    worst_stressed: str | None = Field(
        description="what uses most of its strength; null where no strength is stated"
    )
    deflection_range_mm: tuple[float, float] | None = Field(
        description="least and most, where what it is made of is stated within ranges; null where "
        "tests decide"
    )
    mass_range_g: tuple[float, float] | None = Field(description="the same of its mass")
    bending_stiffness_range_n_mm2: tuple[float, float] | None = Field(
        description="the same at the root, before the share of it that is counted on"
    )
    modulus_range_gpa: tuple[float, float] | None = Field(description="the same, effective")
    first_frequency_range_hz: tuple[float, float] | None = Field(
        description="the same; null where tests decide"
    )
    ranges_of: list[str] = Field(description="what is stated within ranges")
    range_mostly_from: str | None = Field(
        description="which of these moves the stiffness most, by itself"
    )
    twist_deg: float | None = Field(description="under the torque asked, if one is")
    load: LoadAnswer | None = Field(description="what it bears and where that comes from")
    closing_force_n: float | None = Field(description="what closing the mould takes, if stated")
    rule: str
    reasons: list[str]
    warnings: list[str]
    constituents: list[Constituent]
    curve: Curve | None

    @classmethod
    def of(cls, judged: Judgement) -> DeflectionAnswer:
        """Return the answer for a judgement."""
        worst = judged.worst_stress
        charge, spread = judged.charge, judged.spread
        return cls(
            part=judged.part,
            process=judged.process,
            makeable=judged.makeable,
            meets_requirement=judged.meets_requirement,
            deflection_mm=judged.deflection_mm,
            allowed_mm=judged.allowed_mm,
            utilisation=judged.utilisation,
            mass_g=judged.mass_g,
            bending_stiffness_n_mm2=judged.bending_stiffness_n_mm2,
            first_frequency_hz=judged.first_frequency_hz,
            area_mm2=judged.area_mm2,
            second_moment_mm4=judged.second_moment_mm4,
            modulus_gpa=judged.modulus_gpa,
            theory_factor=judged.theory_factor,
            theory_deflection_mm=judged.theory_deflection_mm,
            counted=None
            if judged.counted is None
            else CountedAnswer.of(judged.counted, judged.modulus_gpa),
            root_stress_mpa=judged.root_stress_mpa,
            greatest_stress_mpa=judged.greatest_stress_mpa,
            stresses=[StressAnswer.of(each) for each in judged.stresses],
            worst_stressed=worst.of if worst else None,
            twist_deg=judged.twist_deg,
            deflection_range_mm=judged.deflection_range_mm,
            mass_range_g=spread.mass_g if spread else None,
            bending_stiffness_range_n_mm2=spread.bending_stiffness_n_mm2 if spread else None,
            modulus_range_gpa=judged.modulus_range_gpa,
            first_frequency_range_hz=spread.first_frequency_hz if spread else None,
            ranges_of=list(spread.of) if spread else [],
            range_mostly_from=(spread.mostly or None) if spread else None,
            load=None if judged.load is None else LoadAnswer.of(judged.load),
            closing_force_n=judged.closing_force_n,
            rule=judged.rule,
            reasons=list(judged.reasons),
            warnings=list(judged.warnings),
            constituents=[
                Constituent(
                    material=c.material,
                    finished_g=float(c.finished_g),
                    loaded_g=float(c.loaded_g),
                    metres=None if not c.metres else float(c.metres),
                )
                for c in (charge.constituents if charge else ())
            ],
            curve=None
            if judged.curve is None
            else Curve(
                x_mm=[float(x) for x in judged.curve.x_mm],
                deflection_mm=[float(d) for d in judged.curve.deflection_mm],
            ),
        )
