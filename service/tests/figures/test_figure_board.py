"""The board: every bar where its minutes are, closed time shaded, each task to be reached."""

import dataclasses
import time

import pytest
from drawn_samples import EIGHT, SVG, board, colliding, having, letters, number, points, tree
from hypothesis import given
from hypothesis import strategies as st
from numpy import interp

from mouldwright.figures.board import Board, BoardBar, BoardRow
from mouldwright.figures.board_drawing import draw_board, draw_board_names
from mouldwright.figures.board_places import board_places

# The sample: open 8 h, closed 16 h at half the width, so 8 + 8 = 16 parts over the width.
WIDTH = 1601
PART = 100.0
HOUR = 60


def drawn(**more: object):
    """Return the sample board without names, 100 px to an open hour."""
    return tree(draw_board(board(**more), width_px=WIDTH, names=False, link="/board?task="))


def task(root, key: str):
    """Return the group or link of a task."""
    return next(e for e in root.iter() if e.get("data-task") == key)


def rects(element) -> list[tuple[float, float]]:
    """Return left end and width of each rectangle in it."""
    return [(number(r, "x"), number(r, "width")) for r in element.iter(f"{SVG}rect")]


def test_a_bar_begins_and_ends_at_its_minutes() -> None:
    root = drawn()
    # 08:00 to 09:00, in open time: the first hour.
    assert rects(task(root, "t0"))[0] == pytest.approx((0, PART))
    # 09:00 to 17:00: seven open hours and one closed.
    assert rects(task(root, "t1"))[0] == pytest.approx((PART, 7.5 * PART))


def test_hands_are_solid_and_time_alone_is_patterned() -> None:
    root = drawn()
    solid = next(task(root, "t0").iter(f"{SVG}rect"))
    assert "hands" in solid.get("class")
    assert solid.get("fill") is None
    cure = next(task(root, "t1").iter(f"{SVG}rect"))
    assert cure.get("fill") == "url(#fig-m0)"
    tooling = next(task(root, "t3").iter(f"{SVG}rect"))
    assert tooling.get("fill") == "url(#fig-tool)"


def test_work_that_pauses_is_two_bars_joined_by_a_line() -> None:
    two = task(drawn(), "t2")
    assert rects(two)[0] == pytest.approx((PART, PART))
    assert rects(two)[1] == pytest.approx((3 * PART, PART))
    joining = next(two.iter(f"{SVG}line"))
    assert (number(joining, "x1"), number(joining, "x2")) == pytest.approx((PART, 4 * PART))


def test_closed_time_is_shaded_and_its_scale_marked_as_shortened() -> None:
    root = drawn()
    shade = having(root, "rect", "closed")
    assert [(number(s, "x"), number(s, "width")) for s in shade] == [
        pytest.approx((8 * PART, 8 * PART))
    ]
    assert len([p for p in having(root, "path", "thin") if p.get("d", "").count("M") == 2]) == 1


def test_a_mould_that_stands_and_waits_is_an_open_box_with_its_hours() -> None:
    root = drawn()
    box = having(root, "rect", "lost")[0]
    # 17:00 to 07:00: fourteen closed hours.
    assert number(box, "x") == pytest.approx(8.5 * PART)
    assert number(box, "width") == pytest.approx(7 * PART)
    assert "14 h" in letters(root)


def test_the_now_line_stands_at_now() -> None:
    root = drawn()
    line = having(root, "line", "now")[0]
    assert number(line, "x1") == number(line, "x2") == pytest.approx(2 * PART)
    assert "10:00" in letters(root)
    assert not having(drawn(now=EIGHT - 1), "line", "now")


def test_a_due_mark_stands_at_its_minute_and_lateness_is_a_word() -> None:
    root = drawn()
    late, kept = having(root, "path", "due-late"), having(root, "path", "due")
    assert points(late[0])[2][0] == pytest.approx(8 * PART)
    # Due at 20:00: eight open hours and four closed.
    assert points(kept[0])[2][0] == pytest.approx(10 * PART)
    assert {"late by 2 h", "8 h in hand"} <= set(letters(root))
    bar = having(root, "rect", "late-bar")[0]
    assert (number(bar, "x"), number(bar, "width")) == pytest.approx((8 * PART, PART))


def test_what_binds_a_late_order_is_joined_to_it() -> None:
    root = drawn()
    link = having(root, "path", "bind")[0]
    assert link.get("data-binds") == "t1"
    # The cure ends at 17:00.
    assert link.get("d").startswith("M850 ")


