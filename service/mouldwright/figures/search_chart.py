"""How a search for a plan goes: the best so far, and what it cannot be under, by the seconds."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.figures.lettering import spread
from mouldwright.figures.lettering import width_px as lettered_px
from mouldwright.figures.pen import Drawing, Pen, polyline
from mouldwright.figures.scales import Scale
from mouldwright.figures.table import Table
from mouldwright.figures.wording import said

_HIGH_PX = 96.0
_TOP_PX = 12.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchChart:
    """A search, as far as it has come.

    Attributes:
        what: Of what, with its unit: "Order-days late".
        decimals: Decimals of the unit.
        best: Seconds and value, each time a better plan was found, in order.
        bound: Seconds and proven bound, each time it rose, in order.
        now_s: How far the search is.
        until_s: When it ends by itself.
    """

    title: str
    what: str
    decimals: int
    best: tuple[tuple[float, float], ...]
    bound: tuple[tuple[float, float], ...] = ()
    now_s: float
    until_s: float


def draw_search(chart: SearchChart, *, width_px: float = 480, key: str = "search") -> Drawing:
    """Return both as steps: a plan holds until a better one is found, a bound until it rises.

    Raises:
        ValueError: if no plan was found yet, or the search has no time.
    """
    if not chart.best or not 0 <= chart.now_s <= chart.until_s or chart.until_s <= 0:
        raise ValueError("a search is drawn from its first plan on, and within its time")
    pen = Pen(key, width_px)
    best = said(chart.best[-1][1], chart.decimals)
    texts = [f"best {best}"]
    if chart.bound:
        texts.append(f"cannot be under {said(chart.bound[-1][1], chart.decimals)}")
    gutter = max(lettered_px(text, bold=True) for text in texts) + 12
    values = [v for _, v in (*chart.best, *chart.bound)]
    low, high = min(values), max(values)
    room = max(high - low, abs(high) * 0.05, 1e-9)
    top = _TOP_PX + 12
    y = Scale(
        low=low - room * 0.1,
        high=high + room * 0.05,
        start=top + _HIGH_PX,
        end=top,
    )
    # The end of the search may lie under the words, so these stand past it.
    x = Scale(low=0, high=chart.until_s, start=0, end=width_px - gutter)
    foot = y.start + 6
    pen.text(0, _TOP_PX, chart.what, "strong")
    pen.line(0, foot, x.end, foot, "axis")
    now = x(chart.now_s)
    pen.line(now, _TOP_PX + 8, now, foot, "hair")
    ends: list[tuple[float, str, str]] = []
    for runs, classes, text, word in (
        (chart.best, "line best", texts[0], "strong"),
        (chart.bound, "line bound", texts[-1], "quiet"),
    ):
        if runs:
            pen.path(polyline(_steps(runs, chart.now_s, x, y)), classes)
            ends.append((y(runs[-1][1]), text, word))
    ends.sort()
    places = spread([end[0] for end in ends], 17, _TOP_PX + 16, foot - 4)
    for (_, text, word), at in zip(ends, places, strict=True):
        pen.text(x.end + 10, at + 4, text, word)
    pen.text(0, foot + 17, "0", "quiet")
    pen.text(x.end, foot + 17, f"{chart.until_s:g} s", "quiet", "end")
    spent = f"{chart.now_s:g} s"
    pen.text_if_free([(now, foot + 17, "middle")], spent, "quiet")
    return pen.finish(
        title=chart.title, summary=_summary(chart, texts), height_px=foot + 22, table=_table(chart)
    )


def _steps(
    runs: tuple[tuple[float, float], ...], now: float, x: Scale, y: Scale
) -> list[tuple[float, float]]:
    corners = [(x(runs[0][0]), y(runs[0][1]))]
    for seconds, value in runs[1:]:
        corners += [(x(seconds), corners[-1][1]), (x(seconds), y(value))]
    return [*corners, (x(now), corners[-1][1])]


def _summary(chart: SearchChart, texts: list[str]) -> str:
    return f"{chart.what} after {chart.now_s:g} of {chart.until_s:g} s: {', '.join(texts)}."


def _table(chart: SearchChart) -> Table:
    rows = [
        *((seconds, "best so far", value) for seconds, value in chart.best),
        *((seconds, "cannot be under", value) for seconds, value in chart.bound),
    ]
    return Table(
        headers=("Second", "What", chart.what),
        rows=tuple((s, what, said(v, chart.decimals)) for s, what, v in sorted(rows)),
    )
