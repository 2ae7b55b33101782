"""What one more of something would buy, and how many moulds an order wants: asked and read."""

from __future__ import annotations

import json
from typing import Any

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from mouldwright.usecases import promises, studies
from mouldwright.usecases.kept import Reply, Role
from mouldwright.usecases.kept_run import Run
from mouldwright.usecases.shelf import open_kept
from mouldwright.usecases.studies import Answered, Question
from mouldwright.web.doing_once import asked_by, led_to, path_of
from mouldwright.web.places import shop_path
from mouldwright.web.view_models.more import counts_view, more_view, study_run
from mouldwright.web.view_models.tried import try_path
from mouldwright.web.visit import InShop, Posted, Visit
from mouldwright.wire.answers.gains import MouldCountAnswer, OneMoreAnswer

router = APIRouter(prefix="/shops/{shop}")
# Each plan of a question is searched for so long, seconds.
EACH_S = 3.0
SEED = 1


@router.get("/more")
def show_more(visit: InShop, part: str = "") -> HTMLResponse:
    """Show what one more of each thing would buy, as far as it is worked out."""
    found = studies.newest(visit.services, visit.shop, studies.ONE_MORE)
    values = _values(visit, found)
    if found is not None and found.answer is not None:
        values["view"] = more_view(OneMoreAnswer.model_validate_json(found.answer))
    return _shown(visit, "more", part, title="What one more would buy", **values)


@router.post("/more")
def ask_more(visit: InShop, form: Posted) -> Response:
    """Ask what one more of each thing would buy."""
    visit.must(Role.PLANNER)
    question = studies.one_more_question(visit.services, visit.shop, seconds=EACH_S, seed=SEED)
    return asked_at_length(visit, form, question, "more")


@router.get("/orders/{number}/moulds")
def show_counts(visit: InShop, number: str, part: str = "") -> HTMLResponse:
    """Show how many moulds an order wants, as far as it is worked out."""
    found = studies.newest(visit.services, visit.shop, studies.moulds_subject(number))
    values = _values(visit, found)
    if found is not None and found.answer is not None:
        values["view"] = counts_view(MouldCountAnswer.model_validate_json(found.answer))
    title = f"Moulds for order {number}"
    return _shown(visit, "mould_counts", part, title=title, number=number, **values)


@router.post("/orders/{number}/moulds")
def ask_counts(visit: InShop, number: str, form: Posted) -> Response:
    """Ask how many moulds an order wants."""
    visit.must(Role.PLANNER)
    question = studies.moulds_question(
        visit.services, visit.shop, number, most=None, seconds=EACH_S, seed=SEED
    )
    return asked_at_length(visit, form, question, f"orders/{number}/moulds")


@router.post("/more/{run}/stop")
def stop(visit: InShop, run: str, form: Posted) -> Response:
    """Stop a question with what is worked out so far."""
    visit.must(Role.PLANNER)
    stopped = promises.stop_run(visit.services, visit.shop, run)
    return visit.go(shop_path(visit.shop, _asked_at(stopped)))


def _asked_at(run: Run) -> str:
    """Return the sheet that a question is asked on."""
    if run.subject.startswith(f"{studies.TRY} "):
        ask = json.loads(run.ask)
        asked = {key: ask[key] for key in ("part", "process", "quantity", "by")}
        return try_path(**asked)
    order = run.subject.removeprefix(f"{studies.MOULDS} ")
    return "more" if run.subject == studies.ONE_MORE else f"orders/{order}/moulds"


def asked_at_length(visit: Visit, form: Posted, question: Question, where: str) -> Response:
    """Queue a question once and lead to where it is watched."""

    def present(_: Run) -> Reply:
        return led_to(shop_path(visit.shop, where))

    reply = studies.ask_once(
        visit.services, visit.shop, question, asked=asked_by(visit, form), present=present
    )
    return visit.go(path_of(reply))


def _values(visit: Visit, found: Answered | None) -> dict[str, Any]:
    return {
        "run": None if found is None else study_run(found.run),
        "view": None,
        "is_current": found is not None and found.is_current,
        "may_plan": visit.may(Role.PLANNER),
        "shop": visit.shop,
        "once": visit.services.chance(),
    }


def _shown(visit: Visit, name: str, part: str, *, title: str, **values: Any) -> HTMLResponse:
    if part:
        return visit.part(f"parts/_{name}.html", **values)
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    return visit.show(f"{name}.html", title=title, shop_name=shop.name, place="board", **values)
