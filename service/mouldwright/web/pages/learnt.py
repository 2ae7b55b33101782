"""Learnt at the bench: times, yields and failures by the log, and taking them into the shop."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from mouldwright.domain.record.learnt_changes import LearntChange
from mouldwright.usecases.kept import Reply, Role
from mouldwright.usecases.learning import Taking, decline_change, learning, show_again, take_change
from mouldwright.web.doing_once import asked_by, led_to, path_of
from mouldwright.web.form_values import whole_of
from mouldwright.web.places import shop_path
from mouldwright.web.view_models.learnt import learnt_view
from mouldwright.web.visit import InShop, Posted, text_of

router = APIRouter(prefix="/shops/{shop}/learnt")


@router.get("")
def show_learnt(visit: InShop) -> HTMLResponse:
    """Show what the log teaches, beside the standard, and what it would change."""
    found = learning(visit.services, visit.shop)
    return visit.show(
        "learnt.html",
        title="Learnt at the bench",
        shop_name=found.shop.name,
        place="log",
        view=learnt_view(found.shop, found.found, found.declined),
        version=found.version,
        has_log=bool(found.shop.log),
        may_take=visit.may(Role.PLANNER),
        once=visit.services.chance(),
    )


@router.post("/taken")
def take(visit: InShop, form: Posted) -> Response:
    """Take a learnt change into the shop, and lead to where it can be undone."""
    visit.must(Role.PLANNER)
    sections = learning(visit.services, visit.shop).shop.processes

    def lead(version: int, change: LearntChange) -> Reply:
        section = "processes" if change.process in sections else "sets"
        path = f"materials/{change.material}" if change.material else f"{section}/{change.process}"
        below = f"edit/{path}?changed={version}"
        return led_to(shop_path(visit.shop, below))

    taking = Taking(
        key=text_of(form, "key"),
        evidence=whole_of(form, "evidence"),
        read=whole_of(form, "version"),
        now=visit.now,
        by=visit.token.id,
    )
    asked = asked_by(visit, form)
    reply = take_change(visit.services, visit.shop, taking, asked=asked, reply=lead)
    return visit.go(path_of(reply), say="It is taken into the shop.")


@router.post("/declined")
def decline(visit: InShop, form: Posted) -> Response:
    """Leave a learnt change."""
    visit.must(Role.PLANNER)
    decline_change(
        visit.services, visit.shop, text_of(form, "key"), by=visit.token.label, now=visit.now
    )
    return visit.go(
        shop_path(visit.shop, "learnt"),
        say="Left. It is proposed again once it rests on twice as much.",
    )


@router.post("/again")
def propose_again(visit: InShop, form: Posted) -> Response:
    """Propose a declined change again."""
    visit.must(Role.PLANNER)
    show_again(visit.services, visit.shop, text_of(form, "key"))
    return visit.go(shop_path(visit.shop, "learnt"), say="It is proposed again.")
