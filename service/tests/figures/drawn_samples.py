"""One of everything that is drawn, small and by hand, and a reader of what came out."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterator
from decimal import Decimal
from itertools import combinations

import builders as build

from mouldwright.figures.bend_drawing import BentLine, BentPart, draw_bend
from mouldwright.figures.board import Board, BoardBar, BoardLevel, BoardOrder, BoardRow
from mouldwright.figures.board_drawing import draw_board, draw_board_names
from mouldwright.figures.fit_drawing import FitPicture, draw_fit
from mouldwright.figures.key import board_key, draw_key
from mouldwright.figures.limit_bars import LimitBar, LimitBars, draw_limit_bars
from mouldwright.figures.pen import Drawing
from mouldwright.figures.planform_drawing import Planform, RodLine, draw_planform
from mouldwright.figures.process_strip import Strip, StripHold, StripStep, draw_strip
from mouldwright.figures.quantity_chart import QuantityChart, QuantityLine, draw_quantity_chart
from mouldwright.figures.search_chart import SearchChart, draw_search
from mouldwright.figures.section_drawing import Rod, SectionPicture, draw_section
from mouldwright.figures.share_bar import ShareBar, SharePart, draw_share_bar

SVG = "{http://www.w3.org/2000/svg}"
# Monday 1 March 2027, 08:00 in UTC.
EIGHT = build.at("2027-03-01 08:00")


def quantity_chart(word: str = "pressed") -> QuantityChart:
    """Return two processes: A falls from 12 by 1, B stands at 8 and fails."""
    a = tuple((q, 13.0 - q) for q in range(1, 11))
    b = ((1, 8.0), (5, None), (10, 8.0))
    return QuantityChart(
        title=f"Cost of {word}",
        what=f"Unit cost of {word}, EUR",
        decimals=2,
        lines=(
            QuantityLine(key="a", title=word, mark=0, points=a),
            QuantityLine(key="b", title=f"{word} too", mark=1, points=b, fails=True),
        ),
        crossovers=((1, "b"), (6, "a")),
        asked=4,
    )


def section(word: str = "fin") -> SectionPicture:
    """Return a box of 40 by 10 mm with a hole and a rod of 3 mm at x = 10."""
    return SectionPicture(
        title=word,
        outline_mm=((0, -5), (40, -5), (40, 5), (0, 5)),
        holes_mm=(((20, -2), (30, -2), (30, 2), (20, 2)),),
        thickness_mm=10,
        rods=(Rod(x_mm=10, y_mm=1, diameter_mm=3),),
        mark=1,
        note=word,
    )


def planform(word: str = "fin") -> Planform:
    """Return a part of 200 mm that tapers from 60 to 40 mm, with a rod to half its span."""
    return Planform(
        title=word,
        span_mm=200,
        root_chord_mm=60,
        tip_chord_mm=40,
        rods=(RodLine(chord_share=0.3, length_share=0.5),),
    )


def bent(word: str = "pressed", **more: object) -> BentPart:
    """Return a cantilever of 200 mm: one shape reaches 10 of 20 mm, one 30."""
    said = {"support": "cantilever", "load": "end", **more}
    return BentPart(
        title=word,
        span_mm=200,
        allowed_mm=20,
        force_n=12,
        lines=(
            BentLine(
                title=word, mark=0, points_mm=((0, 0), (100, 3), (200, 10)), deflection_mm=10
            ),
            BentLine(
                title=f"{word} too", mark=1, points_mm=((0, 0), (100, 9), (200, 30)),
                deflection_mm=30,
            ),
        ),
        **said,
    )  # fmt: skip


def strip(word: str = "load") -> Strip:
    """Return 10 min of hands, a day alone, 20 min of two people's hands after a wait of 60."""
    return Strip(
        title=word,
        mark=2,
        steps=(
            StripStep(name=word, minutes=10, hands=1, per="pull", cautions=(word, "dust")),
            StripStep(name="cure", minutes=1440, hands=0, per="pull"),
            StripStep(
                name="demould", minutes=20, hands=2, per="pull", wait_min=60, wait_max_min=600,
                notes=(word,),
            ),
        ),
        holds=(StripHold(what=word, first=0, last=2), StripHold(what="clamp", first=1, last=1)),
        upkeep=f"{word} every 4 pulls, 25 min",
    )  # fmt: skip


