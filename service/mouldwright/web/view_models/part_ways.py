"""How a part fares by each way to make it, and what that rests on, as a page shows it."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.judgement import Judgement, judge
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import fitted
from mouldwright.web.fault_words import FaultLine, fault_line, in_form_words
from mouldwright.web.view_models.origins import rests_on, stiffness_origin
from mouldwright.web.view_models.shape import Facts
from mouldwright.web.words import figure, measure, percent


@dataclass(frozen=True, slots=True, kw_only=True)
class PartWay:
    """One way to make a part, judged; empty cells are dashes.

    Attributes:
        verdict: Whether it passes, in a word or two.
        fails: Whether it fails or cannot be made.
        bends: Under the load asked, in mm.
        may_bend: From, to; empty where that is certain.
        used: Of the bend allowed.
        rings: First frequency, in Hz.
        rests_on: Theory, so many tests, or a stated modulus.
        reasons: What it fails.
        faults: Why it could not be judged, each with its field.
        warnings: What to know besides.
        origin: Where its figures come from.
        judged: None where it could not be judged.
    """

    key: str
    title: str
    verdict: str
    fails: bool
    bends: str = "–"
    may_bend: str = ""
    used: str = "–"
    weighs: str = "–"
    may_weigh: str = ""
    rings: str = "–"
    rests_on: str = "–"
    reasons: tuple[str, ...] = ()
    faults: tuple[FaultLine, ...] = ()
    warnings: tuple[str, ...] = ()
    origin: Facts = ()
    judged: Judgement | None = None


def part_way(shop: Shop, part: Part, process: Process, *, at: str) -> PartWay:
    """Return how a part fares by a process; what cannot be judged says why.

    Args:
        shop: Where it is made.
        part: What is made.
        process: What makes it.
        at: Key of the shop in addresses.
    """
    try:
        judged = judge(shop, part, process)
    except InvalidInput as error:
        return PartWay(
            key=process.key,
            title=process.title,
            verdict="cannot be said",
            fails=True,
            faults=tuple(fault_line(at, fault) for fault in error.faults),
        )
    spread = judged.spread
    return PartWay(
        key=process.key,
        title=process.title,
        verdict=_verdict(judged),
        fails=not judged.makeable or judged.meets_requirement is False,
        bends=measure(judged.deflection_mm),
        may_bend=_from_to(judged.deflection_range_mm),
        used="–" if judged.utilisation is None else percent(judged.utilisation),
        weighs=figure(judged.mass_g),
        may_weigh=_from_to(spread.mass_g if spread else None),
        rings=figure(judged.first_frequency_hz, 0),
        rests_on=rests_on(judged),
        reasons=tuple(map(in_form_words, judged.reasons)),
        warnings=tuple(map(in_form_words, judged.warnings)),
        origin=stiffness_origin(judged),
        judged=judged,
    )


def _verdict(judged: Judgement) -> str:
    if not judged.makeable:
        return "cannot be made"
    if judged.meets_requirement is None:
        return "nothing asked"
    return "passes" if judged.meets_requirement else "fails"


def _from_to(both: tuple[float, float] | None) -> str:
    if both is None or both[0] == both[1]:
        return ""
    return f"{fitted(both[0])} to {fitted(both[1])}"
