"""The manual's figures: the demo bench drawn by the product itself, each a file of its own."""

from __future__ import annotations

from functools import cache

from mouldwright.domain.compare import Comparison
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.record.learnt import learnt
from mouldwright.domain.shop import Shop
from mouldwright.figures.board_drawing import draw_board
from mouldwright.figures.board_of import board_of
from mouldwright.figures.marks import marks_of_shop
from mouldwright.figures.pen import Drawing
from mouldwright.figures.process_strip import draw_strip
from mouldwright.figures.strip_of import strip_of
from mouldwright.planning.run import make_plan
from mouldwright.scenario.demo.shipped import open_demo
from mouldwright.usecases.enquiry import compare, finish_by_rate
from mouldwright.web.charts import Figure, bend_figure, bent_figure, cost_figure, rods_figure

FIGURES = ("cost-by-quantity", "bend", "rods", "bench-test", "routing", "board")


def svg_of(name: str) -> str:
    """Return a figure of the manual as a file.

    Raises:
        KeyError: if the manual has no such figure.
    """
    return _drawn()[name].standalone() + "\n"


@cache
def _drawn() -> dict[str, Drawing]:
    shop = open_demo("foil-bench").shop
    marks = marks_of_shop(shop)
    found = _compared(shop)
    cast = learnt(shop, shop.process("cast"))
    assert cast is not None
    pressed = shop.process("pressed")
    family = next(each for each in shop.moulds.values() if each.process == "pressed")
    # The first plan alone: what a search adds to it depends on the machine.
    plan = make_plan(shop, now=minute_of(shop.start), seconds=0)
    return {
        "cost-by-quantity": _wide(cost_figure(shop, found, marks)),
        "bend": _wide(bend_figure(shop.part("stabiliser"), found, marks)),
        "rods": _wide(rods_figure(shop, shop.part("stabiliser"), "cast", marks["cast"])),
        "bench-test": _wide(bent_figure(cast.found[0])),
        "routing": draw_strip(strip_of(shop, pressed, mark=marks["pressed"], family=family)),
        "board": draw_board(board_of(shop, plan, marks=marks, shown_rows="moulds"), width_px=1100),
    }


def _compared(shop: Shop) -> Comparison:
    now = minute_of(shop.start)
    return compare(shop, "stabiliser", 24, now=now, finish=finish_by_rate, swept=100)


def _wide(figure: Figure | None) -> Drawing:
    assert figure is not None
    return figure.wide
