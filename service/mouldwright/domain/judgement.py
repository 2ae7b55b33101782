"""Is it stiff enough? One part by one process, judged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from mouldwright.domain.counted import CountedOn, counted_on, warnings_of_tests
from mouldwright.domain.errors import CannotBeMade, Fault, InvalidInput
from mouldwright.domain.failings import failings
from mouldwright.domain.part.beam import LARGE_DEFLECTION_SHARE, Bending, bend
from mouldwright.domain.part.constituent import Charge
from mouldwright.domain.part.elastica import straight_line_excess
from mouldwright.domain.part.frequency import first_frequency_hz
from mouldwright.domain.part.integrals import Array
from mouldwright.domain.part.lift import MOST_ANGLE_DEG
from mouldwright.domain.part.load import Load, load_of, plan_area_mm2
from mouldwright.domain.part.requirement import Part, Requirement
from mouldwright.domain.part.section import Section, section_at
from mouldwright.domain.part.twist import twist_deg
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import fitted
from mouldwright.domain.spread import Seen, Spread, spread_of
from mouldwright.domain.stress import Stress, stresses_of, worst_of
from mouldwright.domain.structure.kinds import MixStructure
from mouldwright.domain.structure.made import Made
from mouldwright.domain.structure.making import made


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """A deflected shape: two arrays of one length."""

    x_mm: Array
    deflection_mm: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """How one part fares by one process.

    Attributes:
        makeable: Whether it can be made so at all.
        meets_requirement: None where nothing is asked of the part.
        reasons: Why it cannot be made, or what it fails.
        deflection_mm: Under the asked load, with the share of stiffness counted on.
        utilisation: Deflection over what is allowed.
        bending_stiffness_n_mm2: EI at the root by theory, before the factor.
        second_moment_mm4: Of the drawn section at the root.
        modulus_gpa: Bending stiffness over second moment.
        theory_factor: Share of the computed stiffness counted on: what tests leave sure,
            else the shop's theory factor, 1 where a modulus is stated.
        first_frequency_hz: With the share of stiffness counted on; clamped at the root where
            nothing is asked of the part.
        stresses: How hard each material is stressed, the base material first; none where
            nothing is asked of the part.
        closing_force_n: What closing the mould takes, where a pressure is stated.
        rule: Which published rule gave the stiffness, and the factor.
        curve: The deflected shape; None without a requirement.
        charge: What goes into one part; None where it cannot be made.
        counted: What that share rests on; None where the part cannot be made.
        theory_deflection_mm: What the deflection would be without any bench test.
        twist_deg: Under the torque asked; None where none is.
        spread: The least and most of its figures, where what it is made of is stated within
            ranges; None where all is certain or ranges were not asked for.
        load: What it bears and where that comes from; None where nothing is asked.
    """

    part: str
    process: str
    makeable: bool
    meets_requirement: bool | None
    reasons: tuple[str, ...]
    deflection_mm: float | None
    allowed_mm: float | None
    utilisation: float | None
    mass_g: float | None
    bending_stiffness_n_mm2: float | None
    first_frequency_hz: float | None
    area_mm2: float | None
    second_moment_mm4: float | None
    modulus_gpa: float | None
    theory_factor: float
    rule: str
    warnings: tuple[str, ...]
    curve: Curve | None
    charge: Charge | None
    stresses: tuple[Stress, ...] = ()
    closing_force_n: float | None = None
    counted: CountedOn | None = None
    theory_deflection_mm: float | None = None
    twist_deg: float | None = None
    spread: Spread | None = None
    load: Load | None = None

    @property
    def worst_stress(self) -> Stress | None:
        """Return what uses most of its strength; None where no strength is stated."""
        return worst_of(self.stresses)

    @property
    def root_stress_mpa(self) -> float | None:
        """Return the base material's stress at the root; nothing on two simple supports."""
        return self.stresses[0].root_mpa if self.stresses else None

    @property
    def greatest_stress_mpa(self) -> float | None:
        """Return the base material's stress wherever along the span it is greatest."""
        return self.stresses[0].greatest_mpa if self.stresses else None

    @property
    def deflection_range_mm(self) -> tuple[float, float] | None:
        """Return the least and most it may bend; None where that is certain or tests decide."""
        return self.spread.deflection_mm if self.spread else None

    @property
    def modulus_range_gpa(self) -> tuple[float, float] | None:
        """Return the least and most of the effective modulus; None where it is certain."""
        if self.spread is None or self.second_moment_mm4 is None:
            return None
        least, most = self.spread.bending_stiffness_n_mm2
        return least / self.second_moment_mm4 / 1000, most / self.second_moment_mm4 / 1000

    def cannot_be_made(self, reasons: tuple[str, ...]) -> Judgement:
        """Return the same judgement with the part found impossible to make."""
        return replace(
            self, makeable=False, meets_requirement=False, reasons=(*self.reasons, *reasons)
        )


