"""What the board shows, as plain values: rows, bars on them, orders under them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from mouldwright.domain.hours.opening import Window

# Someone's hands; a cure or print that needs nobody; a thing held while it waits for someone; the
# state a room is in, or someone is geared up for.
BarKind = Literal["hands", "alone", "waits", "state"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardBar:
    """One task, or one wait.

    Attributes:
        key: Its id for the page: letters, figures, "-" and "_" only.
        row: Key of the row it stands on.
        also: Further rows it is shown on, without being reached there.
        spans: The minutes really worked; more than one where work pauses.
        mark: How its process is drawn; None for what makes or keeps a mould. Of a state, which
            of its room's it is; None while the room settles, and of a session.
        labels: What may stand in it, the longest first.
        edges: Of a state, what of it is hands: gearing up and cleaning down.
        name: What it is, who does it and when, in a sentence.
        is_binding: Whether it holds up an order that is late.
    """

    key: str
    row: str
    spans: tuple[Window, ...]
    kind: BarKind
    mark: int | None = None
    also: tuple[str, ...] = ()
    labels: tuple[str, ...] = ()
    edges: tuple[Window, ...] = ()
    name: str = ""
    is_binding: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardRow:
    """A mould, a unit of a station, a person, a room, or a person in a session.

    Attributes:
        is_ground: Whether it is a room or a session, which no task can be put on.
        hours: When a person is there; None for a thing.
    """

    key: str
    title: str
    note: str = ""
    hours: tuple[Window, ...] | None = None
    is_ground: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardLevel:
    """How many places of a station are taken, over time.

    Attributes:
        steps: From which minute how many are taken, in order.
        places: How many there are.
    """

    title: str
    places: int
    steps: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardOrder:
    """An order as a line from its first task to its finish.

    Attributes:
        bound_by: Key of the bar that holds it up, where it is late.
        why: What holds it up, in words.
    """

    number: str
    title: str
    start: int
    finish: int
    due: int | None = None
    bound_by: str | None = None
    why: str = ""

    @property
    def late_min(self) -> int:
        """Return elapsed minutes past the due date."""
        return 0 if self.due is None else max(0, self.finish - self.due)


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """The board of one shop.

    Attributes:
        zone: IANA name of the time zone that days and clocks are read in.
        first: Its left edge.
        last: Its right edge.
        now: Where the now-line stands, if it lies between them.
        open: The shop's hours; the rest is shaded.
        closed_share: Width of a closed minute, as a share of an open one.
        chosen: Key of the bar the reader chose.
    """

    title: str
    zone: str
    first: int
    last: int
    open: tuple[Window, ...]
    rows: tuple[BoardRow, ...]
    bars: tuple[BoardBar, ...]
    levels: tuple[BoardLevel, ...] = ()
    people: tuple[BoardRow, ...] = ()
    orders: tuple[BoardOrder, ...] = ()
    now: int | None = None
    closed_share: float = 1 / 3
    chosen: str | None = None
