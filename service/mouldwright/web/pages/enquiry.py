"""The enquiry: a part, a quantity, what it must bear and by when; answered as one types."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter
from starlette.datastructures import QueryParams
from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, Response

from mouldwright.domain.compare import LARGEST_QUANTITY_SWEPT, Comparison
from mouldwright.domain.errors import InvalidInput, MouldwrightError
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.judgement import judge
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import fitted
from mouldwright.domain.standing import AIMS, Aim
from mouldwright.figures.marks import marks_for
from mouldwright.usecases.booked_shop import BookedShop, read_booked
from mouldwright.usecases.enquiry import beside, finish_by_rate
from mouldwright.usecases.errors import Busy
from mouldwright.usecases.held import held_now
from mouldwright.usecases.kept import Role
from mouldwright.usecases.present import wanted_by
from mouldwright.usecases.questions import compare, price, what_changes
from mouldwright.web.asking import AGREED_FIELDS, Ask, read_ask
from mouldwright.web.charts import (
    Figure,
    bend_figure,
    cost_figure,
    last_shown,
    part_figures,
    price_figure,
    stiffness_figure,
    time_figure,
)
from mouldwright.web.saving import as_csv, as_svg
from mouldwright.web.view_models.agreed import agreed_as_typed
from mouldwright.web.view_models.enquiry import enquiry_view
from mouldwright.web.view_models.enquiry_form import form_view
from mouldwright.web.view_models.set_enquiry import SetView, set_view
from mouldwright.web.view_models.switches import SwitchesView, aim_asked, switches_view
from mouldwright.web.visit import InShop, Visit
from mouldwright.web.words import count, day_and_year, moment

router = APIRouter(prefix="/shops/{shop}/enquiry")
# What a query says to have its dates planned on top of what is booked.
PLANNED = "planned"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Answered:
    """An enquiry worked out.

    Attributes:
        shop: With what is booked and any what-if figures in it.
        found: None where the enquiry is for a set.
        by: Minute the parts are wanted.
        is_planned: Whether dates come from a plan on top of what is booked, not from rates.
    """

    ask: Ask
    shop: Shop
    found: Comparison | None
    marks: dict[str, int]
    by: int | None
    now: int
    is_planned: bool


@router.get("")
def show_enquiry(visit: InShop) -> HTMLResponse:
    """Show the whole sheet."""
    booked = read_booked(visit.services.units, visit.shop, visit.services.written)
    shop = booked.written
    ask = read_ask(visit.request.query_params, shop)
    if not shop.parts and not shop.sets:
        return visit.show(
            "enquiry_empty.html", title="Enquiry", shop_name=shop.name, place="enquiry"
        )
    # Each date is a plan: they are worked out once the rest is seen, or when asked for.
    values = _answer(
        visit,
        ask,
        booked,
        with_time="time" in visit.request.query_params,
        with_dates=_wants_dates(visit),
        aim=aim_asked(visit.request.query_params.get("changes", "")),
    )
    return visit.show(
        "enquiry.html",
        title="Enquiry",
        shop_name=shop.name,
        place="enquiry",
        status=422 if ask.faults else 200,
        form=form_view(shop, ask),
        head=_head(shop, ask),
        block=_block(visit, booked),
        **values,
    )


@router.get("/answer")
def show_answer(visit: InShop) -> HTMLResponse:
    """Return what changes as one types, to be put into the sheet."""
    booked = read_booked(visit.services.units, visit.shop, visit.services.written)
    ask = read_ask(visit.request.query_params, booked.written)
    values = _answer(visit, ask, booked, with_time=False, with_dates=_wants_dates(visit))
    return visit.part(
        "parts/_answer.html", head=_head(booked.written, ask), with_time=False, **values
    )


@router.get("/time")
def show_time(visit: InShop) -> HTMLResponse:
    """Return when each quantity is ready, which takes a while to plan."""
    # The chart plans its dates itself; what it is drawn for needs none.
    answered = _work_out(visit, _query(visit), by_rate=True)
    drawn, is_planned = _time(visit, answered)
    return visit.part(
        "parts/enquiry/_time.html",
        time=drawn,
        time_is_planned=is_planned,
        is_time_later=False,
        query=answered.ask.query,
        shop=visit.shop,
    )


@router.get("/{figure}.{kind}")
def save_figure(visit: InShop, figure: str, kind: str) -> Response:
    """Return a figure of the enquiry, or its table, as a file."""
    if kind not in ("svg", "csv"):
        raise HTTPException(404)
    # No plan is made for what holds no date.
    answered = _work_out(visit, _query(visit), by_rate=True)
    if figure == "time":
        drawn, _ = _time(visit, answered)
    elif figure in _FIGURES:
        drawn = _FIGURES[figure](answered)
    else:
        raise HTTPException(404)
    if drawn is None:
        raise HTTPException(404)
    name = f"{answered.ask.part}-{figure}"
    return as_svg(drawn.wide, name) if kind == "svg" else as_csv(drawn.wide.table, name)


def _wants_dates(visit: Visit) -> bool:
    """Return whether dates are asked for that lie on top of what is booked."""
    return visit.request.query_params.get("dates") == PLANNED


def _query(visit: Visit) -> QueryParams:
    return visit.request.query_params


def _work_out(
    visit: Visit,
    query: QueryParams,
    booked: BookedShop | None = None,
    *,
    by_rate: bool = False,
) -> _Answered:
    services = visit.services
    booked = booked or read_booked(services.units, visit.shop, services.written)
    shop, found = booked.written, None
    ask = read_ask(query, shop)
    by = ask.by.isoformat() if ask.by else None
    if ask.part in shop.parts:
        compared = compare(
            services,
            visit.shop,
            ask.part,
            ask.quantity,
            by=by,
            by_rate=by_rate,
            what_if=ask.what_if,
            # The sheet shows no quantity beyond its chart.
            swept=last_shown(ask.quantity, LARGEST_QUANTITY_SWEPT),
        )
        shop, found = compared.shop, compared.comparison
    marks = dict(marks_for(shop.processes.values()))
    return _Answered(
        ask=ask,
        shop=shop,
        found=found,
        marks=marks,
        by=wanted_by(shop, by),
        now=minute_of(visit.now),
        is_planned=not by_rate,
    )


def _dated_or_not(visit: Visit, booked: BookedShop) -> _Answered:
    """Return the answer planned, or by rate where others plan for too long."""
    try:
        return _work_out(visit, _query(visit), booked)
    except Busy:
        return _work_out(visit, _query(visit), booked, by_rate=True)


def _answer(
    visit: Visit,
    ask: Ask,
    booked: BookedShop,
    *,
    with_time: bool,
    with_dates: bool,
    aim: Aim | None = None,
) -> dict[str, object]:
    """Return what the answer's templates show; where something is wrong, only what.

    Without dates they are by the rate alone, which takes no plan, and the sheet says so.
    """
    values: dict[str, object] = {
        "faults": tuple(ask.faults.values()),
        "bad_fields": tuple(ask.faults),
        "view": None,
        "sold": None,
        "drawings": (),
        "bend": None,
        "cost": None,
        "time": None,
        "time_is_planned": True,
        "is_time_later": False,
        "are_dates_later": not with_dates and ask.part in booked.written.parts,
        "stiffness": None,
        "switches": None,
        "aims": AIMS,
        "prices": {},
        "query": ask.query,
        "shop": visit.shop,
        "ask": ask,
        "may_quote": visit.may(Role.PLANNER),
        "fails_as_written": "",
        "once": visit.services.chance(),
        "agreed": agreed_as_typed(booked.written, ask.part, ask.typed),
        "agreed_names": AGREED_FIELDS,
        "currency": booked.written.currency.code,
    }
    if ask.faults:
        return values
    try:
        if with_dates:
            answered = _dated_or_not(visit, booked)
        else:
            answered = _work_out(visit, _query(visit), booked, by_rate=True)
        if answered.found is None:
            values["sold"] = _set(visit, answered)
            return values
    except InvalidInput as wrong:
        return values | {"faults": tuple(f"{f.problem} {f.remedy}" for f in wrong.faults)}
    except MouldwrightError as refused:
        return values | {"faults": (str(refused),)}
    found, shop, marks = answered.found, answered.shop, answered.marks
    view = enquiry_view(
        shop,
        found,
        marks=marks,
        by=answered.by,
        now=answered.now,
        is_what_if=ask.what_if.is_any,
        is_planned=answered.is_planned,
    )
    part = shop.part(ask.part)
    time, time_is_planned = _time(visit, answered) if with_time else (None, True)
    if aim is not None:
        values["switches"] = _switches(visit, ask, aim)
    if ask.what_if.is_any and view.act_process:
        values["fails_as_written"] = _fails_as_written(booked.written, ask, view.act_process)
    return values | {
        "view": view,
        "drawings": part_figures(shop, part, view.act_process or None, marks),
        "bend": bend_figure(part, found, marks),
        "cost": cost_figure(shop, found, marks),
        "time": time,
        "time_is_planned": time_is_planned,
        "is_time_later": not with_time,
        "stiffness": stiffness_figure(found, marks),
        "prices": {choice.process: price_figure(shop, choice) for choice in found.choices},
    }


def _switches(visit: Visit, ask: Ask, aim: Aim) -> SwitchesView:
    found = what_changes(
        visit.services,
        visit.shop,
        ask.part,
        ask.quantity,
        aim=aim,
        by=ask.by.isoformat() if ask.by else None,
        what_if=ask.what_if,
    )
    return switches_view(found.shop, found.found)


def _fails_as_written(written: Shop, ask: Ask, process: str) -> str:
    """Return how a way fails what is written of the part, which a quote goes by; empty if not."""
    judged = judge(written, written.part(ask.part), written.process(process))
    if judged.meets_requirement is not False:
        return ""
    if judged.deflection_mm is None or judged.allowed_mm is None:
        return "; ".join(judged.reasons)
    return f"it bends {fitted(judged.deflection_mm)} mm of the {judged.allowed_mm:g} mm allowed"


def _set(visit: Visit, answered: _Answered) -> SetView:
    ask = answered.ask
    priced = price(visit.services, visit.shop, ask.part, None, ask.quantity, by_rate=False)
    return set_view(priced.shop, priced.quote)


def _cost(answered: _Answered) -> Figure | None:
    found = answered.found
    return cost_figure(answered.shop, found, answered.marks) if found else None


def _time(visit: Visit, answered: _Answered) -> tuple[Figure | None, bool]:
    """Return when quantities are ready, and whether it is planned, not by rate."""
    if answered.found is None:
        return None, True
    with visit.services.units.read(visit.shop) as unit:
        planned = beside(visit.services.finish, held_now(unit))
    for finish in (planned, finish_by_rate):
        try:
            drawn = time_figure(
                answered.shop, answered.found, answered.marks, now=answered.now, finish=finish
            )
        except Busy:
            continue
        return drawn, finish is not finish_by_rate
    return None, False


def _stiffness(answered: _Answered) -> Figure | None:
    return stiffness_figure(answered.found, answered.marks) if answered.found else None


def _bend(answered: _Answered) -> Figure | None:
    if answered.found is None:
        return None
    return bend_figure(answered.shop.part(answered.ask.part), answered.found, answered.marks)


_FIGURES = {"cost": _cost, "bend": _bend, "stiffness": _stiffness}


def _head(shop: Shop, ask: Ask) -> tuple[str, str]:
    """Return what stands at the head of the sheet: what is asked, and for whom by when."""
    sold = shop.parts.get(ask.part) or shop.sets.get(ask.part)
    pieces = count(ask.quantity, "set" if ask.part in shop.sets else "piece")
    title = f"{sold.title if sold else ask.part}: {pieces}"
    wanted = f"wanted by {day_and_year(ask.by)}" if ask.by else "wanted as soon as can be"
    words = f"For {ask.customer}, {wanted}" if ask.customer else wanted
    return title, words[:1].upper() + words[1:]


def _block(visit: Visit, booked: BookedShop) -> tuple[tuple[str, str], ...]:
    shop = booked.written
    orders = len(shop.orders) + len(booked.bookings)
    return (
        ("Shop", shop.name),
        ("Sheet", "Enquiry"),
        ("Drawn", moment(local(minute_of(visit.now), shop.zone))),
        ("Units", f"mm, g, N, {shop.currency.code}"),
        ("From", f"prices and hours of version {booked.basis.shop_version}"),
        ("Behind", f"{orders} open orders"),
    )