def judge(
    shop: Shop,
    part: Part,
    process: Process,
    *,
    counted: CountedOn | None = None,
    with_ranges: bool = True,
) -> Judgement:
    """Return how a part fares by a process: can it be made, is it stiff and light enough.

    Args:
        shop: Its materials, stations and bench tests.
        part: What is made.
        process: What makes it.
        counted: What is counted on of the stiffness; None works it out from the shop's tests.
        with_ranges: Whether the least and most are worked out too, where ranges are stated.

    Raises:
        NotFound: if the structure names a material that is not there.
        InvalidInput: if a material lacks what its structure needs, or the load is not whole.
    """
    try:
        done = made(part, process, shop.materials)
    except CannotBeMade as error:
        return _impossible(part, process, error.reasons)
    root = section_at(part.section, 0.0)
    reasons = [*done.reasons, *_closing_force(shop, part, process)]
    if counted is None:
        counted = counted_on(shop, process, is_measured=done.is_measured)
    factor = counted.share
    asked = part.requirement
    bent = None if asked is None else _bend(part, asked, done, factor)
    by_theory = bent
    if asked is not None and factor != counted.theory_share:
        by_theory = _bend(part, asked, done, counted.theory_share)
    twisted = _twist(part, done, factor)
    stresses = stresses_of(shop, process, bent, done) if bent else ()
    fails: list[str] = []
    if asked is not None and bent is not None:
        fails = [*failings(shop, process, asked, bent, done, twisted, stresses), *counted.reasons]
    passes = None if asked is None else not reasons and not fails
    spread = _spread(shop, part, process, counted) if with_ranges else None
    return Judgement(
        part=part.key,
        process=process.key,
        makeable=not reasons,
        meets_requirement=passes,
        reasons=(*reasons, *fails),
        deflection_mm=bent.deflection_mm if bent else None,
        allowed_mm=asked.deflection_mm if asked else None,
        utilisation=bent.deflection_mm / asked.deflection_mm if bent and asked else None,
        mass_g=done.charge.finished_g,
        bending_stiffness_n_mm2=done.root_bending_n_mm2,
        first_frequency_hz=_frequency_hz(part, done, factor),
        area_mm2=root.area_mm2,
        second_moment_mm4=root.second_moment_x_mm4,
        modulus_gpa=done.root_bending_n_mm2 / root.second_moment_x_mm4 / 1000,
        theory_factor=factor,
        stresses=stresses,
        closing_force_n=_closing_force_n(part, process),
        rule=counted.rule(done),
        warnings=_warnings(part, root, bent, done, counted, spread, stresses),
        curve=Curve(x_mm=bent.x_mm, deflection_mm=bent.curve_mm) if bent else None,
        charge=done.charge,
        counted=counted,
        theory_deflection_mm=by_theory.deflection_mm if by_theory else None,
        twist_deg=twisted,
        spread=spread,
        load=None if asked is None else load_of(part, asked),
    )


def _bend(part: Part, asked: Requirement, done: Made, factor: float) -> Bending:
    try:
        return bend(
            span_mm=part.span_mm,
            bending_n_mm2=done.bending_n_mm2 * factor,
            shear_n=done.shear_n * factor,
            support=asked.support,
            load=asked.load,
            force_n=load_of(part, asked).force_n,
            mount_n_mm_per_rad=asked.mount_n_mm_per_rad,
        )
    except ValueError as error:
        fault = Fault(
            path=f"parts.{part.key}.requirement",
            value=f"{asked.support}, {asked.load}",
            problem="this load case does not hold together:",
            remedy=f"{error}.",
        )
        raise InvalidInput([fault]) from error


def _frequency_hz(part: Part, done: Made, factor: float) -> float:
    asked = part.requirement
    return first_frequency_hz(
        span_mm=part.span_mm,
        bending_n_mm2=done.bending_n_mm2 * factor,
        mass_g_mm=done.mass_g_mm,
        support=asked.support if asked else "cantilever",
        shear_n=done.shear_n * factor,
        mount_n_mm_per_rad=asked.mount_n_mm_per_rad if asked else None,
        gyration_mm2=done.gyration_mm2,
    )


def _spread(shop: Shop, part: Part, process: Process, counted: CountedOn) -> Spread | None:
    asked = part.requirement

    def look(done: Made) -> Seen:
        bent = None if asked is None else _bend(part, asked, done, counted.share)
        return Seen(
            deflection_mm=bent.deflection_mm if bent else None,
            first_frequency_hz=_frequency_hz(part, done, counted.share),
        )

    found = spread_of(part, process, shop.materials, look)
    # The pieces that were bent say how stiff the materials really are.
    return found.as_tested() if found and counted.by == "tests" else found


