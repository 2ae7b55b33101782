"""Bench tests as people read them: what each says, and what is counted on."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.counted import ProcessTests
from mouldwright.domain.record.found import Found
from mouldwright.domain.record.tolerance import CONFIDENCE, SHARE_OF_PARTS
from mouldwright.domain.shop import Shop
from mouldwright.web.view_models.quote import title_of
from mouldwright.web.view_models.shape import Facts
from mouldwright.web.words import count, day_and_year, figure, percent

# Past these a piece that weighs otherwise than expected is worth a look inside.
LIGHT_SHARE, HEAVY_SHARE = 0.97, 1.03


@dataclass(frozen=True, slots=True, kw_only=True)
class BentRow:
    """One test of a table; ``state`` says whether it counts."""

    key: str
    part: str
    day: str
    stiffness: str
    share: str
    modulus: str
    thickness: str
    mass: str
    state: str
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcessTestsView:
    """The tests of one process."""

    key: str
    title: str
    lead: str
    facts: Facts
    rows: tuple[BentRow, ...]


def tests_view(shop: Shop, tested: ProcessTests) -> ProcessTestsView:
    """Return what the tests of a process say, to be read."""
    counted, held = tested.counted, tested.learnt
    tolerance = held.tolerance
    known = "nothing: they lie too far apart"
    facts = [("Counted on", known if held.is_too_wide else f"{counted.share:.2f} of theory")]
    if counted.by == "tests":
        facts.append(("Without tests", f"{counted.theory_share:g}"))
    if tolerance is not None:
        facts += [
            ("Mean of the tests", f"{tolerance.mean:.3f}"),
            ("Spread", f"{tolerance.spread:.3f}"),
            ("Factor k", f"{tolerance.factor:.3f} for {tolerance.count}"),
        ]
    if held.bound is not None and held.bound <= counted.share:
        facts.append(("Held down by a stop to", f"{held.bound:.2f}"))
    facts += [
        (f"With {more} more alike", f"{limit:.2f}")
        for more in (2, 5)
        if (limit := held.limit_with(more)) is not None
    ]
    return ProcessTestsView(
        key=tested.process.key,
        title=tested.process.title,
        lead=_lead(tested),
        facts=tuple(facts),
        rows=tuple(_row(shop, found) for found in held.found),
    )


def _lead(tested: ProcessTests) -> str:
    counted, held = tested.counted, tested.learnt
    if counted.reasons:
        return f"Nothing made so passes: {counted.reasons[0]}."
    if counted.by == "tests":
        return (
            f"{count(len(held.counting), 'test')}: {percent(SHARE_OF_PARTS)} of parts have "
            f"{counted.share:.2f} of the computed stiffness or more, with "
            f"{percent(CONFIDENCE)} confidence."
        )
    return (
        f"Too few to make a limit, so {counted.share:.3g} of the computed stiffness is counted on. "
        f"Two tests make one; five make a good one."
    )


def _row(shop: Shop, found: Found) -> BentRow:
    test = found.test
    state = "left out" if found.refused else "at a stop" if found.is_bound else "counts"
    shown = "–" if found.stiffness_n_per_mm is None else f"{found.stiffness_n_per_mm:.3f}"
    error = found.slope.stiffness_error_n_per_mm
    if found.counts and error is not None:
        shown += f" ± {error:.3f}"
    elif found.is_bound and found.stiffness_n_per_mm is not None:
        shown = f"at most {shown}"
    return BentRow(
        key=test.key,
        part=title_of(shop, test.part),
        day=day_and_year(test.day),
        stiffness=shown,
        share="–" if found.share is None else f"{found.share:.3f}",
        modulus="–" if found.modulus_gpa is None else figure(found.modulus_gpa, 2),
        thickness="–" if test.thickness_mm is None else f"{found.thickness_share * 100:.1f} %",
        mass="–" if found.mass_share is None else f"{found.mass_share * 100:.1f} %",
        state=state,
        words=words_of_test(found),
    )


def words_of_test(found: Found) -> tuple[str, ...]:
    """Return what is to be said of a test, a sentence each."""
    words = [f"Left out: {reason}" for reason in found.refused]
    if found.is_bound and not found.refused and found.share is not None:
        words.append(
            f"It met its stop: its stiffness is at most {found.share:.2f} of theory, and no mean "
            f"is made of it."
        )
    elif found.counts and found.share is not None:
        sure = f", give or take {found.share_error:.3f}" if found.share_error else ""
        words.append(f"It has {found.share:.3f} of the computed stiffness{sure}.")
    if found.mass_share is not None and found.mass_share < LIGHT_SHARE:
        words.append(
            f"It weighs {found.mass_share * 100:.1f} % of what is expected: look for voids or dry "
            f"spots."
        )
    elif found.mass_share is not None and found.mass_share > HEAVY_SHARE:
        words.append(
            f"It weighs {found.mass_share * 100:.1f} % of what is expected: look for flash, or "
            f"more resin than was meant."
        )
    return (*words, *found.warnings)
