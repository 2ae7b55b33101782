"""The day sheet: one person's day, or everyone's, at the bench or on one printed page each."""

from __future__ import annotations

from datetime import date, timedelta
from urllib.parse import urlencode

from fastapi import APIRouter
from starlette.responses import HTMLResponse

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.shop import Shop
from mouldwright.usecases.day_sheet import DaySheet, day_sheets
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.promise_lists import PlanRead, read_plan
from mouldwright.usecases.shelf import open_kept
from mouldwright.usecases.today_told import in_hand_told
from mouldwright.web.places import shop_path
from mouldwright.web.view_models.day_sheet import DayView, day_view
from mouldwright.web.view_models.in_hand import in_hand_view
from mouldwright.web.visit import InShop, Visit
from mouldwright.web.words import moment

router = APIRouter(prefix="/shops/{shop}/day")
# In place of a person's key; a key has no blank.
EVERYONE = "every one"


@router.get("")
def show_day(visit: InShop, person: str = "", day: str = "") -> HTMLResponse:
    """Show a person's day, the first person's today where neither is named."""
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
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
    name = "everyone" if who == EVERYONE else shop.people[who].title
    return visit.show(
        "day_sheet.html",
        title=f"Day sheet, {name}",
        shop_name=shop.name,
        place="day",
        sheets=[(_view(visit, shop, found, sheet), _next(sheet)) for sheet in sheets],
        people=[(each.key, each.title, _query(each.key, when)) for each in shop.people.values()],
        everyone=_query(EVERYONE, when) if len(shop.people) > 1 else "",
        is_everyone=who == EVERYONE,
        on_paper=_on_paper(visit.shop, "" if who == EVERYONE else who, when),
        who=who,
        before=_query(who, when - timedelta(days=1)),
        after=_query(who, when + timedelta(days=1)),
        today=_query(who, today),
        is_today=when == today,
        plan=found.kept.version,
        is_current=found.is_current,
        drawn=moment(local(minute_of(visit.now), shop.zone)),
    )


def _view(visit: Visit, shop: Shop, found: PlanRead, sheet: DaySheet) -> DayView:
    kept = found.kept
    tonight = tuple(
        in_hand_view(visit.shop, kept.version, sheet.day, in_hand_told(shop, kept.plan, each))
        for each in sheet.tonight
    )
    return day_view(shop, kept.plan.zone, sheet, tonight)


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
    named = {"person": person} if person else {}
    return shop_path(shop, f"papers/day-sheet.pdf?{urlencode({**named, 'day': day.isoformat()})}")


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
