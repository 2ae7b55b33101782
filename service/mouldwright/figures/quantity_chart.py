"""Cost, or time, by quantity for each process, with the crossovers and the quantity asked."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.shown import listed
from mouldwright.figures.lettering import Box, clipped, spread, width_px
from mouldwright.figures.look import mark_class
from mouldwright.figures.pen import Drawing, Pen, number, polyline
from mouldwright.figures.scales import Scale, ratio_steps, round_steps
from mouldwright.figures.table import Table
from mouldwright.figures.wording import plain, said

# Past this ratio of most to least a straight scale would press what matters into its foot.
_MOST_STRAIGHT_RATIO = 6.0
# Past this one the least is as good as nought, and a scale by ratio would be all foot.
_MOST_RATIO = 1e6
_NARROW_PX = 560
_MOST_GUTTER_SHARE = 0.33
_LINE_PX = 17.0


@dataclass(frozen=True, slots=True, kw_only=True)
class QuantityLine:
    """One process.

    Attributes:
        key: What crossovers call it.
        points: Quantity and value in rising order of quantity; a value not known is None.
        fails: Whether the part made so does not bear what is asked.
    """

    key: str
    title: str
    mark: int
    points: tuple[tuple[int, float | None], ...]
    fails: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class QuantityChart:
    """Values by quantity.

    Attributes:
        what: Of what, with its unit: "Unit cost, EUR".
        decimals: Decimals of the unit.
        crossovers: From which quantity which process is the lowest, the first at the start.
        lowest: What the lowest is called: "cheapest", "soonest".
        asked: The quantity asked for.
    """

    title: str
    what: str
    decimals: int
    lines: tuple[QuantityLine, ...]
    crossovers: tuple[tuple[int, str], ...] = ()
    lowest: str = "cheapest"
    asked: int | None = None


def draw_quantity_chart(
    chart: QuantityChart, *, width_px: float = 760, key: str = "by-quantity"
) -> Drawing:
    """Return the chart. Whole quantities next to each other are steps; others are dots, joined.

    Raises:
        ValueError: if no line has a known value.
    """
    known = [(q, v) for line in chart.lines for q, v in line.points if v is not None]
    if not known:
        raise ValueError(f"nothing to draw: no value of {chart.what} is known at any quantity")
    pen = Pen(key, width_px)
    frame = _Frame(chart, pen, known)
    frame.head()
    frame.grid()
    frame.lines()
    frame.asked()
    return pen.finish(
        title=chart.title,
        summary=_summary(chart, known),
        height_px=frame.height,
        table=_table(chart),
    )


def _is_stepped(line: QuantityLine) -> bool:
    quantities = [q for q, _ in line.points]
    return len(quantities) > 1 and quantities[-1] - quantities[0] == len(quantities) - 1


def _summary(chart: QuantityChart, known: list[tuple[int, float]]) -> str:
    titles = {line.key: line.title for line in chart.lines}
    words = [f"{chart.what}, for {min(known)[0]} to {max(known)[0]} good parts."]
    changes = [f"{titles.get(p, p)} from {q}" for q, p in chart.crossovers]
    if changes:
        words.append(f"{chart.lowest.capitalize()}: {listed(changes)}.")
    if chart.asked is not None:
        at = [
            f"{line.title} {said(value, chart.decimals)}"
            for line in chart.lines
            if (value := dict(line.points).get(chart.asked)) is not None
        ]
        if at:
            words.append(f"At {chart.asked} asked: {listed(at)}.")
    return " ".join(words)


def _table(chart: QuantityChart) -> Table:
    quantities = sorted({q for line in chart.lines for q, _ in line.points})
    by_line = [dict(line.points) for line in chart.lines]
    return Table(
        headers=("Good parts", *(f"{line.title}: {chart.what}" for line in chart.lines)),
        rows=tuple(
            (q, *(None if (v := p.get(q)) is None else said(v, chart.decimals) for p in by_line))
            for q in quantities
        ),
    )


class _Frame:
    """The chart's measures, and its layers from the ground up."""

    def __init__(self, chart: QuantityChart, pen: Pen, known: list[tuple[int, float]]) -> None:
        self.chart, self.pen = chart, pen
        self.narrow = pen.width_px < _NARROW_PX
        first, last = min(q for q, _ in known), max(q for q, _ in known)
        values = [v for _, v in known]
        # The last tread needs its own half step, so a single quantity has room too.
        self.first, self.last = first - 0.5 if first > 1 else 0.8, last + 0.5
        by_ratio = (
            min(values) > 0 and _MOST_STRAIGHT_RATIO < max(values) / min(values) < _MOST_RATIO
        )
        self.ticks, low, high = _levels(min(values), max(values), by_ratio)
        label_px = max(width_px(plain(t)) for t in self.ticks)
        self.gutter = (
            8.0
            if self.narrow
            else min(pen.width_px * _MOST_GUTTER_SHARE, self._widest_title() + 22)
        )
        self.left = label_px + 12
        self.right = pen.width_px - self.gutter
        self.band_top = 22.0 + (len(chart.lines) * _LINE_PX + 6 if self.narrow else 0)
        self.top = self.band_top + (58 if chart.crossovers else 16)
        self.bottom = self.top + (230 if self.narrow else 260)
        self.height = self.bottom + (58 if chart.asked is not None else 42)
        self.x = Scale(
            low=self.first, high=self.last, start=self.left, end=self.right, by_ratio=True
        )
        self.y = Scale(low=low, high=high, start=self.bottom, end=self.top, by_ratio=by_ratio)
        self.by_ratio = by_ratio

    def _widest_title(self) -> float:
        return max(width_px(self._name(line), bold=True) for line in self.chart.lines)

    def _name(self, line: QuantityLine) -> str:
        return f"{line.title}, fails" if line.fails else line.title

    def head(self) -> None:
        """Say what is drawn; where the gutter is too narrow for names, list the lines here."""
        self.pen.text(0, 12, self.chart.what, "strong")
        if self.narrow:
            for at, line in enumerate(self.chart.lines):
                y = 12 + (at + 1) * _LINE_PX
                self.pen.line(2, y - 4, 30, y - 4, self._stroke(line))
                name = clipped(self._name(line), self.pen.width_px - 40, bold=line.fails)
                self.pen.text(38, y, name, "warn" if line.fails else "")
        if self.chart.crossovers:
            self._band()

    def _band(self) -> None:
        pen, chart = self.pen, self.chart
        top = self.band_top + 4
        marks = {line.key: line for line in chart.lines}
        starts = [q for q, _ in chart.crossovers]
        if self.narrow:
            words = f"strip: {chart.lowest}"
            pen.text_if_free([(self.right, 12, "end")], words, "quiet")
        else:
            pen.text(self.right + 10, top + 11, clipped(chart.lowest, self.gutter - 12), "quiet")
        for at, (quantity, process) in enumerate(chart.crossovers):
            a = self._edge(quantity) if at else self.left
            b = self._edge(starts[at + 1]) if at + 1 < len(starts) else self.right
            line = marks.get(process)
            fill = pen.filled(line.mark if line else None)
            pen.rect(Box(a, top, b, top + 14), "outline", fill)
            if at:
                pen.line(a, top + 14, a, self.bottom, "hair")
        for at, (quantity, process) in enumerate(chart.crossovers):
            a = self._edge(quantity) if at else self.left
            b = self._edge(starts[at + 1]) if at + 1 < len(starts) else self.right
            line = marks.get(process)
            title = line.title if line else process
            name = clipped(title, b - a - 6)
            if len(name) > 8 or name == title:
                pen.text_if_free([((a + b) / 2, top + 29, "middle")], name, "quiet")

    def _edge(self, quantity: float) -> float:
        return self.x(max(quantity - 0.5, self.first))

    def _stroke(self, line: QuantityLine) -> str:
        return f"line {mark_class(line.mark)}" + (" fails" if line.fails else "")

    def grid(self) -> None:
        """Draw level lines, the foot, and its figures: crossovers first, round ones if free."""
        pen = self.pen
        for value in self.ticks:
            y = self.y(value)
            pen.line(self.left, y, self.right, y, "hair")
            pen.text(self.left - 6, y + 4, plain(value), "quiet", "end")
        pen.line(self.left, self.bottom, self.right, self.bottom, "axis")
        foot = self.bottom + 19
        strong = [q for q, _ in self.chart.crossovers[1:]]
        ends = [q for q in (round(self.first + 0.5), round(self.last - 0.5)) if q not in strong]
        rounds = [round(t) for t in ratio_steps(max(self.first, 1), self.last) if t >= 1]
        for quantity in dict.fromkeys([*strong, *ends, *rounds]):
            x = self.x(quantity)
            classes = "strong" if quantity in strong else "quiet"
            places = [(x, foot, "middle"), (pen.width_px, foot, "end")]
            if pen.text_if_free(places[: 2 if x > self.right - 8 else 1], str(quantity), classes):
                pen.line(x, self.bottom, x, self.bottom + 5, "axis")
        words = "good parts, each doubling as wide as the last"
        if width_px(words) > pen.width_px * 0.7:
            words = "good parts"
        pen.text(self.right, self.height - 6, words, "quiet", "end")

    def lines(self) -> None:
        """Draw each process, and name it where its line ends."""
        for line in self.chart.lines:
            if _is_stepped(line):
                self._steps(line)
            else:
                self._dots(line)
        if not self.narrow:
            self._names()

    def _steps(self, line: QuantityLine) -> None:
        runs: list[list[tuple[float, float]]] = [[]]
        for quantity, value in line.points:
            if value is None:
                runs.append([])
                continue
            y = self.y(value)
            runs[-1] += [(self._edge(quantity), y), (self._edge(quantity + 1), y)]
        for run in runs:
            if run:
                self.pen.path(polyline(_thinned(run)), self._stroke(line))

    def _dots(self, line: QuantityLine) -> None:
        points = [(self.x(q), self.y(v)) for q, v in line.points if v is not None]
        if len(points) > 1:
            self.pen.path(polyline(points), self._stroke(line))
        for x, y in points:
            self.pen.circle(x, y, 3.2, f"dot {mark_class(line.mark)}")

    def _names(self) -> None:
        ends = [
            (self.y(value), line)
            for line in self.chart.lines
            if (value := next((v for _, v in reversed(line.points) if v is not None), None))
            is not None
        ]
        ends.sort(key=lambda end: (end[0], end[1].key))
        placed = spread([y for y, _ in ends], _LINE_PX, self.top + 6, self.bottom - 4)
        for (y, line), at in zip(ends, placed, strict=True):
            self.pen.path(
                f"M{number(self.right + 2)} {number(y)}L{number(self.right + 14)} {number(at)}",
                "thin",
            )
            name = clipped(self._name(line), self.gutter - 19, bold=True)
            classes = "warn" if line.fails else f"strong word {mark_class(line.mark)}"
            self.pen.text(self.right + 18, at + 4, name, classes)

    def asked(self) -> None:
        """Mark the quantity asked, across every line."""
        quantity = self.chart.asked
        if quantity is None or not self.first <= quantity <= self.last:
            return
        pen, x = self.pen, self.x(quantity)
        words = f"asked {quantity}"
        half = width_px(words, bold=True) / 2
        pen.line(x, self.top - 6, x, self.bottom + 6, "asked")
        middle = min(max(x, half), pen.width_px - half)
        if not pen.is_free(pen.room(middle, self.bottom + 36, words, "amber", "middle")):
            middle = self.left + half
        pen.text(middle, self.bottom + 36, words, "amber", "middle")
        for line in self.chart.lines:
            value = dict(line.points).get(quantity)
            if value is None:
                continue
            y = self.y(value)
            pen.circle(x, y, 4, "here")
            places = [(x + 8, y - 7, "start"), (x - 8, y + 17, "end"), (x + 8, y + 17, "start")]
            classes = f"strong halo word {mark_class(line.mark)}"
            pen.text_if_free(places, said(value, self.chart.decimals), classes)


def _levels(low: float, high: float, by_ratio: bool) -> tuple[tuple[float, ...], float, float]:
    """Return the level lines, and the ends of a scale that holds every value."""
    if by_ratio:
        ticks = ratio_steps(low, high)
        return (ticks or (low,)), low * 0.93, high * 1.07
    # Values that are all but one value still need a scale that can be told apart.
    room = max(high - low, abs(high) * 0.05, 1e-9)
    foot = 0.0 if 0 <= low < room else low - room * 0.15
    top = high + room * 0.08
    return round_steps(foot, top, 5), foot, top


def _thinned(run: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return the steps without the corners no eye can part: under a third of a pixel."""
    kept = run[:1]
    for point in run[1:-1]:
        if abs(point[0] - kept[-1][0]) >= 0.33 or abs(point[1] - kept[-1][1]) >= 0.33:
            kept.append(point)
    return [*kept, *run[-1:]]
