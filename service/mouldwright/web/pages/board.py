"""The mould board: the plan that holds, drawn; its tasks opened, moved to try, and pinned."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from fastapi import APIRouter
from starlette.datastructures import FormData
from starlette.responses import HTMLResponse, Response

from mouldwright.domain.errors import Conflict, Fault, InvalidInput
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.place_titles import place_title
from mouldwright.domain.shop import Shop
from mouldwright.figures.board_drawing import draw_board
from mouldwright.figures.board_of import ShownRows, board_of
from mouldwright.figures.board_table import board_table
from mouldwright.figures.marks import marks_of_shop
from mouldwright.figures.time_scale import ZOOMS
from mouldwright.planning.plan import Plan
from mouldwright.usecases.board import Move, judge, pin, pins_of, unpin
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept import Role
from mouldwright.usecases.kept_pin import Pin
from mouldwright.usecases.kept_run import Run
from mouldwright.usecases.looked_at import waits_to_be_looked_at
from mouldwright.usecases.promise_lists import PlanRead, read_plan
from mouldwright.usecases.stage import ready_by_log
from mouldwright.usecases.task_facts import task_facts
from mouldwright.web.places import shop_path
from mouldwright.web.saving import as_csv, as_svg
from mouldwright.web.view_models.board import (
    FIRST_ZOOM,
    ROW_CHOICES,
    WIDTH,
    board_view,
    start_of,
)
from mouldwright.web.view_models.board_task import task_title, task_view, verdict_view, when_of
from mouldwright.web.visit import InShop, Posted, Visit, text_of
from mouldwright.web.words import moment

router = APIRouter(prefix="/shops/{shop}/board")
EARLIEST, LATEST = 0, 2**31
RUNS_LOOKED_AT = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seen:
    """The shop with all that is booked, the plan that holds, and what is pinned.

    Attributes:
        run: One that goes on.
        ready: One whose plan waits to be looked at.
    """

    shop: Shop
    found: PlanRead | None
    pins: tuple[Pin, ...]
    run: Run | None
    ready: Run | None


def _see(visit: Visit) -> _Seen:
    services = visit.services
    read = read_booked(services.units, visit.shop, services.written)
    try:
        found = read_plan(services.units, visit.shop)
    except Unknown:
        found = None
    with services.units.read(visit.shop) as unit:
        pins, runs = unit.pins.all(), unit.runs.listed(limit=RUNS_LOOKED_AT)
    going = next((run for run in runs if not run.ended), None)
    kept = None if found is None else found.kept
    ready = waits_to_be_looked_at(runs, kept, read.basis)
    return _Seen(shop=read.without(), found=found, pins=pins, run=going, ready=ready)


@router.get("")
def show_board(
    visit: InShop, zoom: str = FIRST_ZOOM, first: str = "", rows: str = ""
) -> HTMLResponse:
    """Show the plan that holds."""
    seen = _see(visit)
    if seen.found is None:
        return visit.show(
            "board_empty.html",
            title="Mould board",
            shop_name=seen.shop.name,
            place="board",
            orders=len(seen.shop.orders) - len(ready_by_log(seen.shop)),
            may_plan=visit.may(Role.PLANNER),
            once=visit.services.chance(),
            run=seen.run,
            ready=seen.ready,
        )
    shown, left = _asked(zoom, first)
    plan, now = seen.found.kept.plan, minute_of(visit.now)
    base = shop_path(visit.shop, "board")
    view = board_view(
        seen.shop,
        plan,
        marks=marks_of_shop(seen.shop),
        zoom=shown,
        first=left,
        now=now,
        link=f"{base}/{seen.found.kept.version}/tasks/",
        rows=_rows(rows),
    )
    return visit.show(
        "board.html",
        title="Mould board",
        shop_name=seen.shop.name,
        place="board",
        view=view,
        kept=seen.found.kept,
        made=moment(local(minute_of(seen.found.kept.made_at), plan.zone)),
        drawn=moment(local(now, plan.zone)),
        is_current=seen.found.is_current,
        pins=[_pin_row(seen.shop, plan, each) for each in seen.pins],
        may_plan=visit.may(Role.PLANNER),
        once=visit.services.chance(),
        run=seen.run,
        ready=seen.ready,
    )


@router.get("/save/board.{kind}")
def save_board(
    visit: InShop, kind: str, zoom: str = FIRST_ZOOM, first: str = "", rows: str = ""
) -> Response:
    """Give what is shown as a file to keep."""
    seen = _see(visit)
    if seen.found is None or kind not in ("svg", "csv"):
        raise Unknown(kind="drawing", key=f"board.{kind}")
    shown, left = _asked(zoom, first)
    now = minute_of(visit.now)
    board = board_of(
        seen.shop,
        seen.found.kept.plan,
        marks=marks_of_shop(seen.shop),
        zoom=shown,
        first=start_of(shown, now) if left is None else left,
        now=now,
        shown_rows=_rows(rows),
    )
    if kind == "csv":
        return as_csv(board_table(board), "board")
    return as_svg(draw_board(board, width_px=WIDTH, tab_stops="row"), "board")


@router.get("/{version}/tasks/{key}")
def show_task(visit: InShop, version: int, key: str, part: str = "") -> HTMLResponse:
    """Show a task of a plan: all that is known of it, and what may be done with it."""
    return _task(visit, version, key, part=bool(part))


@router.post("/{version}/tasks/{key}/try")
def try_move(visit: InShop, version: int, key: str, form: Posted) -> HTMLResponse:
    """Say what a move would do; nothing is kept."""
    shop, plan = _plan_of(visit, version)
    move = _move(form, plan, key)
    verdict = judge(visit.services, visit.shop, version, move)
    return _task(
        visit,
        version,
        key,
        part=bool(text_of(form, "part")),
        move=move,
        verdict=verdict_view(shop, plan, move, verdict),
    )


@router.post("/{version}/tasks/{key}/pin")
def pin_task(visit: InShop, version: int, key: str, form: Posted) -> Response:
    """Pin a task where the form puts it."""
    visit.must(Role.PLANNER)
    _, plan = _plan_of(visit, version)
    move = _move(form, plan, key)
    try:
        pin(visit.services, visit.shop, version, move, by=visit.token.label)
    except Conflict as conflict:
        return _task(visit, version, key, part=False, move=move, refused=str(conflict))
    moved = move.start != plan.tasks[move.task].start
    say = "Pinned. Every plan from now on keeps it there."
    if moved or move.mould is not None or move.people is not None:
        say += " The plan that holds does not have it there yet: plan again."
    return visit.go(shop_path(visit.shop, "board"), say=say)


@router.post("/pins/{pin_id}/remove")
def remove_pin(visit: InShop, pin_id: str, form: Posted) -> Response:
    """Take a pin out."""
    visit.must(Role.PLANNER)
    unpin(visit.services, visit.shop, pin_id)
    return visit.go(
        shop_path(visit.shop, "board"), say="Un-pinned. The next plan may put it elsewhere."
    )


def _task(
    visit: Visit, version: int, key: str, *, part: bool, move: Move | None = None, **more: Any
) -> HTMLResponse:
    shop, plan = _plan_of(visit, version)
    view = task_view(shop, plan, task_facts(plan, _place(key)), move)
    task = plan.tasks[_place(key)]
    held = [
        each
        for each in pins_of(visit.services, visit.shop)
        if any(
            (t.process, t.operation, t.members) == (task.process, task.operation, task.members)
            for t in each.tasks
        )
    ]
    values: dict[str, Any] = {
        "view": view,
        "version": version,
        "base": shop_path(visit.shop, f"board/{version}/tasks"),
        "pins": [_pin_row(shop, plan, each) for each in held],
        "may_plan": visit.may(Role.PLANNER),
        "shop": visit.shop,
        "verdict": None,
        "refused": "",
        **more,
    }
    if part:
        return visit.part("parts/board/_task.html", **values)
    return visit.show(
        "board_task.html", title=view.title, shop_name=shop.name, place="board", **values
    )


def _plan_of(visit: Visit, version: int) -> tuple[Shop, Plan]:
    services = visit.services
    shop = read_booked(services.units, visit.shop, services.written).without()
    return shop, read_plan(services.units, visit.shop, version).kept.plan


def _place(key: str) -> int:
    digits = key.removeprefix("t")
    if not (digits.isascii() and digits.isdigit() and len(digits) <= 9):
        raise Unknown(kind="task", key=key[:40])
    return int(digits)


def _move(form: FormData, plan: Plan, key: str) -> Move:
    """Return where the form puts a task. Raises InvalidInput where it names no time."""
    place = _place(key)
    task = plan.tasks[place] if place < len(plan.tasks) else None
    text = text_of(form, "start")
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        at = None
    if at is None or at.tzinfo is not None or not 1970 < at.year < 9000:
        fault = Fault(
            path="start",
            value=text[:40],
            problem="that is no time.",
            remedy="Write a day and a time, such as 2027-03-04T10:40.",
        )
        raise InvalidInput([fault])
    mould = text_of(form, "mould") or None
    people = tuple(str(each) for each in form.getlist("people"))
    return Move(
        task=place,
        start=minute_of(at.replace(tzinfo=ZoneInfo(plan.zone))),
        mould=None if task is not None and mould == task.mould else mould,
        people=None if task is None or set(people) == set(task.people) or not people else people,
        with_rest=bool(text_of(form, "with_rest")),
    )


def _asked(zoom: str, first: str) -> tuple[str, int | None]:
    """Return the zoom and the left edge that an address asks for; what cannot be is left out."""
    shown = zoom if zoom in ZOOMS else FIRST_ZOOM
    if not (first.isascii() and first.isdigit() and len(first) <= 10):
        return shown, None
    return shown, min(max(int(first), EARLIEST), LATEST)


def _rows(asked: str) -> ShownRows:
    return next((key for key in ROW_CHOICES if key == asked), "all")


def _pin_row(shop: Shop, plan: Plan, each: Pin) -> tuple[str, str, str, str]:
    """Return a pin's id, what it holds, where, and whether the plan has it there."""
    task = each.tasks[0]
    stands = set(each.tasks) <= set(plan.tasks)
    orders = ", ".join(dict.fromkeys(member.order for member in task.members))
    what = f"{task_title(shop, task)}, order {orders}"
    if task.mould:
        what += f", {place_title(shop, task.mould)}"
    return each.id, what, when_of(task, plan.zone), "" if stands else "not yet in the plan"
