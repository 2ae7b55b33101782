"""What is drawn beside the form of an entry."""

from __future__ import annotations

from mouldwright.domain.record.found import Found
from mouldwright.domain.shop import Shop
from mouldwright.figures.marks import marks_for
from mouldwright.figures.process_strip import draw_strip
from mouldwright.figures.strip_of import strip_of
from mouldwright.usecases.bench_tests import one_test
from mouldwright.web.charts import CHART_NARROW_PX, Figure, bent_figure, both, part_figures
from mouldwright.web.view_models.bench_tests import words_of_test

STRIP_PX = 1080.0


def drawings_of(shop: Shop, section: str, key: str) -> tuple[Figure, ...]:
    """Return the drawings of an entry: a part to scale, a process as a strip, else none."""
    if section == "parts":
        part = shop.parts.get(key) or shop.parts.get("new")
        return part_figures(shop, part, None, {}) if part else ()
    if section == "bench_tests":
        found = _tested(shop, key)
        return (bent_figure(found),) if found else ()
    process = shop.processes.get(key) or shop.processes.get("new")
    if section != "processes" or process is None or not process.operations:
        return ()
    marks = marks_for(shop.processes.values())
    families = [each for each in shop.moulds.values() if each.process == process.key]
    family = families[0] if families else None
    picture = strip_of(shop, process, mark=marks[process.key], family=family)
    return (both(draw_strip, picture, "strip", wide_px=STRIP_PX, narrow_px=CHART_NARROW_PX),)


def remarks_of(shop: Shop, section: str, key: str) -> tuple[str, ...]:
    """Return what is to be said of an entry beside its drawing, a sentence each."""
    found = _tested(shop, key) if section == "bench_tests" else None
    return words_of_test(found) if found else ()


def _tested(shop: Shop, key: str) -> Found | None:
    known = key if key in shop.bench_tests else "new"
    return one_test(shop, known) if known in shop.bench_tests else None
