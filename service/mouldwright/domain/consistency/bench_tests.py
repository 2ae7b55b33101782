"""Bench tests: whether they name what exists, and the piece could have been held so."""

from __future__ import annotations

from collections.abc import Iterator

from mouldwright.domain.consistency.finding import Where, fault, unknown, warning
from mouldwright.domain.errors import Fault
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.record.as_drawn import drawn_mm, drawn_then_mm, part_then
from mouldwright.domain.record.bench_test import BenchTest
from mouldwright.domain.shop import Shop

# A piece this far from the drawn thickness is another part, or the wrong unit.
_MOST_OFF_DRAWN = 0.25


def bench_test_faults(shop: Shop) -> Iterator[Fault]:
    """Yield the faults of bench tests."""
    for key, test in shop.bench_tests.items():
        at: Where = ("bench_tests", key)
        part, process = shop.parts.get(test.part), shop.processes.get(test.process)
        if part is None:
            yield unknown((*at, "part"), test.part, "part", shop.parts)
        if process is None:
            yield unknown((*at, "process"), test.process, "process", shop.processes)
        if part is not None:
            yield from _held(at, test, part)


def _held(at: Where, test: BenchTest, part: Part) -> Iterator[Fault]:
    part = part_then(test, part)
    if test.start_mm >= part.span_mm:
        yield fault(
            (*at, "start_mm"),
            test.start_mm,
            f"{part.title} is only {part.span_mm:g} mm long.",
            "Count it from the root to the clamp or the first support.",
        )
        return
    left = part.span_mm - test.start_mm
    span, load = test.span_of(part.span_mm), test.load_place(part.span_mm)
    if span > left + 1e-9:
        yield fault(
            (*at, "span_mm"),
            span,
            f"only {left:g} mm of {part.title} are left from there.",
            f"Write {left:g} or less.",
        )
    elif load > span + 1e-9 or (test.support == "simply supported" and load >= span):
        yield fault(
            (*at, "load_at_mm"),
            load,
            f"the load stands outside the span of {span:g} mm.",
            "Count it from the clamp or the first support.",
        )
    then = drawn_then_mm(test, part)
    drawn = then or drawn_mm(part)
    if drawn and test.thickness_mm and abs(test.thickness_mm / drawn - 1) > _MOST_OFF_DRAWN:
        yield warning(
            (*at, "thickness_mm"),
            test.thickness_mm,
            f"{part.title} is drawn {drawn:.2f} mm thick at its root."
            if then is None
            else f"{part.title} was drawn {drawn:.2f} mm thick at its root then.",
            "Measure its greatest thickness at the root, in millimetres.",
        )
