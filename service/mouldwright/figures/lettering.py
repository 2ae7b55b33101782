"""How wide words are, and where they may stand so that none covers another.

Widths are those of the Arial family in thousandths of the size, read from the Liberation Sans
font, which is made to the same measure; the other faces asked for are as wide or narrower.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

from mouldwright.figures.look import TEXT_PX

_REGULAR = {
    222: "'ijl|",
    278: " !,./:;I[\\]ft·",
    333: "()-`r{}",
    400: '"*°',
    500: "^Jcksvxyz",
    556: "#$0123456789?L_abdeghnopqu–€£≤≥",
    600: "+<=>~×FTZøµ",
    667: "&ABEKPSVXY",
    722: "CDHNRUw",
    778: "GOQ",
    833: "Mm½",
    889: "%",
    1000: "W—→…@",
}
_BOLD = {
    278: " ,./I\\ijl·'|",
    333: "!()-:;[]`ft",
    400: "*r{}°",
    500: 'z"',
    556: "#$0123456789J_aceksvxy–€£≤≥",
    611: "?FLTZbdghnopquø+<=>^~×µ",
    667: "EPSVXY",
    722: "&ABCDHKNRU",
    778: "GOQw",
    833: "M½",
    889: "%m",
    1000: "W—→…@",
}
_WIDTHS = tuple(
    {letter: width for width, letters in face.items() for letter in letters}
    for face in (_REGULAR, _BOLD)
)
# A letter of another script is as wide as it is high.
_UNKNOWN = 1000
# Above the baseline and below it, as shares of the size.
ASCENT, DESCENT = 0.76, 0.24


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle in px; y runs down."""

    left: float
    top: float
    right: float
    bottom: float

    def overlaps(self, other: Box, gap: float = 0.0) -> bool:
        """Return whether they share more than an edge, or come nearer than the gap."""
        return (
            self.left < other.right + gap
            and other.left < self.right + gap
            and self.top < other.bottom + gap
            and other.top < self.bottom + gap
        )


def width_px(text: str, size_px: float = TEXT_PX, *, bold: bool = False) -> float:
    """Return how wide a line of text is."""
    widths = _WIDTHS[bold]
    total = 0
    for letter in text:
        width = widths.get(letter)
        if width is None:
            plain = unicodedata.normalize("NFD", letter)[0]
            width = widths.get(plain, _UNKNOWN)
        total += width
    return total * size_px / 1000


def box_of(
    text: str, x: float, y: float, size_px: float, *, bold: bool = False, anchor: str = "start"
) -> Box:
    """Return the box of a line whose baseline stands at y; anchor as in SVG."""
    width = width_px(text, size_px, bold=bold)
    left = x - {"start": 0.0, "middle": width / 2, "end": width}[anchor]
    return Box(left, y - ASCENT * size_px, left + width, y + DESCENT * size_px)


def clipped(text: str, room_px: float, size_px: float = TEXT_PX, *, bold: bool = False) -> str:
    """Return the text, cut with an ellipsis where it is wider than its room."""
    if width_px(text, size_px, bold=bold) <= room_px:
        return text
    kept = text
    while kept and width_px(kept.rstrip() + "…", size_px, bold=bold) > room_px:
        kept = kept[:-1]
    return kept.rstrip() + "…" if kept else ""


def wrapped(
    text: str, room_px: float, size_px: float = TEXT_PX, *, bold: bool = False
) -> tuple[str, ...]:
    """Return the text in lines no wider than the room; a single long word is cut."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_px(longer, size_px, bold=bold) <= room_px:
            lines[-1] = longer
        else:
            lines.append(clipped(word, room_px, size_px, bold=bold))
    return tuple(lines)


def spread(wanted: Sequence[float], gap: float, low: float, high: float) -> tuple[float, ...]:
    """Return places near those wanted, at least a gap apart and within low and high.

    The order is kept, and the sum of the squared moves is the least there is (pooling of
    neighbours that would touch). Where all do not fit, they stand evenly from low on.

    Args:
        wanted: Places in rising order.
        gap: Least distance between two, in px.
        low: The first may stand no lower.
        high: The last may stand no higher.
    """
    count = len(wanted)
    top = high - gap * (count - 1)
    pools: list[tuple[float, int]] = []
    for at, place in enumerate(wanted):
        pools.append((place - gap * at, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (a, n), (b, m) = pools[-2:]
            pools[-2:] = [((a * n + b * m) / (n + m), n + m)]
    found: list[float] = []
    for mean, size in pools:
        for _ in range(size):
            found.append(max(low, min(mean, top)) + gap * len(found))
    return tuple(found)
