"""The log of the bench: what happened by day, noted in a form, taken back by one press."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import partial
from urllib.parse import urlencode

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from mouldwright.domain.errors import Conflict, Fault, InvalidInput
from mouldwright.domain.place_titles import place_title
from mouldwright.domain.record.log import Happening, LogEntry
from mouldwright.usecases import bench_log
from mouldwright.usecases.bench_log import Bench
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept import Reply, Role
from mouldwright.usecases.present import local_instant
from mouldwright.usecases.shelf import open_kept
from mouldwright.web.doing_once import asked_by, led_to, path_of
from mouldwright.web.log_forms import BY_KEY, FORMS, NoteForm, field_at_fault, fields_of, written
from mouldwright.web.places import shop_path
from mouldwright.web.view_models.log import happenings, log_days
from mouldwright.web.visit import InShop, Posted, Visit, text_of
from mouldwright.wire.model import read_as
from mouldwright.wire.service.log import NoteAsk

router = APIRouter(prefix="/shops/{shop}/log")
A_PAGE = 100


@router.get("")
def show_log(
    visit: InShop,
    day: str = "",
    what: str = "",
    order: str = "",
    mould: str = "",
    person: str = "",
    material: str = "",
    before: str = "",
) -> HTMLResponse:
    """Show what happened, by day, the latest first."""
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    asked = {
        "day": day, "what": what, "order": order, "mould": mould, "person": person,
        "material": material,
    }  # fmt: skip
    query = bench_log.query_of(
        zone=shop.zone,
        limit=A_PAGE,
        before=int(before) if before.isascii() and before.isdigit() and len(before) < 10 else None,
        day=_day(day),
        what=next((h for h in Happening if h.value == what), None),
        order=order,
        mould=mould,
        person=person,
        material=material,
    )
    shown, more = bench_log.list_log(visit.services.units, visit.shop, query)
    kept = {name: value for name, value in asked.items() if value}
    return visit.show(
        "log.html",
        title="Log",
        shop_name=shop.name,
        place="log",
        days=log_days(shop, shown),
        asked=asked,
        is_asked=bool(kept),
        what=happenings(),
        moulds=[
            (name, place_title(shop, name))
            for family in shop.moulds.values()
            for name in map(family.name, family.moulds)
        ],
        people=[(key, person.title) for key, person in shop.people.items()],
        materials=[(key, material.title) for key, material in shop.materials.items()],
        may_note=visit.may(Role.BENCH),
        draw=visit.services.chance,
        back="?" + urlencode(kept) if kept else "",
        earlier="?" + urlencode({**kept, "before": shown[-1].entry.number}) if more else "",
    )


@router.get("/note")
def choose(visit: InShop) -> HTMLResponse:
    """Show what may be noted."""
    visit.must(Role.BENCH)
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    return visit.show(
        "log_choose.html", title="Note something", shop_name=shop.name, place="log", forms=FORMS
    )


@router.get("/note/{kind}")
def show_form(visit: InShop, kind: str) -> HTMLResponse:
    """Show the form of a happening, what the address names filled in."""
    visit.must(Role.BENCH)
    return _form(visit, _named(kind), dict(visit.request.query_params))


@router.post("/note/{kind}")
def note(visit: InShop, kind: str, form: Posted) -> Response:
    """Note what happened, or say beside each field what cannot be right."""
    visit.must(Role.BENCH)
    noted = _named(kind)
    given = {name: text_of(form, name) for name in form}
    back = shop_path(visit.shop, "log")
    numbers: list[int] = []

    def present(entries: Sequence[LogEntry], zone: str) -> Reply:
        numbers.extend(entry.number for entry in entries)
        return led_to(back)

    try:
        ask = read_as(NoteAsk, written(noted, given))

        def tell(bench: Bench) -> list[LogEntry]:
            read = partial(local_instant, zone=bench.shop.zone)
            return [ask.entry(read, now=visit.now, by=visit.token.label)]

        kept = bench_log.note(
            visit.services, visit.shop, tell, asked=asked_by(visit, form), present=present
        )
    except InvalidInput as wrong:
        return _form(visit, noted, given, faults=wrong.faults, status=422)
    except Conflict as conflict:
        fault = Fault(path="", value="", problem=conflict.problem, remedy=conflict.remedy)
        return _form(visit, noted, given, faults=(fault,), status=409)
    said = f"Noted as entry {numbers[0]}; one press takes it back." if numbers else ""
    return visit.go(path_of(kept), say=said)


@router.post("/{number}/take-back")
def take_back(visit: InShop, number: int, form: Posted) -> Response:
    """Take an entry back; of one that takes back, put what it took back in force again."""
    visit.must(Role.BENCH)
    query = text_of(form, "back")
    back = shop_path(visit.shop, "log") + (query if query.startswith("?") else "")
    kept = bench_log.take_back(
        visit.services,
        visit.shop,
        (number,),
        by=visit.token.label,
        asked=asked_by(visit, form),
        present=lambda entries, zone: led_to(back),
    )
    return visit.go(path_of(kept))


def _named(kind: str) -> NoteForm:
    if kind not in BY_KEY:
        raise Unknown(kind="form", key=kind)
    return BY_KEY[kind]


def _form(
    visit: Visit,
    form: NoteForm,
    given: Mapping[str, str],
    *,
    faults: Sequence[Fault] = (),
    status: int = 200,
) -> HTMLResponse:
    bench = bench_log.read_bench(visit.services, visit.shop)
    placed = [replace(fault, path=field_at_fault(fault.path, form)) for fault in faults]
    return visit.show(
        "log_note.html",
        title=form.title,
        shop_name=bench.shop.name,
        place="log",
        status=status,
        form=form,
        fields=fields_of(form, bench.shop),
        given=given,
        once=given.get("once") or visit.services.chance(),
        at_field={f.path: f"{f.problem} {f.remedy}".strip() for f in reversed(placed) if f.path},
        faults=[f"{f.problem} {f.remedy}".strip() for f in placed if not f.path],
    )


def _day(text: str) -> date | None:
    try:
        day = date.fromisoformat(text) if text else None
    except ValueError:
        return None
    return day if day is not None and 1970 < day.year < 9000 else None