def test_bars_that_overlap_stand_in_lanes_of_their_own() -> None:
    root = drawn()
    one, other = (next(task(root, key).iter(f"{SVG}rect")) for key in ("t3", "t4"))
    assert number(one, "y") + number(one, "height") <= number(other, "y")


def test_every_task_can_be_reached_has_a_name_and_an_address() -> None:
    root = drawn()
    for key, name in (("t0", "load, mould 1"), ("t2", "trim"), ("t4", "t4")):
        link = task(root, key)
        assert link.tag == f"{SVG}a"
        assert link.get("href") == f"/board?task={key}"
        assert link.get("aria-label") == name
        assert link.get("tabindex") == "0"
        assert link.get("id") == f"board-{key}"
    # What is shown on a person's row as well is reached once.
    assert len([e for e in root.iter() if e.get("data-task") == "t0"]) == 1


def test_without_an_address_tasks_are_still_reached() -> None:
    root = tree(draw_board(board()))
    assert task(root, "t0").tag == f"{SVG}g"
    assert task(root, "t0").get("tabindex") == "0"


def test_a_page_may_move_with_arrows_and_stop_once_a_row() -> None:
    root = tree(draw_board(board(), tab_stops="row", link="?t="))
    stops = {e.get("data-task") for e in root.iter() if e.get("tabindex") == "0"}
    assert stops == {"t0", "t3", "t2"}


def test_the_chosen_task_is_boxed() -> None:
    root = drawn()
    assert len(having(task(root, "t1"), "rect", "chosen-box")) == 1
    assert len(having(root, "rect", "chosen-box")) == 1


def test_what_lies_outside_the_time_shown_is_left_out() -> None:
    root = drawn(first=EIGHT + 2 * HOUR)
    assert not [e for e in root.iter() if e.get("data-task") == "t0"]
    assert rects(task(root, "t1"))[0][0] == 0


def test_a_persons_hours_are_boxed() -> None:
    box = having(drawn(), "rect", "open-time")[0]
    assert (number(box, "x"), number(box, "width")) == pytest.approx((0, 4 * PART))


def test_a_level_steps_where_places_are_taken_and_given_back() -> None:
    corners = points(having(drawn(), "path", "level")[0])
    foot = corners[0][1]
    up = [x for x, y in corners if y < foot]
    assert (min(up), max(up)) == pytest.approx((0, PART))


def test_the_table_holds_every_bar_and_every_order() -> None:
    drawing = draw_board(board())
    assert len(drawing.table.rows) == 6 + 3
    cure = next(row for row in drawing.table.rows if row[1].startswith("cure"))
    assert cure[2:] == ("alone", "2027-03-01 09:00", "2027-03-01 17:00", 480)
    assert "Late: 1 by 2 h." in drawing.summary
    assert "stand and wait 14 h" in drawing.summary


def test_a_bar_on_no_row_is_refused() -> None:
    lost = dataclasses.replace(board(), rows=())
    with pytest.raises(ValueError, match="the board has no row m, n"):
        draw_board(lost)


def test_names_apart_stand_at_the_height_of_their_rows() -> None:
    whole, names = draw_board(board(), width_px=1180), draw_board_names(board())
    for element in having(tree(names), "text", "strong"):
        twin = next(e for e in having(tree(whole), "text", "strong") if e.text == element.text)
        assert number(twin, "y") == number(element, "y")
    assert names.height_px == whole.height_px


def names_of(width_px: float, *titles: str) -> list[str]:
    rows = tuple(BoardRow(key=k, title=t) for k, t in zip("mn", titles, strict=True))
    drawing = draw_board_names(dataclasses.replace(board(), rows=rows), width_px=width_px)
    assert list(colliding(drawing)) == []
    return letters(tree(drawing))


def test_a_name_too_long_for_its_line_takes_two() -> None:
    shown = names_of(100, "stabiliser-pressed 11", "stabiliser-pressed 12")
    assert shown[:4] == ["stabiliser-", "pressed 11", "stabiliser-", "pressed 12"]


def test_names_cut_short_keep_the_number_of_the_mould() -> None:
    long = "stabiliser-pressedoverandoveragain"
    shown = names_of(100, f"{long} 11", f"{long} 12")
    assert [text[-3:] for text in shown[1:4:2]] == [" 11", " 12"]
    assert "…" in shown[1]


