"""The mould board and what is done from it: zoom, open, try, pin, plan again, publish."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

import pytest
from promise_bench import DEMO, KEY, NOW, PromiseBench
from web_bench import WebBench, plain

from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.record.log import Happening, LogEntry
from mouldwright.figures.time_scale import ZOOMS
from mouldwright.planning.run import make_plan
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.kept import Role
from mouldwright.usecases.kept_run import KeptPlan
from mouldwright.usecases.runs import Tending, ask_for_plan

BOARD = f"/shops/{KEY}/board"
LEASE = timedelta(seconds=30)


@pytest.fixture
def held(bench: PromiseBench) -> KeptPlan:
    return held_now(bench)


def held_now(bench: PromiseBench) -> KeptPlan:
    read = read_booked(bench.units, KEY, bench.written)
    plan = make_plan(read.without(), now=minute_of(NOW), seconds=0.0)
    return bench.done(lambda unit: unit.plans.keep(plan, basis=read.basis, run="r", at=NOW))


def tend(web: WebBench, at: datetime = NOW) -> None:
    """Carry the run that waits to its end as a worker would."""
    bench = web.bench
    run = bench.queue.claim("w", at, LEASE)
    assert run is not None
    tending = Tending(
        bench.units, bench.queue, written=bench.written, make_plan=make_plan,
        clock=lambda: at, chance=web.services.chance,
    )  # fmt: skip
    tending.tend(run, cancelled=lambda: False, lost=lambda: False)


def place_of(held: KeptPlan, operation: str) -> int:
    able = [at for at, task in enumerate(held.plan.tasks) if task.operation == operation]
    return able[-1]


def field_time(minute: int) -> str:
    # The demo bench keeps Lisbon time, which in March is UTC.
    return (NOW + timedelta(minutes=minute - minute_of(NOW))).strftime("%Y-%m-%dT%H:%M")


def test_without_a_plan_the_board_teaches_and_makes_the_first(web: WebBench) -> None:
    visitor = web.visitor(Role.PLANNER)
    page = visitor.page(BOARD)
    assert "6 open orders, and no plan yet." in plain(page)
    once = re.search(r'name="once" value="([^"]+)"', page)
    sent = {"seconds": "5", "once": once[1]}
    asked = visitor.post(f"{BOARD}/plan", sent)
    assert asked.status_code == 303
    path = asked.headers["location"]
    # A form that is sent twice asks once.
    assert visitor.post(f"{BOARD}/plan", sent).headers["location"] == path
    assert "Waiting its turn" in plain(visitor.page(path))
    tend(web)
    page = visitor.page(path)
    assert "The first plan is ready." in plain(page)
    # Whoever comes back to the board finds the plan that waits, and how the search went.
    again = visitor.page(BOARD)
    assert "The first plan is ready, and not published." in plain(again)
    assert f'href="{path}"' in again
    assert "How the search went" in plain(page)
    published = visitor.post(f"{path}/publish")
    assert published.headers["location"] == BOARD
    assert "plan 1 of" in plain(visitor.page(BOARD))


def test_a_plan_that_waits_to_be_published_is_pointed_at_from_the_board(web, held) -> None:
    visitor = web.visitor(Role.PLANNER)
    path = visitor.post(f"{BOARD}/plan", {"seconds": "5", "once": "k"}).headers["location"]
    web.now = NOW + timedelta(minutes=1)
    tend(web, at=web.now)
    assert f'href="{path}">Look at what it would change' in visitor.page(BOARD)
    visitor.post(f"{path}/publish")
    assert "Look at what it would change" not in visitor.page(BOARD)


def test_without_an_order_the_board_points_to_the_enquiry(web: WebBench) -> None:
    web.bench.change_shop(orders=())
    page = web.visitor().page(BOARD)
    assert "nothing to plan" in plain(page)
    assert f'href="/shops/{KEY}/enquiry"' in page


def test_every_zoom_shows_the_board_with_its_rows_and_keeps_to_the_policy(web, held) -> None:
    visitor = web.visitor(Role.VIEWER)
    for zoom in ZOOMS:
        page = visitor.page(f"{BOARD}?zoom={zoom}")
        assert 'data-row="stabiliser-pressed 1"' in page
        assert 'data-row="ines"' in page
        assert 'data-order="1004"' in page
        assert " style=" not in page
        assert not re.search(r"<script(?![^>]* src=)", page)
    assert 'class="task"' in visitor.page(BOARD)
    # What cannot be is left out of the address, not answered with an error.
    assert "Mould board" in visitor.page(f"{BOARD}?zoom=none&first=-3")


def test_a_task_opens_to_all_that_is_known_of_it(web, held) -> None:
    at = place_of(held, "mix")
    visitor = web.visitor(Role.VIEWER)
    page = visitor.page(f"{BOARD}/{held.version}/tasks/t{at}")
    words = plain(page)
    task = held.plan.tasks[at]
    assert task.operation == "mix"
    assert f"order {task.members[0].order}" in words
    assert "In the cup" in words
    assert "Comes after" in words
    # A viewer may try a move and pin nothing.
    assert "Say what it would do" in words
    assert "Pin it there" not in words
    part = visitor.get(f"{BOARD}/{held.version}/tasks/t{at}?part=1")
    assert "<html" not in part.text
    assert "data-task-sheet" in part.text
    assert visitor.get(f"{BOARD}/{held.version}/tasks/t999999").status_code == 422
    assert visitor.get(f"{BOARD}/{held.version}/tasks/none").status_code == 404


def test_a_move_is_judged_in_words_and_nothing_is_kept(web, held) -> None:
    at = place_of(held, "demould")
    task = held.plan.tasks[at]
    visitor = web.visitor(Role.VIEWER)
    path = f"{BOARD}/{held.version}/tasks/t{at}"
    night = task.start // 1440 * 1440 + 1440 + 3 * 60
    answer = visitor.post(f"{path}/try", {"start": field_time(night)})
    assert answer.status_code == 200
    assert "It breaks something." in plain(answer.text)
    assert "outside the hours of" in plain(answer.text)
    answer = visitor.post(f"{path}/try", {"start": field_time(task.start)})
    assert "It fits." in plain(answer.text)
    assert "Nothing is pinned." in plain(visitor.page(BOARD))
    assert visitor.post(f"{path}/try", {"start": "soon"}).status_code == 422


def test_a_task_is_pinned_by_a_planner_and_unpinned(web, held) -> None:
    at = place_of(held, "demould")
    start = field_time(held.plan.tasks[at].start)
    path = f"{BOARD}/{held.version}/tasks/t{at}/pin"
    assert web.visitor(Role.BENCH).post(path, {"start": start}).status_code == 403
    visitor = web.visitor(Role.PLANNER)
    assert visitor.post(path, {"start": start}).status_code == 303
    page = visitor.page(BOARD)
    assert "This plan is out of date." in plain(page)
    removed = re.search(r'action="([^"]+/pins/[^"]+/remove)"', page)
    assert removed is not None
    assert visitor.post(removed[1]).status_code == 303
    assert "Nothing is pinned." in plain(visitor.page(BOARD))


def test_what_cannot_be_pinned_is_refused_where_it_was_asked(web, held) -> None:
    at = place_of(held, "demould")
    night = held.plan.tasks[at].start // 1440 * 1440 + 1440 + 3 * 60
    visitor = web.visitor(Role.PLANNER)
    path = f"{BOARD}/{held.version}/tasks/t{at}/pin"
    refused = visitor.post(path, {"start": field_time(night)})
    assert "Not pinned." in plain(refused.text)
    assert "No plan can keep it there." in plain(refused.text)
    assert f'value="{field_time(night)}"' in refused.text


def test_a_new_plan_is_compared_before_it_holds_and_refused_when_stale(web, held) -> None:
    visitor = web.visitor(Role.PLANNER)
    web.bench.change_shop(orders=DEMO.orders[:-1])
    path = visitor.post(f"{BOARD}/plan", {"seconds": "5", "once": "a"}).headers["location"]
    tend(web)
    page = plain(visitor.page(path))
    assert "What it would change" in page
    assert f"Beside plan {held.version}:" in page
    assert "no longer open" in page
    assert "Publish this plan" in page
    web.bench.change_shop(name="Another bench")
    assert visitor.post(f"{path}/publish").status_code == 409


def test_a_run_that_waits_can_be_stopped(web, held) -> None:
    visitor = web.visitor(Role.PLANNER)
    path = visitor.post(f"{BOARD}/plan", {"seconds": "5", "once": "a"}).headers["location"]
    assert visitor.post(f"{path}/stop").status_code == 303
    assert "Stopped" in plain(visitor.page(path))


def test_what_is_shown_is_saved_as_a_drawing_and_as_a_table(web, held) -> None:
    visitor = web.visitor(Role.VIEWER)
    drawn = visitor.get(f"{BOARD}/save/board.svg?zoom=day")
    assert drawn.headers["content-type"].startswith("image/svg+xml")
    table = visitor.get(f"{BOARD}/save/board.csv?zoom=day")
    assert table.text.lstrip("\ufeff").startswith("Row,What,How,From,To,Minutes")
    assert visitor.get(f"{BOARD}/save/board.png").status_code == 404


def test_another_shop_s_board_is_not_there(web, held) -> None:
    assert web.visitor().get("/shops/other/board").status_code == 404


@pytest.mark.parametrize(
    ("rows", "shown", "hidden"),
    [
        ("moulds", "stabiliser-pressed 1", "ines"),
        ("machines", "printer 1", "stabiliser-pressed 1"),
        ("people", "ines", "printer 1"),
    ],
)
def test_the_board_shows_the_rows_that_are_asked_for(web, held, rows, shown, hidden) -> None:
    page = web.visitor().page(f"{BOARD}?rows={rows}&zoom=two-weeks")
    assert f'data-row="{shown}"' in page
    assert f'data-row="{hidden}"' not in page
    # Earlier, later and another zoom keep the choice.
    assert page.count(f"&amp;rows={rows}") >= 3
    saved = web.visitor().get(f"{BOARD}/save/board.svg?rows={rows}").text
    assert f'data-row="{hidden}"' not in saved


def test_rows_that_there_are_not_show_all(web, held) -> None:
    assert 'data-row="ines"' in web.visitor().page(f"{BOARD}?rows=tables")


def test_a_plan_made_since_a_mould_was_lost_says_what_it_changed_and_why(web, held) -> None:
    lost = LogEntry(
        number=0, what=Happening.MOULD_LOST, at=NOW, noted_at=NOW, mould="stabiliser-pressed 4",
        cause="dropped",
    )  # fmt: skip
    web.bench.done(lambda unit: unit.log.add(lost, moves_plan=True))
    asked = web.bench.done(
        ask_for_plan, why="a test", now=NOW, chance=web.services.chance, seconds=0.05
    )
    tend(web)
    page = plain(web.visitor(Role.VIEWER).page(f"{BOARD}/runs/{asked.id}"))
    assert "What it changed Beside plan 1:" in page
    assert "Stabiliser-pressed 4 is out of use." in page
    # The same stands on a sheet of its own, which the board and an open order's sheet lead to.
    visitor = web.visitor(Role.VIEWER)
    moved = plain(visitor.page(f"{BOARD}/changes"))
    assert "What it changed Beside plan 1:" in moved
    assert "Stabiliser-pressed 4 is out of use." in moved
    assert f'href="{BOARD}/changes"' in visitor.page(BOARD)
    assert f'href="{BOARD}/changes">What moved' in visitor.page(f"/shops/{KEY}/today")
    assert f'href="{BOARD}/changes"' in visitor.page(f"/shops/{KEY}/orders/1001")


def test_before_a_second_plan_what_moved_says_that_nothing_did(web: WebBench, bench) -> None:
    assert "Once a second plan holds" in plain(web.visitor().page(f"{BOARD}/changes"))
    held_now(bench)
    visitor = web.visitor()
    assert "This is the first plan, so nothing moved." in plain(visitor.page(f"{BOARD}/changes"))
    assert "What moved with this plan" not in visitor.page(BOARD)
