"""The mould board as its page shows it: the drawing at a zoom, and what to know beside it."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import lasting
from mouldwright.figures.board import Board
from mouldwright.figures.board_drawing import draw_board, draw_board_names
from mouldwright.figures.board_of import ShownRows, board_of
from mouldwright.figures.board_places import board_places
from mouldwright.figures.key import board_key, draw_key
from mouldwright.figures.pen import Drawing
from mouldwright.figures.time_scale import ZOOMS
from mouldwright.planning.plan import Plan
from mouldwright.web.words import at_minute, long_day, moment

FIRST_ZOOM = "week"
ROW_CHOICES: dict[ShownRows, str] = {
    "all": "All rows",
    "moulds": "Moulds",
    "machines": "Machines",
    "people": "People",
    "rooms": "Rooms and sessions",
}
# The board begins a little before now, so that what is under way is seen.
BEFORE_NOW = 1 / 24
WIDTHS = {"six-weeks": 1600.0}
WIDTH = 1300.0
NAMES_NARROW_PX = 88.0
KEY_PX, KEY_MIDDLE_PX, KEY_NARROW_PX = 1180.0, 700.0, 350.0
MOST_STANDING = 6
# What a page of A4 across leaves beside its margins and the head of the sheet.
PAPER_PX = (1030.0, 655.0)
KEY_PAPER_PX = 1000.0
LEAST_ON_PAPER = 50
BINDS_SHOWN = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class LateView:
    """An order that is ready after it is due.

    Attributes:
        likely: Its likely day; a dash where nobody worked it out.
    """

    number: str
    title: str
    due: str
    ready: str
    likely: str
    late: str
    binds: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardView:
    """The board's page.

    Attributes:
        zooms: Title, query, and whether it is the one shown.
        row_choices: The same for which rows are shown.
        standing: Mould or machine, and how long it stands and waits in what is shown.
        in_time: Orders that are in time: number, title, ready, likely ready, due, in
            hand.
        on_paper: Class that sets the board as large as a page of paper holds it.
        knees: Minutes and their places, as JSON, for moving tasks by hand.
        rows: Rows and their places, as JSON.
    """

    board: Drawing
    names: Drawing
    names_narrow: Drawing
    key: Drawing
    key_middle: Drawing
    key_narrow: Drawing
    key_paper: Drawing
    span: str
    zoom: str
    start: int
    zooms: tuple[tuple[str, str, bool], ...]
    row_choices: tuple[tuple[str, str, bool], ...]
    earlier: str
    later: str
    today: str
    save: str
    late: tuple[LateView, ...]
    in_time: tuple[tuple[str, str, str, str, str, str], ...]
    standing: tuple[tuple[str, str], ...]
    binds: tuple[str, ...]
    on_paper: str
    knees: str
    rows: str


def board_view(
    shop: Shop,
    plan: Plan,
    *,
    marks: Mapping[str, int],
    zoom: str,
    first: int | None,
    now: int,
    link: str,
    chosen: str = "",
    rows: ShownRows = "all",
) -> BoardView:
    """Return the view of a plan.

    Args:
        shop: Its rows and hours.
        plan: What is on them.
        marks: How each process is drawn.
        zoom: Key of how much time is shown.
        first: Minute of the left edge; None for a little before now.
        now: Where the now-line stands.
        link: Address that a task's key is put behind.
        chosen: Key of the task that is open.
        rows: Which rows are shown.
    """
    shown = ZOOMS[zoom]
    start = start_of(zoom, now) if first is None else first
    board = board_of(
        shop, plan, marks=marks, zoom=zoom, first=start, now=now, chosen=chosen, shown_rows=rows
    )
    titles = {process.key: process.title for process in shop.processes.values()}
    used = {key: mark for key, mark in marks.items() if any(t.process == key for t in plan.tasks)}
    key = board_key(titles, used, rooms=any(row.is_ground for row in board.rows))
    step = shown.span_min * 3 // 4
    width = WIDTHS.get(zoom, WIDTH)
    drawn = draw_board(board, width_px=width, link=link, tab_stops="row", names=False)
    places = board_places(board, width_px=width)
    names = draw_board_names(board)
    return BoardView(
        board=drawn,
        names=names,
        names_narrow=draw_board_names(board, width_px=NAMES_NARROW_PX, key="board-names-narrow"),
        key=draw_key(key, width_px=KEY_PX),
        key_middle=draw_key(key, width_px=KEY_MIDDLE_PX, key="key-middle"),
        key_narrow=draw_key(key, width_px=KEY_NARROW_PX, key="key-narrow"),
        key_paper=draw_key(key, width_px=KEY_PAPER_PX, key="key-paper"),
        span=_span(board),
        zoom=zoom,
        start=start,
        zooms=tuple(
            (
                each.title,
                _query(name, _kept_middle(start, shown.span_min, each.span_min), rows),
                name == zoom,
            )
            for name, each in ZOOMS.items()
        ),
        row_choices=tuple(
            (title, _query(zoom, start, key), key == rows)
            for key, title in ROW_CHOICES.items()
            if key != "rooms" or shop.rooms or shop.sessions
        ),
        earlier=_query(zoom, start - step, rows),
        later=_query(zoom, start + step, rows),
        today=_query(zoom, None, rows),
        save=_query(zoom, start, rows),
        late=_late(shop, plan),
        in_time=_in_time(plan, board),
        standing=_standing(board),
        binds=_binds(plan),
        on_paper=_on_paper(names.width_px + drawn.width_px, drawn.height_px),
        knees=json.dumps(places.knees, separators=(",", ":")),
        rows=json.dumps(places.rows, separators=(",", ":")),
    )


def _on_paper(width_px: float, height_px: float) -> str:
    """Return the class of the largest size, in even hundredths, that a page holds."""
    share = min(PAPER_PX[0] / width_px, PAPER_PX[1] / height_px)
    # Smaller than this nobody reads it: then it runs over to the next page.
    return f"on-paper-{min(100, max(LEAST_ON_PAPER, int(share * 50) * 2))}"


def start_of(zoom: str, now: int) -> int:
    """Return the left edge that shows now near it, on a full quarter of an hour."""
    start = now - round(ZOOMS[zoom].span_min * BEFORE_NOW)
    return start - start % 15


def _kept_middle(start: int, span_min: int, other_min: int) -> int | None:
    """Return the left edge of another zoom that keeps what stands near the left in sight."""
    at = start + span_min * BEFORE_NOW - other_min * BEFORE_NOW
    return round(at) - round(at) % 15


def _query(zoom: str, first: int | None, rows: ShownRows) -> str:
    given = {"zoom": zoom, **({} if first is None else {"first": str(first)})}
    given |= {} if rows == "all" else {"rows": rows}
    return "?" + urlencode(given)


def _span(board: Board) -> str:
    start, end = at_minute(board.first, board.zone), at_minute(board.last, board.zone)
    if start.date() == end.date():
        return f"{long_day(start)}, {start:%H:%M} to {end:%H:%M}"
    return f"{moment(start)} to {moment(end)} {end:%Y}"


def _late(shop: Shop, plan: Plan) -> tuple[LateView, ...]:
    orders = {order.number: order for order in shop.orders}
    found = []
    for outcome in plan.orders:
        if outcome.late_min and outcome.due is not None:
            order = orders.get(outcome.number)
            title = f"{order.quantity} × {_title(shop, order.part)}" if order else ""
            found.append(
                LateView(
                    number=outcome.number,
                    title=title,
                    due=moment(at_minute(outcome.due, plan.zone)),
                    ready=moment(at_minute(outcome.finish, plan.zone)),
                    likely=_likely(plan, outcome.number),
                    late=lasting(outcome.late_min),
                    binds=outcome.binds[:BINDS_SHOWN],
                )
            )
    return tuple(found)


def _likely(plan: Plan, number: str) -> str:
    likely = plan.likely(number)
    return "–" if likely is None else moment(at_minute(likely, plan.zone))


def _title(shop: Shop, key: str) -> str:
    sold = shop.parts.get(key) or shop.sets.get(key)
    return sold.title if sold else key


def _in_time(plan: Plan, board: Board) -> tuple[tuple[str, str, str, str, str, str], ...]:
    titles = {order.number: order.title for order in board.orders}
    return tuple(
        (
            outcome.number,
            titles.get(outcome.number, ""),
            moment(at_minute(outcome.finish, plan.zone)),
            _likely(plan, outcome.number),
            moment(at_minute(outcome.due, plan.zone)) if outcome.due is not None else "no date",
            lasting(outcome.due - outcome.finish) if outcome.due is not None else "–",
        )
        for outcome in plan.orders
        if not outcome.late_min
    )


def _standing(board: Board) -> tuple[tuple[str, str], ...]:
    lost: dict[str, int] = {}
    for bar in board.bars:
        if bar.kind == "waits":
            inside = [max(0, min(b, board.last) - max(a, board.first)) for a, b in bar.spans]
            lost[bar.row] = lost.get(bar.row, 0) + sum(inside)
    titles = {row.key: row.title for row in board.rows}
    most = sorted(lost.items(), key=lambda pair: -pair[1])[:MOST_STANDING]
    return tuple((titles.get(row, row), lasting(minutes)) for row, minutes in most if minutes)


def _binds(plan: Plan) -> tuple[str, ...]:
    """Return what fixes the end of the plan: that of its last order."""
    last = max(plan.orders, key=lambda order: order.finish, default=None)
    return () if last is None else last.binds[:BINDS_SHOWN]
