"""Rooms and sessions on the board: which state a room is in, who is geared up when."""

from __future__ import annotations

import builders as build

from mouldwright.domain.shop import Shop
from mouldwright.figures.board import Board, BoardBar
from mouldwright.figures.board_drawing import draw_board
from mouldwright.figures.board_of import board_of
from mouldwright.figures.board_places import board_places
from mouldwright.planning.plan import Objective, Plan, WorkSession
from mouldwright.web.view_models.board import board_view

EIGHT = build.at("2027-03-01 08:00")


def wet_and_dusty() -> Shop:
    """Return a room that settles 30 min after dust, and wet work that takes 10 and 15 more."""
    routing = build.process(
        build.hands("sand", 60, per="part", in_room="shed", room_state="dust"),
        build.hands("lay", 40, per="part", skill="wet", in_room="shed", room_state="wet"),
    )
    return build.shop(
        routing,
        [build.order("1", 2)],
        people=[build.person("ana", ["wet"])],
        rooms=[build.room("shed", dust=30, wet=0)],
        sessions=[build.session("resin", 10, 15, skill="wet")],
        hours=build.opening(build.week("08:00-16:00")),
    )


def planned() -> Plan:
    """Sand 08:00 to 10:00; settled 10:30; in from 10:20, wet 10:30 to 11:50, out 12:05."""
    tasks = [
        build.task("sand", EIGHT, EIGHT + 60, "ana", part_id=1),
        build.task("sand", EIGHT + 60, EIGHT + 120, "ana", part_id=2),
        build.task("lay", EIGHT + 150, EIGHT + 190, "ana", part_id=1),
        build.task("lay", EIGHT + 190, EIGHT + 230, "ana", part_id=2),
    ]
    return Plan(
        now=EIGHT, zone="UTC", tasks=tuple(tasks), orders=(),
        objective=Objective(weighted_late_min=0, finish_min=230, attended_min=225),
        sessions=(
            WorkSession(
                session="resin", person="ana", start=EIGHT + 140, end=EIGHT + 245,
                gear_up_min=10, clean_down_min=15,
            ),
        ),
    )  # fmt: skip


def drawn(**more: object) -> Board:
    return board_of(wet_and_dusty(), planned(), marks={"pressed": 0}, zoom="days", **more)


def on(board: Board, row: str) -> list[BoardBar]:
    return sorted((bar for bar in board.bars if bar.row == row), key=lambda bar: bar.spans)


def test_a_room_shows_each_state_and_how_long_it_settles_after_it() -> None:
    found = [(bar.labels[-1], bar.spans[0]) for bar in on(drawn(), "room shed")]
    assert found == [
        ("dust", (EIGHT, EIGHT + 120)),
        ("settles", (EIGHT + 120, EIGHT + 150)),
        ("wet", (EIGHT + 150, EIGHT + 230)),
    ]


def test_a_session_shows_when_who_gears_up_and_cleans_down() -> None:
    (bar,) = on(drawn(), "session resin ana")
    assert bar.spans == ((EIGHT + 140, EIGHT + 245),)
    assert bar.edges == ((EIGHT + 140, EIGHT + 150), (EIGHT + 230, EIGHT + 245))
    assert bar.name.startswith("ana in resin, ")
    assert bar.name.endswith("10 min to gear up, 15 min to clean down")


def test_a_shop_without_rooms_or_sessions_has_no_such_rows() -> None:
    shop = build.shop(build.process(build.hands("sand", 5)), people=[build.person("ana")])
    found = board_of(shop, planned(), marks={}, zoom="days")
    assert not any(row.is_ground for row in found.rows)


def test_no_task_can_be_dragged_to_a_room_or_a_session() -> None:
    rows = {key for key, _, _, _ in board_places(drawn(), width_px=900).rows}
    assert rows == {"ana"}


def test_what_is_in_the_rooms_is_told_to_those_who_read_it_and_is_no_task() -> None:
    board = drawn()
    svg = draw_board(board, width_px=900, link="/board?task=")
    assert "shed is in the state dust" in svg.body
    assert "/board?task=room" not in svg.body
    assert "4 tasks on 2 rows" in svg.summary
    assert [row[2] for row in svg.table.rows].count("state") == 4


def test_rooms_may_be_shown_alone_where_there_are_any() -> None:
    view = board_view(
        wet_and_dusty(), planned(), marks={}, zoom="days", first=None, now=EIGHT, link="/x?t="
    )
    assert "Rooms and sessions" in [title for title, _, _ in view.row_choices]
    alone = drawn(shown_rows="rooms")
    assert [row.key for row in alone.rows] == ["room shed", "session resin ana"]
    assert not alone.people
    dry = build.shop(build.process(build.hands("sand", 5)), people=[build.person("ana")])
    view = board_view(dry, planned(), marks={}, zoom="days", first=None, now=EIGHT, link="/x?t=")
    assert "Rooms and sessions" not in [title for title, _, _ in view.row_choices]