def board(word: str = "mould 1", **more: object) -> Board:
    """Return Monday 08:00 to Tuesday 08:00, open 08:00 to 16:00: a load, a cure, a wait."""
    hour = 60
    bars = (
        BoardBar(
            key="t0", row="m", also=("ann",), spans=((EIGHT, EIGHT + hour),), kind="hands", mark=0,
            labels=(f"{word} load", "1"), name=f"load, {word}",
        ),
        BoardBar(
            key="t1", row="m", spans=((EIGHT + hour, EIGHT + 9 * hour),), kind="alone", mark=0,
            labels=(f"{word} cure", "1"), name=f"cure, {word}",
        ),
        BoardBar(
            key="w", row="m", spans=((EIGHT + 9 * hour, EIGHT + 23 * hour),), kind="waits",
            labels=("14 h",),
        ),
        BoardBar(
            key="t2", row="ann", spans=((EIGHT + hour, EIGHT + 2 * hour), (EIGHT + 3 * hour,
            EIGHT + 4 * hour)), kind="hands", mark=1, name="trim", is_binding=True,
        ),
        BoardBar(key="t3", row="n", spans=((EIGHT, EIGHT + 8 * hour),), kind="alone", mark=None),
        BoardBar(
            key="t4", row="n", spans=((EIGHT + hour, EIGHT + 9 * hour),), kind="alone", mark=2
        ),
    )  # fmt: skip
    said = {
        "first": EIGHT,
        "last": EIGHT + 24 * hour,
        "open": ((EIGHT, EIGHT + 8 * hour),),
        "now": EIGHT + 2 * hour,
        "chosen": "t1",
        "closed_share": 0.5,
        **more,
    }
    return Board(
        title=word,
        zone="UTC",
        rows=(BoardRow(key="m", title=word, note=word), BoardRow(key="n", title="mould 2")),
        bars=bars,
        levels=(BoardLevel(title="press", places=2, steps=((EIGHT, 1), (EIGHT + hour, 0))),),
        people=(BoardRow(key="ann", title="Ann", hours=((EIGHT, EIGHT + 4 * hour),)),),
        orders=(
            BoardOrder(
                number="1", title=word, start=EIGHT, finish=EIGHT + 10 * hour,
                due=EIGHT + 8 * hour, bound_by="t1", why="cure",
            ),
            BoardOrder(
                number="2", title="fin", start=EIGHT, finish=EIGHT + 4 * hour,
                due=EIGHT + 12 * hour,
            ),
            BoardOrder(number="3", title="boom", start=EIGHT, finish=EIGHT + 90 * hour),
        ),
        **said,
    )  # fmt: skip


def limit_bars(word: str = "pressed") -> LimitBars:
    """Return one at half its limit, one at one and a half, one at five times."""
    return LimitBars(
        title=word,
        what=f"{word}, mm",
        decimals=1,
        bars=tuple(
            LimitBar(title=f"{word} {at}", mark=at, value=value, limit=10)
            for at, value in enumerate((5.0, 15.0, 50.0))
        ),
    )


def share_bar(word: str = "hands", price: str = "20.00") -> ShareBar:
    """Return costs of 9 and 3, of a price of 20 unless told otherwise."""
    return ShareBar(
        title=word,
        unit="EUR",
        price=Decimal(price),
        parts=(
            SharePart(title=word, amount=Decimal("9.00")),
            SharePart(title="material", amount=Decimal("3.00")),
            SharePart(title="nothing", amount=Decimal("0.00")),
        ),
    )