def _twist(part: Part, done: Made, factor: float) -> float | None:
    asked = part.requirement
    if asked is None or asked.torque_n_mm is None:
        return None
    return twist_deg(
        span_mm=part.span_mm,
        torsion_n_mm2=done.torsion_n_mm2 * factor,
        torque_n_mm=asked.torque_n_mm * asked.factor,
        support=asked.support,
    )


def _closing_force_n(part: Part, process: Process) -> float | None:
    structure = process.structure
    if not isinstance(structure, MixStructure) or structure.closing_pressure_mpa is None:
        return None
    return structure.closing_pressure_mpa * plan_area_mm2(part)


def _closing_force(shop: Shop, part: Part, process: Process) -> list[str]:
    """Return why no press of the process closes the mould, where pressure and force are stated."""
    needed = _closing_force_n(part, process)
    if needed is None:
        return []
    found = []
    for operation in process.operations:
        station = shop.stations.get(operation.station or "")
        force = station.closing_force_n if station else None
        if station and force is not None and force < needed:
            found.append(
                f"closing needs {needed:.0f} N and {station.key} gives {force:.0f} N: "
                f"a stronger press, or less pressure"
            )
    return found


def _warnings(
    part: Part,
    root: Section,
    bent: Bending | None,
    done: Made,
    counted: CountedOn,
    spread: Spread | None,
    stresses: Sequence[Stress],
) -> tuple[str, ...]:
    asked = part.requirement
    hottest = asked.service_temperature_c if asked else None
    found = [*done.warnings, *warnings_of_tests(counted, hottest)]
    if bent is not None:
        found.extend(_strained(part, bent))
        found.extend(_held_to_nothing(asked, stresses))
    if spread is not None and asked is not None:
        found.extend(_at_the_end(asked, bent, done, spread))
    if asked is not None and asked.angle_deg is not None and asked.angle_deg > MOST_ANGLE_DEG:
        found.append(
            f"At {asked.angle_deg:g}° most foils have stalled: the lift is less than is reckoned."
        )
    lean = root.product_mm4**2 / (root.second_moment_x_mm4 * root.second_moment_y_mm4)
    if lean > 0.05:
        found.append(
            "The section leans: under this load it also bends sideways, which is not computed."
        )
    return tuple(found)


def _held_to_nothing(asked: Requirement | None, stresses: Sequence[Stress]) -> list[str]:
    """Return a warning for each further material whose strength nobody states where it is asked."""
    if asked is None or asked.root_stress_share is None:
        return []
    return [
        f"{each.of} is stressed to {fitted(each.root_mpa)} MPa at the root and its strength is not "
        f"stated, so that is held to nothing: add strength_mpa to it from the maker's sheet."
        for each in stresses[1:]
        if each.strength_mpa is None
    ]


def _at_the_end(asked: Requirement, bent: Bending | None, done: Made, spread: Spread) -> list[str]:
    """Return a warning for what is met as stated and not at the end of a range."""
    found = []
    bends, weighs = spread.deflection_mm, spread.mass_g[1]
    if bent and bends and bent.deflection_mm <= asked.deflection_mm < bends[1]:
        found.append(
            f"As stated it is stiff enough, at the end of its ranges not: it may bend "
            f"{fitted(bends[1], beside=asked.deflection_mm)} mm of the {asked.deflection_mm:g} mm "
            f"allowed. Most of that is the {spread.mostly}."
        )
    if asked.mass_g is not None and done.charge.finished_g <= asked.mass_g < weighs:
        found.append(
            f"At the end of its ranges it may weigh {fitted(weighs, beside=asked.mass_g)} g of the "
            f"{asked.mass_g:g} g allowed."
        )
    return found


def _strained(part: Part, bent: Bending) -> list[str]:
    """Return a warning where the straight-line theory is more than 1 % off."""
    bends = bent.deflection_mm / part.span_mm
    asked = part.requirement
    if asked is None or bends <= LARGE_DEFLECTION_SHARE:
        return []
    words = (
        f"It bends {bends * 100:.0f} % of its span: past 10 % the small-deflection theory used "
        f"here overstates the bend."
    )
    if asked.support == "cantilever":
        over = straight_line_excess(bends)
        words = (
            f"{words[:-1]}, at an end load by {over * 100:.0f} %: nearer "
            f"{fitted(bent.deflection_mm / (1 + over))} mm."
        )
    return [words]


def _impossible(part: Part, process: Process, reasons: tuple[str, ...]) -> Judgement:
    asked = part.requirement
    return Judgement(
        part=part.key,
        process=process.key,
        makeable=False,
        meets_requirement=None if asked is None else False,
        reasons=reasons,
        deflection_mm=None,
        allowed_mm=asked.deflection_mm if asked else None,
        utilisation=None,
        mass_g=None,
        bending_stiffness_n_mm2=None,
        first_frequency_hz=None,
        area_mm2=None,
        second_moment_mm4=None,
        modulus_gpa=None,
        theory_factor=1.0,
        rule="",
        warnings=(),
        curve=None,
        charge=None,
    )
