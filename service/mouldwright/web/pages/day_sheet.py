"""The day sheet: one person's day, or everyone's, at the bench or on one printed page each."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Literal
from urllib.parse import urlencode

from fastapi import APIRouter
from starlette.datastructures import FormData
from starlette.responses import HTMLResponse, JSONResponse, Response

from mouldwright.domain.errors import Conflict, Fault, InvalidInput
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.usecases import bench_log
from mouldwright.usecases.day_sheet import DaySheet, day_sheets
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept import Role
from mouldwright.usecases.promise_lists import PlanRead, read_plan
from mouldwright.usecases.shelf import open_whole
from mouldwright.usecases.ticks import Tick, Ticks, entries_of
from mouldwright.usecases.today_told import in_hand_told
from mouldwright.web.doing_once import asked_by, led_to, path_of
from mouldwright.web.places import shop_path
from mouldwright.web.view_models.day_sheet import DayView, day_view
from mouldwright.web.view_models.in_hand import in_hand_view
from mouldwright.web.visit import InShop, Posted, Visit, text_of
from mouldwright.web.words import moment

router = APIRouter(prefix="/shops/{shop}/day")
# In place of a person's key; a key has no blank.
EVERYONE = "every one"
_PRESSES: tuple[Literal["started"], Literal["finished"]] = ("started", "finished")


@router.get("")
def show_day(visit: InShop, person: str = "", day: str = "") -> HTMLResponse:
    """Show a person's day, the first person's today where neither is named."""
    shop = open_whole(visit.services.units, visit.services.written, visit.shop).shop
    today = local(minute_of(visit.now), shop.zone).date()
    who = person or next(iter(shop.people), "")
    when = _day(day, today)
    found = _plan(visit)
    if found is None or not who:
        return _empty(visit, shop)
    if who not in shop.people and who != EVERYONE:
        raise Unknown(kind="person", key=who)
    plan = found.kept.plan
    shown = tuple(shop.people) if who == EVERYONE else (who,)
    sheets = day_sheets(shop, plan, shown, when)
    ticks = Ticks(shop.log)
    name = "everyone" if who == EVERYONE else shop.people[who].title
    return visit.show(
        "day_sheet.html",
        title=f"Day sheet, {name}",
        shop_name=shop.name,
        place="day",
        sheets=[(_view(visit, shop, found, sheet, ticks), _next(sheet)) for sheet in sheets],
        people=[(each.key, each.title, _query(each.key, when)) for each in shop.people.values()],
        everyone=_query(EVERYONE, when) if len(shop.people) > 1 else "",
        is_everyone=who == EVERYONE,
        on_paper=_on_paper(visit.shop, "" if who == EVERYONE else who, when),
        as_table=_of_day("" if who == EVERYONE else who, when),
        who=who,
        before=_query(who, when - timedelta(days=1)),
        after=_query(who, when + timedelta(days=1)),
        today=_query(who, today),
        is_today=when == today,
        plan=found.kept.version,
        is_current=found.is_current,
        drawn=moment(local(minute_of(visit.now), shop.zone)),
        now=visit.now.astimezone(UTC).isoformat(timespec="milliseconds"),
        day=when.isoformat(),
        may_tick=visit.may(Role.BENCH),
        draw=visit.services.chance,
    )


@router.post("/tick")
def tick(visit: InShop, form: Posted) -> Response:
    """Note that a line was begun or done; a phone that sends what it kept is answered in JSON."""
    visit.must(Role.BENCH)
    by_script = "application/json" in visit.request.headers.get("accept", "")
    back = shop_path(visit.shop, "day" + _query(text_of(form, "person"), _day_of(form)))
    try:
        plan = _plan_pressed(visit, form)
        press = _press(visit, form)
        kept = bench_log.note(
            visit.services,
            visit.shop,
            lambda bench: entries_of(plan, bench.shop.log, press),
            asked=asked_by(visit, form),
            present=lambda entries, zone: led_to(back),
        )
    except (InvalidInput, Conflict, Unknown) as error:
        if not by_script:
            raise
        return JSONResponse({"said": str(error)}, status_code=409)
    return JSONResponse({}) if by_script else visit.go(path_of(kept))


@router.post("/untick")
def untick(visit: InShop, form: Posted) -> Response:
    """Take back what a line's last press noted."""
    visit.must(Role.BENCH)
    back = shop_path(visit.shop, "day" + _query(text_of(form, "person"), _day_of(form)))
    kept = bench_log.take_back(
        visit.services,
        visit.shop,
        _numbers(form, "numbers"),
        by=visit.token.label,
        asked=asked_by(visit, form),
        present=lambda entries, zone: led_to(back),
    )
    return visit.go(path_of(kept))


