"""A day in the order of the hands, and handing over to whoever comes next."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta

from fastapi import APIRouter
from starlette.responses import HTMLResponse

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.handover import handover
from mouldwright.usecases.present import day_asked
from mouldwright.usecases.shelf import open_kept
from mouldwright.usecases.today_told import TaskInHand
from mouldwright.usecases.tomorrow import kept_bench_day
from mouldwright.usecases.tomorrow_told import bench_day_told
from mouldwright.web.places import shop_path
from mouldwright.web.view_models.bench_day import bench_day_view
from mouldwright.web.view_models.in_hand import InHandView, in_hand_view
from mouldwright.web.visit import InShop
from mouldwright.web.words import long_day, moment

router = APIRouter(prefix="/shops/{shop}")


@router.get("/tomorrow")
def show_tomorrow(visit: InShop, day: str = "") -> HTMLResponse:
    """Show a day in the order of the hands, the next with work where none is named."""
    when = day_asked(day, "day")
    if when is not None and not 1970 < when.year < 9000:
        raise InvalidInput(
            [Fault(path="day", value=day, problem="no bench plans for it.", remedy="Name a day.")]
        )
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    try:
        read = kept_bench_day(visit.services, visit.shop, when)
    except Unknown:
        return visit.show(
            "day_empty.html",
            title="Tomorrow at the bench",
            shop_name=shop.name,
            place="day",
            has_people=bool(shop.people),
        )
    told = bench_day_told(read.shop, read.plan, read.found)
    here, one = shop_path(visit.shop, "tomorrow"), timedelta(days=1)
    return visit.show(
        "tomorrow.html",
        title=f"At the bench, {long_day(told.day)}",
        shop_name=shop.name,
        place="day",
        day=long_day(told.day),
        view=bench_day_view(visit.shop, read.version, told),
        before=f"{here}?day={(told.day - one).isoformat()}",
        as_table=f"?day={told.day.isoformat()}",
        after=f"{here}?day={(told.day + one).isoformat()}",
        plan=read.version,
        is_current=read.is_current,
        drawn=moment(local(minute_of(visit.now), shop.zone)),
    )


@router.get("/handover")
def show_handover(visit: InShop) -> HTMLResponse:
    """Show what cures, what must be taken up by when, what is at risk, who comes next."""
    shop, today, found = handover(visit.services, visit.shop)

    def shown(several: Iterable[TaskInHand]) -> list[InHandView]:
        return [in_hand_view(visit.shop, today.plan_version, today.day, each) for each in several]

    return visit.show(
        "handover.html",
        title="Handing over",
        shop_name=shop.name,
        place="day",
        clock=f"{found.now:%H:%M}",
        day=long_day(found.now),
        has_plan=found.has_plan,
        curing=shown(found.curing),
        attended=shown(found.attended),
        take_up=shown(found.take_up),
        at_risk=found.at_risk,
        coming=[(each.name, moment(each.at)) for each in found.coming],
        plan=today.plan_version,
        is_logged=bool(shop.log),
        is_current=today.is_current,
        drawn=moment(found.now),
    )
