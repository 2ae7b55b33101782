"""What a price is made of: one bar of parts that add up, and what is left over."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from mouldwright.domain.shown import listed
from mouldwright.figures.lettering import Box, clipped, spread
from mouldwright.figures.lettering import width_px as lettered_px
from mouldwright.figures.pen import Drawing, Pen, number
from mouldwright.figures.table import Table

_BAR_PX = 24.0
_LINE_PX = 19.0
_BUBBLE_PX = 9.5


@dataclass(frozen=True, slots=True, kw_only=True)
class SharePart:
    """One part of the cost."""

    title: str
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class ShareBar:
    """A price and the costs in it, in one currency; all amounts are of one good part.

    Attributes:
        unit: The currency's code.
        parts: The costs, none below nought; what the price leaves over them is the margin.
    """

    title: str
    unit: str
    price: Decimal
    parts: tuple[SharePart, ...]

    @property
    def margin(self) -> Decimal:
        """Return price less cost; below nought where it is sold under cost."""
        return self.price - sum((part.amount for part in self.parts), Decimal(0))


def draw_share_bar(bar: ShareBar, *, width_px: float = 420, key: str = "share-bar") -> Drawing:
    """Return the bar: costs in order, the margin shaded at the end, each with its amount.

    Raises:
        ValueError: if an amount is below nought, or all are nought.
    """
    whole = max(bar.price, bar.price - bar.margin)
    if whole <= 0 or any(part.amount < 0 for part in bar.parts):
        raise ValueError(f"{bar.title}: amounts below nought, or nothing at all, cannot be drawn")
    pen = Pen(key, width_px)
    rows = [(part.title, part.amount, "blank outline") for part in bar.parts if part.amount]
    if bar.margin > 0:
        rows.append(("margin", bar.margin, "closed outline"))
    scale = (width_px - 2) / float(whole)
    top = 40.0
    left, middles = 1.0, []
    for _, amount, classes in rows:
        right = left + float(amount) * scale
        pen.rect(Box(left, top, right, top + _BAR_PX), classes)
        middles.append((left + right) / 2)
        left = right
    if bar.margin < 0:
        x = 1 + float(bar.price) * scale
        pen.rect(Box(x, top, left, top + _BAR_PX), "late-edge")
        pen.line(x, top - 6, x, top + _BAR_PX + 6, "limit")
    _bubbles(pen, middles, top)
    foot = _list(pen, bar, rows, top + _BAR_PX + 12)
    return pen.finish(title=bar.title, summary=_summary(bar), height_px=foot + 8, table=_table(bar))


def _bubbles(pen: Pen, middles: list[float], top: float) -> None:
    gap = min(2 * _BUBBLE_PX + 3, (pen.width_px - 2 * _BUBBLE_PX) / max(len(middles), 1))
    places = spread(middles, gap, _BUBBLE_PX + 1, pen.width_px - _BUBBLE_PX - 1)
    y = top - 25
    for at, (x, to) in enumerate(zip(places, middles, strict=True), start=1):
        pen.path(f"M{number(x)} {number(y)}L{number(to)} {number(top)}", "thin")
        pen.circle(x, y, min(_BUBBLE_PX, gap / 2), "bubble")
        pen.text(x, y + 4, str(at), "note", "middle")


def _list(pen: Pen, bar: ShareBar, rows: list[tuple[str, Decimal, str]], top: float) -> float:
    whole = bar.price if bar.price > 0 else Decimal(1)
    y = top + 12
    for at, (title, amount, _) in enumerate(rows, start=1):
        _row(pen, y, str(at), title, amount, amount / whole)
        y += _LINE_PX
    pen.line(0, y - 13, pen.width_px, y - 13, "axis")
    _row(pen, y + 2, "", f"Price, {bar.unit}", bar.price, None, strong=True)
    if bar.margin < 0:
        y += _LINE_PX
        text = f"sold {-bar.margin} under cost"
        pen.text(pen.width_px - 54, y + 2, text, "warn", "end")
    return y + 4


def _row(
    pen: Pen,
    y: float,
    at: str,
    title: str,
    amount: Decimal,
    share: Decimal | None,
    *,
    strong: bool = False,
) -> None:
    classes = "strong" if strong else ""
    value = str(amount)
    end = pen.width_px - 54
    start = 26 if at else 0
    if at:
        pen.text(9.5, y, at, "note quiet", "middle")
    room = end - lettered_px(value, bold=strong) - start - 10
    pen.text(start, y, clipped(title, room, bold=strong), classes)
    pen.text(end, y, value, classes, "end")
    if share is not None:
        pen.text(pen.width_px, y, f"{float(share) * 100:.1f} %", "quiet", "end")


def _summary(bar: ShareBar) -> str:
    each = listed([f"{part.title} {part.amount}" for part in bar.parts if part.amount])
    last = (
        f"{bar.margin} is left as margin."
        if bar.margin >= 0
        else f"It is sold {-bar.margin} under cost."
    )
    return f"Of a price of {bar.price} {bar.unit}: {each}. {last}"


def _table(bar: ShareBar) -> Table:
    rows = [(part.title, str(part.amount)) for part in bar.parts]
    rows += [("Margin", str(bar.margin)), ("Price", str(bar.price))]
    return Table(headers=("What", f"Amount, {bar.unit}"), rows=tuple(rows))
