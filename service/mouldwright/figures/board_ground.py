"""What the board's bars stand on: closed time, days and hours, levels, and the now-line."""

from __future__ import annotations

from mouldwright.domain.hours.opening import local
from mouldwright.figures.board import Board, BoardLevel
from mouldwright.figures.board_layout import HEAD_PX, Layout, Strip
from mouldwright.figures.lettering import Box
from mouldwright.figures.lettering import width_px as lettered_px
from mouldwright.figures.look import NOTE_PX
from mouldwright.figures.pen import Pen, number, polyline
from mouldwright.figures.time_scale import TimeScale, clock_minutes, day_names, days

_DAY_Y = 14.0
_CLOCK_Y = 32.0
_SHADE_TOP = 20.0
# Closed stretches longer than this carry the mark of a shortened scale.
_BROKEN_MIN = 360
_CLOCK_STEPS_MIN = (5, 15, 30, 60, 120, 180, 360)


class BoardGround:
    """The layers under and over the bars."""

    def __init__(self, board: Board, pen: Pen, layout: Layout, scale: TimeScale) -> None:
        """Remember what is drawn, and where."""
        self.board, self.pen, self.layout, self.scale = board, pen, layout, scale
        self.foot = layout.bottom + 2

    def shade(self) -> None:
        """Shade closed time, and mark where its scale is shortened."""
        pen, scale = self.pen, self.scale
        for start, end in scale.closed:
            a, b = scale(start), scale(end)
            pen.rect(Box(a, _SHADE_TOP, b, self.foot), "closed")
        left, right = scale(self.board.first), scale(self.board.last)
        pen.line(left, self.foot, right, self.foot, "axis")
        if self.board.closed_share >= 1:
            return
        for start, end in scale.closed:
            a, b = scale(start), scale(end)
            if end - start >= _BROKEN_MIN and b - a >= 14:
                x, y = (a + b) / 2, self.foot
                strokes = "".join(
                    f"M{number(x + dx - 2)} {number(y + 5)}L{number(x + dx + 2)} {number(y - 5)}"
                    for dx in (-2.0, 2.0)
                )
                pen.path(strokes, "thin")

    def top(self) -> None:
        """Draw days, named as long as they have room, and hours where they can be read."""
        board, pen, scale = self.board, self.pen, self.scale
        shown = days(board.first, board.last, board.zone)
        places = [(day, scale(start), scale(end)) for day, start, end in shown]
        short = lettered_px("Wed 30", bold=True) + 8
        # Where most days are too narrow for a name, their weeks are named.
        by_week = sum(b - a >= short for _, a, b in places) * 2 < len(places)
        end_of_last = -100.0
        for at, (day, a, b) in enumerate(places):
            if shown[at][1] >= board.first:
                heavy = not by_week or day.weekday() == 0
                pen.line(
                    a, 4 if heavy else _SHADE_TOP, a, self.foot, "day-line" if heavy else "hair"
                )
            is_head = at == 0 or day.weekday() == 0
            for name in day_names(day)[0 if is_head else 1 :]:
                x, width = a + 4, lettered_px(name, bold=True)
                room = pen.width_px - x if by_week and is_head else b - a - 4
                if x >= end_of_last + 8 and width <= room and (is_head or not by_week):
                    pen.text(x, _DAY_Y, name, "strong")
                    end_of_last = x + width
                    break
        self._clock()

    def _clock(self) -> None:
        """Letter the hours at the closest step whose figures do not touch."""
        board, pen, scale = self.board, self.pen, self.scale
        left, right = scale(board.first), scale(board.last)
        per_min = (right - left) / (board.last - board.first)
        room = lettered_px("00:00", NOTE_PX) + 14
        step = next((s for s in _CLOCK_STEPS_MIN if s * per_min >= room), None)
        if step is None:
            return
        # Where closed time is drawn narrower its figures would touch, so they are left out.
        end_of_last = left - 100.0
        for minute in clock_minutes(board.first, board.last, board.zone, step):
            x = scale(minute)
            text = f"{local(minute, board.zone):%H:%M}"
            half = lettered_px(text, NOTE_PX) / 2
            is_under_now = board.now is not None and abs(x - scale(board.now)) < 2 * half + 12
            if x - half < end_of_last + 6 or x + half > pen.width_px or x - half < left:
                continue
            pen.line(x, HEAD_PX - 6, x, self.foot, "hair")
            if not is_under_now:
                pen.text(x, _CLOCK_Y, text, "note quiet", "middle")
            end_of_last = x + half

    def levels(self) -> None:
        """Draw how many places of a station are taken, under the level of all it has."""
        for level, strip in zip(self.board.levels, self.layout.levels, strict=True):
            self._level(level, strip)

    def _level(self, level: BoardLevel, strip: Strip) -> None:
        pen, scale, board = self.pen, self.scale, self.board
        foot, left, right = strip.top + strip.height, scale(board.first), scale(board.last)
        most = max([level.places, *(count for _, count in level.steps)])
        rise = (strip.height - 4) / max(most, 1)
        top = foot - level.places * rise
        pen.line(left, top, right, top, "free")
        pen.line(left, foot, right, foot, "row-line")
        points: list[tuple[float, float]] = [(left, foot)]
        for minute, count in level.steps:
            if minute >= board.last:
                break
            x, y = scale(minute), foot - count * rise
            points += [(x, points[-1][1]), (x, y)]
        points += [(right, points[-1][1]), (right, foot)]
        d = polyline(points, closed=True)
        pen.path(d, "blank")
        pen.path(d, "level", ' fill="url(#fig-ground)"')

    def now(self) -> None:
        """Draw the now-line with its time."""
        board, pen = self.board, self.pen
        if board.now is None or not board.first <= board.now <= board.last:
            return
        x = self.scale(board.now)
        text = f"{local(board.now, board.zone):%H:%M}"
        half = lettered_px(text, NOTE_PX, bold=True) / 2 + 5
        middle = min(max(x, self.scale(board.first) + half), pen.width_px - half)
        pen.line(x, 22, x, self.foot, "now")
        pen.rect(Box(middle - half, 21, middle + half, 37), "now-tab")
        pen.text(middle, 33.5, text, "now-word", "middle")
