"""Figures as pages show them: each drawn twice, wide and for a phone, and saved as a file."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from mouldwright.domain.compare import Choice, Comparison
from mouldwright.domain.judgement import Judgement
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.record.found import Found
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import CastStructure
from mouldwright.figures.bend_drawing import draw_bend
from mouldwright.figures.enquiry_of import (
    cost_chart_of,
    price_bar_of,
    stiffness_bars_of,
    time_chart_of,
)
from mouldwright.figures.fit_drawing import draw_fit
from mouldwright.figures.fit_of import fit_of
from mouldwright.figures.limit_bars import draw_limit_bars
from mouldwright.figures.part_of import bent_of, planform_of, section_of
from mouldwright.figures.pen import Drawing
from mouldwright.figures.plain_bars import PlainBars, draw_plain_bars
from mouldwright.figures.planform_drawing import draw_planform
from mouldwright.figures.quantity_chart import draw_quantity_chart
from mouldwright.figures.search_chart import draw_search
from mouldwright.figures.search_of import search_of
from mouldwright.figures.section_drawing import draw_section
from mouldwright.figures.share_bar import draw_share_bar
from mouldwright.usecases.enquiry import Finish
from mouldwright.usecases.kept_run import Run
from mouldwright.usecases.ready_times import ready_times

CHART_PX, CHART_NARROW_PX = 740.0, 350.0
DRAWING_PX, DRAWING_NARROW_PX = 420.0, 350.0
SEARCH_PX = 640.0
LEAST_SHOWN = 50
# Beyond this no date is worked out for a chart.
LARGEST_TIMED = 500

P = TypeVar("P")


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure at both widths."""

    wide: Drawing
    narrow: Drawing


def both(
    draw: Callable[..., Drawing],
    picture: object,
    key: str,
    *,
    wide_px: float = DRAWING_PX,
    narrow_px: float = DRAWING_NARROW_PX,
) -> Figure:
    """Return a picture drawn at both widths."""
    return Figure(
        wide=draw(picture, width_px=wide_px, key=key),
        narrow=draw(picture, width_px=narrow_px, key=f"{key}-narrow"),
    )


def bars_figure(bars: PlainBars, key: str) -> Figure:
    """Return bars side by side."""
    return both(draw_plain_bars, bars, key, wide_px=SEARCH_PX, narrow_px=CHART_NARROW_PX - 30)


def last_shown(quantity: int, known: int) -> int:
    """Return the quantity a chart ends at: well past the one asked, within what is known."""
    return min(known, max(LEAST_SHOWN, 2 * quantity))


def cost_figure(shop: Shop, found: Comparison, marks: Mapping[str, int]) -> Figure | None:
    """Return unit cost by quantity; None where no cost is known."""
    known = max((len(costs) for costs in found.unit_costs.values()), default=0)
    last = last_shown(found.quantity, known)
    chart = cost_chart_of(found, currency=shop.currency, marks=marks, last=last)
    if not chart.lines:
        return None
    return both(
        draw_quantity_chart,
        chart,
        "cost-by-quantity",
        wide_px=CHART_PX,
        narrow_px=CHART_NARROW_PX,
    )


def time_figure(
    shop: Shop, found: Comparison, marks: Mapping[str, int], *, now: int, finish: Finish
) -> Figure | None:
    """Return when each way that passes is ready by quantity; None where no date can be said."""
    last = last_shown(found.quantity, LARGEST_TIMED)
    times = ready_times(shop, found, now=now, finish=finish, last=last)
    if not times:
        return None
    chart = time_chart_of(
        times,
        titles={choice.process: choice.title for choice in found.choices},
        marks=marks,
        asked=found.quantity if found.quantity <= last else None,
    )
    return both(
        draw_quantity_chart,
        chart,
        "time-by-quantity",
        wide_px=CHART_PX,
        narrow_px=CHART_NARROW_PX,
    )


def stiffness_figure(found: Comparison, marks: Mapping[str, int]) -> Figure | None:
    """Return how much of what is allowed each way uses; None where nothing is asked."""
    bars = stiffness_bars_of(found.choices, marks=marks)
    return both(draw_limit_bars, bars, "stiffness-used") if bars.bars else None


def price_figure(shop: Shop, choice: Choice) -> Figure | None:
    """Return what one good part's price is made of; None where that is unknown."""
    if choice.cost is None or choice.price is None:
        return None
    bar = price_bar_of(choice.cost, choice.price, currency=shop.currency)
    return None if bar is None else both(draw_share_bar, bar, f"price-of-{choice.process}")


def part_figures(
    shop: Shop, part: Part, process: str | None, marks: Mapping[str, int]
) -> tuple[Figure, ...]:
    """Return a part from above and in section, as made by a process where one is named."""
    made = shop.processes.get(process or "")
    structure = made.structure if made else None
    mark = marks.get(made.key) if made else None
    try:
        section = section_of(part, structure=structure, materials=shop.materials, mark=mark)
        return (
            both(draw_planform, planform_of(part, structure=structure), f"plan-{part.key}"),
            both(draw_section, section, f"section-{part.key}"),
        )
    except ValueError:
        return ()


def bent_figure(found: Found) -> Figure:
    """Return the readings of a bench test with the line through them."""
    picture = fit_of(found, title=f"Bench test {found.test.key}")
    return both(draw_fit, picture, f"fit-{found.test.key}")


def bend_figure(part: Part, found: Comparison, marks: Mapping[str, int]) -> Figure | None:
    """Return how the part bends by each way, against its limit; None where nothing is asked."""
    return bent_ways(part, [(c.title, marks[c.process], c.judgement) for c in found.choices])


def bent_ways(part: Part, judged: Iterable[tuple[str, int, Judgement]]) -> Figure | None:
    """Return the same of ways judged by themselves: title, mark and judgement of each."""
    bent = bent_of(part, judged)
    if bent is None:
        return None
    return both(draw_bend, bent, "bend", wide_px=DRAWING_PX)


def search_figure(run: Run, *, looked_s: float) -> Figure | None:
    """Return how a run's search went; None where it has found nothing yet."""
    if run.progress is None:
        return None
    steps = [
        (step.seconds, step.weighted_late_min, step.finish_min, step.bound)
        for step in run.progress.trail
    ]
    chart = search_of(steps, now_s=min(looked_s, run.seconds), until_s=run.seconds)
    return None if chart is None else both(draw_search, chart, "search", wide_px=SEARCH_PX)


def rods_figure(shop: Shop, part: Part, process: str, mark: int) -> Figure | None:
    """Return a part's section with a process's rods in it; None where it has none."""
    if not has_rods(shop, process):
        return None
    structure = shop.processes[process].structure
    try:
        section = section_of(part, structure=structure, materials=shop.materials, mark=mark)
    except ValueError:
        return None
    return both(draw_section, section, f"rods-{process}")


def has_rods(shop: Shop, process: str | None) -> bool:
    """Return whether a process puts rods into the part."""
    made = shop.processes.get(process or "")
    return bool(made and isinstance(made.structure, CastStructure) and made.structure.rods)