def test_places_for_the_hand_are_those_that_are_drawn() -> None:
    places = board_places(board(), width_px=900)
    root = tree(draw_board(board(), width_px=900, names=False, link="/t/"))
    rows = {key: (top, height) for key, _, top, height in places.rows}
    assert [kind for _, kind, _, _ in places.rows] == ["thing", "thing", "person"]
    start, end = (EIGHT, EIGHT + HOUR)
    ((left, wide),) = rects(task(root, "t0"))
    minutes, xs = zip(*places.knees, strict=True)
    assert list(minutes) == sorted(minutes)
    assert xs[0] == 0
    assert xs[-1] == 899
    assert left == pytest.approx(float(interp(start, minutes, xs)), abs=0.05)
    assert left + wide == pytest.approx(float(interp(end, minutes, xs)), abs=0.05)
    assert rows["m"][1] == 26


def test_days_are_named_where_they_begin_and_the_first_at_the_edge() -> None:
    root = tree(draw_board(board(last=EIGHT + 48 * HOUR), width_px=1200, names=False))
    days = {e.text: number(e, "x") for e in having(root, "text", "strong")}
    lines = [number(e, "x1") for e in having(root, "line", "day-line")]
    assert days["Mon 1 Mar"] == 4
    assert days["Tue 2"] == lines[0] + 4


def test_from_afar_only_weeks_are_named() -> None:
    root = tree(draw_board(board(last=EIGHT + 42 * 24 * HOUR), width_px=700, names=False))
    named = [e.text for e in having(root, "text", "strong") if "Mar" in e.text or "Apr" in e.text]
    assert named == [
        "Mon 1 Mar",
        "Mon 8 Mar",
        "Mon 15 Mar",
        "Mon 22 Mar",
        "Mon 29 Mar",
        "Mon 5 Apr",
    ]


def many(count: int) -> Board:
    """Return a board of so many tasks on forty moulds over six weeks."""
    rows = tuple(BoardRow(key=f"m{at}", title=f"mould {at}") for at in range(40))
    each = 42 * 1440 // (count // 40 + 1)
    bars = tuple(
        BoardBar(
            key=f"t{at}",
            row=f"m{at % 40}",
            spans=((start, start + each),),
            kind="hands" if at % 2 else "alone",
            mark=at % 5,
            labels=("1001 cure", "1001"),
            name=f"cure, order 1001 pull {at}",
        )
        for at in range(count)
        for start in (EIGHT + at // 40 * each,)
    )
    return Board(
        title="many",
        zone="UTC",
        first=EIGHT,
        last=EIGHT + 42 * 1440,
        open=tuple((EIGHT + 1440 * d, EIGHT + 1440 * d + 480) for d in range(42)),
        rows=rows,
        bars=bars,
    )


def test_ten_times_the_tasks_cost_about_ten_times_the_work() -> None:
    def seconds(of: Board) -> float:
        best = float("inf")
        for _ in range(3):
            begun = time.process_time()
            assert draw_board(of).inline().count("data-task") == len(of.bars)
            best = min(best, time.process_time() - begun)
        return best

    assert seconds(many(4000)) < 25 * seconds(many(400))


bars = st.lists(
    st.tuples(st.integers(-300, 1500), st.integers(1, 600), st.sampled_from(["hands", "alone"])),
    max_size=25,
)


@given(bars, st.integers(300, 1500), st.sampled_from([180, 720, 1440, 10080]))
def test_whatever_is_planned_the_board_is_sound(
    found: list[tuple[int, int, str]], width: int, span: int
) -> None:
    rows = (BoardRow(key="m", title="mould"),)
    of = Board(
        title="t",
        zone="Europe/Lisbon",
        first=EIGHT,
        last=EIGHT + span,
        open=((EIGHT, EIGHT + 300),),
        rows=rows,
        bars=tuple(
            BoardBar(
                key=f"t{at}", row="m", spans=((EIGHT + a, EIGHT + a + n),), kind=kind, mark=at,
                labels=(f"order {at}", str(at)),
            )
            for at, (a, n, kind) in enumerate(found)
        ),
        now=EIGHT + 60,
    )  # fmt: skip
    drawing = draw_board(of, width_px=width)
    assert list(colliding(drawing)) == []
    root = tree(drawing)
    shown = {e.get("data-task") for e in root.iter() if e.get("data-task")}
    assert shown == {f"t{at}" for at, (a, n, _) in enumerate(found) if a + n > 0 and a < span}
    for key in shown:
        for left, wide in rects(task(root, key)):
            assert left >= -0.01
            assert left + wide <= width + 1