def fit(word: str = "cast-1", **more: object) -> FitPicture:
    said = {
        "title": f"Bench test {word}",
        "readings": ((2.0, 1.1, 0.05), (4.0, 2.1, -0.02), (6.0, 3.3, 0.11), (8.0, 4.2, -0.06)),
        "begins_at_mm": 0.02,
        "mm_per_n": 0.53,
        "theory_mm_per_n": 0.5,
        "most_off_mm": 0.08,
    }
    return FitPicture(**{**said, **more})


def search(word: str = "Order-days late", **more: object) -> SearchChart:
    """Return a search halfway: 4 at once, 2 after 5 s; never under 1, then 1.5."""
    said = {"now_s": 10.0, "until_s": 20.0, **more}
    return SearchChart(
        title=word,
        what=word,
        decimals=2,
        best=((0.0, 4.0), (5.0, 2.0)),
        bound=((2.0, 1.0), (8.0, 1.5)),
        **said,
    )


# Each draws its sample with a word in it, at a width.
EVERY: dict[str, Callable[[str, float], Drawing]] = {
    "quantity": lambda word, w: draw_quantity_chart(quantity_chart(word), width_px=w),
    "section": lambda word, w: draw_section(section(word), width_px=w),
    "planform": lambda word, w: draw_planform(planform(word), width_px=w),
    "bend": lambda word, w: draw_bend(bent(word), width_px=w),
    "bend both": lambda word, w: draw_bend(
        bent(word, support="elastic mounts", load="triangular"), width_px=w
    ),
    "strip": lambda word, w: draw_strip(strip(word), width_px=w),
    "board": lambda word, w: draw_board(board(word), width_px=w, link="/board?task="),
    "board hours": lambda word, w: draw_board(
        board(word, last=EIGHT + 180, closed_share=1.0), width_px=w, names=False
    ),
    "names": lambda word, w: draw_board_names(board(word)),
    "names narrow": lambda word, w: draw_board_names(board(word), width_px=w / 2),
    "key": lambda word, w: draw_key(
        board_key({"a": word, "b": f"{word} too"}, {"a": 0, "b": 7}), width_px=w
    ),
    "limits": lambda word, w: draw_limit_bars(limit_bars(word), width_px=w),
    "fit": lambda word, w: draw_fit(fit(word), width_px=w),
    "fit at a stop": lambda word, w: draw_fit(
        fit(word, touched_stop=True, mm_per_n=None), width_px=w
    ),
    "search": lambda word, w: draw_search(search(word), width_px=w),
    "share": lambda word, w: draw_share_bar(share_bar(word), width_px=w),
    "loss": lambda word, w: draw_share_bar(share_bar(word, "10.00"), width_px=w),
}


def tree(drawing: Drawing) -> ET.Element:
    """Return the drawing as a page would hold it, parsed."""
    return ET.fromstring(drawing.inline())


def having(root: ET.Element, tag: str, *classes: str) -> list[ET.Element]:
    """Return the elements of a tag that have all of these classes."""
    return [e for e in root.iter(f"{SVG}{tag}") if set(classes) <= set(e.get("class", "").split())]


def number(element: ET.Element, name: str) -> float:
    """Return an attribute as a number."""
    return float(element.get(name, "nan"))


def points(path: ET.Element) -> list[tuple[float, float]]:
    """Return the corners of a path of M and L."""
    found = re.findall(r"-?\d+(?:\.\d+)?", path.get("d", ""))
    values = [float(v) for v in found]
    return list(zip(values[::2], values[1::2], strict=True))


def letters(root: ET.Element) -> list[str]:
    """Return every line of text."""
    return [e.text or "" for e in root.iter(f"{SVG}text")]


def colliding(drawing: Drawing) -> Iterator[tuple[str, str]]:
    """Yield each pair of lines of text that cover one another."""
    for one, other in combinations(drawing.lettering, 2):
        if one.box.overlaps(other.box):
            yield one.text, other.text
