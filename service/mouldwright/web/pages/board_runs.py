"""Planning anew from the board: asked for, watched, stopped, compared and published."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.usecases import promises
from mouldwright.usecases.board import changes_between
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept import Reply, Role
from mouldwright.usecases.kept_run import KeptPlan, Run
from mouldwright.usecases.shelf import open_kept
from mouldwright.usecases.why import what_changed, why_moved
from mouldwright.web.charts import search_figure
from mouldwright.web.doing_once import asked_by, led_to, path_of
from mouldwright.web.form_values import whole_of
from mouldwright.web.places import shop_path
from mouldwright.web.view_models.board_run import changes_view, run_view
from mouldwright.web.visit import InShop, Posted
from mouldwright.web.words import moment

router = APIRouter(prefix="/shops/{shop}/board")
SEED = 1


@router.post("/plan")
def ask_for_plan(visit: InShop, form: Posted) -> Response:
    """Ask for a plan of all that is booked; it is looked at before it holds."""
    visit.must(Role.PLANNER)

    def present(run: Run) -> Reply:
        return led_to(shop_path(visit.shop, f"board/runs/{run.id}"))

    reply = promises.ask_for_run(
        visit.services,
        visit.shop,
        seconds=float(whole_of(form, "seconds")),
        seed=SEED,
        publishes=False,
        asked=asked_by(visit, form),
        present=present,
    )
    return visit.go(path_of(reply))


@router.get("/runs/{run}")
def show_run(visit: InShop, run: str, part: str = "") -> HTMLResponse:
    """Show a run: where it stands, and once it has ended what its plan would change."""
    with visit.services.units.read(visit.shop) as unit:
        found = unit.runs.by_id(run)
        best = unit.runs.best(run)
        holds = _newest(unit)
    changes = None
    holding = holds is not None and holds.run == run
    if found.ended and best is not None and holds is not None and not holding:
        why = why_moved(visit.services, visit.shop, holds.plan, best)
        changes = changes_view(changes_between(holds.plan, best), best, why)
    elif holds is not None and holding and holds.version > 1:
        done = what_changed(visit.services, visit.shop, holds.version)
        changes = changes_view(done.changes, done.plan, done.moves)
    looked_s = _looked_s(found, visit.now)
    values: dict[str, Any] = {
        "run": run_view(found, looked_s=looked_s),
        "search": search_figure(found, looked_s=looked_s),
        "has_plan": best is not None,
        "has_none_before": holds is None,
        "holds": holding,
        "may_publish": found.ended
        and best is not None
        and not holding
        and found.state in ("done", "cancelled"),
        "may_plan": visit.may(Role.PLANNER),
        "changes": changes,
        "version": None if holds is None else holds.version,
        "beside": None if holds is None else holds.version - holding,
        "shop": visit.shop,
        "once": visit.services.chance(),
    }
    if part:
        return visit.part("parts/board/_run.html", **values)
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    return visit.show(
        "board_run.html",
        title="Planning",
        shop_name=shop.name,
        place="board",
        asked=moment(local(minute_of(found.asked_at), shop.zone)),
        **values,
    )


@router.post("/runs/{run}/stop")
def stop_run(visit: InShop, run: str, form: Posted) -> Response:
    """Stop a run with the best so far."""
    visit.must(Role.PLANNER)
    promises.stop_run(visit.services, visit.shop, run)
    return visit.go(shop_path(visit.shop, f"board/runs/{run}"))


@router.post("/runs/{run}/publish")
def publish_run(visit: InShop, run: str, form: Posted) -> Response:
    """Let the plan of a run hold; refused where the shop, its orders or pins have changed."""
    visit.must(Role.PLANNER)
    kept = promises.publish_run(visit.services, visit.shop, run)
    return visit.go(
        shop_path(visit.shop, "board"), say=f"Plan {kept.version} holds. Day sheets follow it."
    )


def _looked_s(run: Run, now: datetime) -> float:
    """Return for how long a run has looked, or had when it ended."""
    if run.begun_at is None:
        return 0.0
    return max(0.0, ((run.ended_at or now) - run.begun_at).total_seconds())


def _newest(unit: Any) -> KeptPlan | None:
    try:
        found: KeptPlan = unit.plans.newest()
    except Unknown:
        return None
    return found
