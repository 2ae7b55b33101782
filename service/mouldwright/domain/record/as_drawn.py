"""What a piece was drawn like when it was bent: a drawing may change, the piece does not."""

from __future__ import annotations

from dataclasses import replace

from mouldwright.domain.part.requirement import Part
from mouldwright.domain.part.section import drawn_thickness_mm
from mouldwright.domain.record.bench_test import BenchTest, DrawnAs
from mouldwright.domain.shop import Shop

# Drawn thicknesses nearer than this, as a share, are one and the same.
_SAME = 1e-6


def drawn_mm(part: Part) -> float | None:
    """Return how thick a part is drawn at its root; None where its section is not sound."""
    try:
        return drawn_thickness_mm(part.section)
    except ValueError:
        return None


def part_then(test: BenchTest, part: Part) -> Part:
    """Return a part as it was drawn when its test was made; as it is now where that is unknown."""
    if test.drawn is None:
        return part
    return replace(part, span_mm=test.drawn.span_mm, section=test.drawn.section)


def drawn_then_mm(test: BenchTest, part: Part) -> float | None:
    """Return how thick a part was drawn at its root when its test was made; None if not noted."""
    if test.drawn_thickness_mm is not None or test.drawn is None:
        return test.drawn_thickness_mm
    return drawn_mm(part_then(test, part))


def redrawn(test: BenchTest, part: Part) -> bool:
    """Return whether a part is drawn otherwise now than when its test was made."""
    if test.drawn is not None:
        return test.drawn != DrawnAs(span_mm=part.span_mm, section=part.section)
    then, now = test.drawn_thickness_mm, drawn_mm(part)
    return then is not None and now is not None and abs(then / now - 1) > _SAME


def remembering(before: Shop, after: Shop) -> Shop:
    """Return a shop whose tests keep what their parts were drawn like when they were made.

    A test that is new, or was changed, is noted with the drawing that holds; one whose part is
    redrawn keeps the drawing it had. What a test says of it already stays.
    """
    tests = {
        key: _noted(test, _drawing_of(test, before, after))
        for key, test in after.bench_tests.items()
    }
    return after if tests == dict(after.bench_tests) else replace(after, bench_tests=tests)


def _drawing_of(test: BenchTest, before: Shop, after: Shop) -> Part | None:
    """Return the part as it was drawn for a test that is to be noted; None for one left alone."""
    was, part = before.bench_tests.get(test.key), after.parts.get(test.part)
    if was != test:
        return part
    old = before.parts.get(test.part)
    if old is None or part is None:
        return None
    return old if (old.section, old.span_mm) != (part.section, part.span_mm) else None


def _noted(test: BenchTest, part: Part | None) -> BenchTest:
    if part is None or test.drawn is not None or test.drawn_thickness_mm is not None:
        return test
    return replace(test, drawn=DrawnAs(span_mm=part.span_mm, section=part.section))