def _press(visit: Visit, form: FormData) -> Tick:
    said = text_of(form, "what")
    what = next((word for word in _PRESSES if word == said), None)
    if what is None:
        raise _wrong("what", said, "Press Begin or Done.")
    sent = text_of(form, "at")
    try:
        at = datetime.fromisoformat(sent) if sent else visit.now
    except ValueError:
        at = None
    if at is None or at.tzinfo is None:
        raise _wrong("at", sent, "Write an instant with its offset.")
    return Tick(
        places=_numbers(form, "places"),
        what=what,
        at=at,
        by=visit.token.label,
        said_once=text_of(form, "said")[:100],
    )


def _plan_pressed(visit: Visit, form: FormData) -> Plan:
    version = _numbers(form, "plan")
    return read_plan(visit.services.units, visit.shop, version[0]).kept.plan


def _numbers(form: FormData, name: str) -> tuple[int, ...]:
    pieces = text_of(form, name).split(",")
    if not all(p.isascii() and p.isdigit() and len(p) < 10 for p in pieces):
        raise _wrong(name, text_of(form, name)[:40], "Open the day sheet again and press there.")
    return tuple(int(piece) for piece in pieces)


def _wrong(path: str, value: str, remedy: str) -> InvalidInput:
    fault = Fault(path=path, value=value, problem="that cannot be read.", remedy=remedy)
    return InvalidInput([fault])


def _day_of(form: FormData) -> date:
    return _day(text_of(form, "day"), date(2000, 1, 1))


def _view(visit: Visit, shop: Shop, found: PlanRead, sheet: DaySheet, ticks: Ticks) -> DayView:
    kept = found.kept
    tonight = tuple(
        in_hand_view(visit.shop, kept.version, sheet.day, in_hand_told(shop, kept.plan, each))
        for each in sheet.tonight
    )
    return day_view(shop, kept.plan.zone, sheet, tonight, ticks)


def _next(sheet: DaySheet) -> str:
    return _query(sheet.person, sheet.next_day) if sheet.next_day else ""


def _empty(visit: Visit, shop: Shop) -> HTMLResponse:
    return visit.show(
        "day_empty.html",
        title="Day sheet",
        shop_name=shop.name,
        place="day",
        has_people=bool(shop.people),
    )


def _plan(visit: Visit) -> PlanRead | None:
    try:
        return read_plan(visit.services.units, visit.shop)
    except Unknown:
        return None


def _on_paper(shop: str, person: str, day: date) -> str:
    return shop_path(shop, f"papers/day-sheet.pdf{_of_day(person, day)}")


def _of_day(person: str, day: date) -> str:
    """Return the query of a day's files, of everyone's where nobody is named."""
    named = {"person": person} if person else {}
    return "?" + urlencode({**named, "day": day.isoformat()})


def _query(person: str, day: date) -> str:
    return "?" + urlencode({"person": person, "day": day.isoformat()})


def _day(text: str, today: date) -> date:
    if not text:
        return today
    try:
        day = date.fromisoformat(text)
    except ValueError:
        day = None
    # A day at the end of the calendar has none after it to go to.
    if day is None or not 1970 < day.year < 9000:
        remedy = "Write it as 2027-03-19."
        fault = Fault(path="day", value=text[:40], problem="that is no day.", remedy=remedy)
        raise InvalidInput([fault])
    return day
