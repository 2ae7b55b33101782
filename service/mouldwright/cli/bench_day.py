"""The tomorrow, handover and stage commands."""

from __future__ import annotations

from rich.console import Console

from mouldwright.cli.opening import clock, open_shop
from mouldwright.cli.show import console, heading, print_json, table
from mouldwright.domain.errors import NotFound
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.quote import in_words
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import listed
from mouldwright.usecases.handover import handover_of
from mouldwright.usecases.planned import plan
from mouldwright.usecases.present import day_asked, present
from mouldwright.usecases.stage import stage_of
from mouldwright.usecases.today import today_of
from mouldwright.usecases.today_told import TaskInHand
from mouldwright.usecases.tomorrow import bench_day, next_day
from mouldwright.usecases.tomorrow_told import BenchTaskTold, bench_day_told
from mouldwright.wire.answers.bench_day import BenchDayAnswer, HandoverAnswer, StageAnswer


def tomorrow(
    scenario: str,
    *,
    day: str | None,
    now: str | None,
    seconds: float,
    seed: int,
    as_json: bool,
) -> None:
    """Print a day in the order of the hands, by a plan made from the file."""
    asked = day_asked(day, "--day")
    shop = open_shop(scenario)
    at = present(shop, now, clock)
    made = plan(shop, now=at, seconds=seconds, seed=seed)
    told = bench_day_told(shop, made, bench_day(shop, made, asked or next_day(made, at)))
    if as_json:
        print_json(BenchDayAnswer.model_validate(told))
        return
    out = console()
    out.print(f"{shop.name}, {told.day:%A} {told.day.day} {told.day:%B} {told.day.year}")
    for caution in told.cautions:
        out.print(f"! {in_words(caution)}")
    if not told.parts:
        out.print("Nothing is booked for this day.")
    for part in told.parts:
        heading(out, part.title)
        rows = [_row(each) for each in part.tasks]
        columns = [("from", "right"), ("what", "left"), ("on", "left"), ("who", "left")]
        out.print(table([*columns, ("begin by", "right"), ("", "left")], rows))


def _row(each: BenchTaskTold) -> tuple[str | None, ...]:
    said = ""
    if each.mix is not None:
        grams = [f"{c.title} {c.grams:f} g" for c in each.mix.components]
        said = f"{', '.join(grams)}; in the cup {each.mix.total_g:f} g"
    elif each.runs_until is not None:
        said = f"runs until {each.runs_until:%a %H:%M}"
    return (
        f"{each.start:%H:%M}",
        f"{each.operation}, {each.what}" if each.what else each.operation,
        each.where or None,
        listed(each.people),
        None if each.begin_by is None else f"{each.begin_by:%H:%M}",
        said,
    )


def handover(scenario: str, *, now: str | None, seconds: float, seed: int, as_json: bool) -> None:
    """Print what is handed over now, by a plan made from the file."""
    shop = open_shop(scenario)
    at = present(shop, now, clock)
    made = plan(shop, now=_planned_from(shop, at), seconds=seconds, seed=seed)
    found = handover_of(shop, today_of(shop, made, now=at))
    if as_json:
        print_json(HandoverAnswer.model_validate(found))
        return
    out = console()
    out.print(f"{shop.name}, {found.now:%A %H:%M}")
    _show(out, "Runs by itself", found.curing)
    _show(out, "In someone's hands", found.attended)
    _show(out, "To be taken up next", found.take_up)
    heading(out, "At risk")
    for notice in found.at_risk:
        out.print(f"{'!' if notice.presses else '-'} {notice.text}")
    if not found.at_risk:
        out.print("Nothing.")
    heading(out, "Who comes next")
    for coming in found.coming:
        out.print(f"{coming.name}, {coming.at:%a %H:%M}")


def _planned_from(shop: Shop, at: int) -> int:
    """Return when the plan begins that is looked at: the scenario's start, where that is before."""
    return at if shop.start is None else min(at, minute_of(shop.start))


def _show(out: Console, title: str, tasks: tuple[TaskInHand, ...]) -> None:
    heading(out, title)
    if not tasks:
        out.print("Nothing.")
        return
    rows = [
        (
            f"{each.operation}, {each.what}" if each.what else each.operation,
            each.where or None,
            f"{'stands since' if each.stands else 'until'} {each.end:%a %H:%M}",
            None if each.then is None else f"{each.then.operation} {each.then.start:%a %H:%M}",
            f"{each.then.by:%a %H:%M}" if each.then is not None and each.then.by else None,
        )
        for each in tasks
    ]
    columns = [("what", "left"), ("on", "left"), ("", "left"), ("then", "left"), ("by", "right")]
    out.print(table(columns, rows))


def stage(
    scenario: str, order: str, *, now: str | None, seconds: float, seed: int, as_json: bool
) -> None:
    """Print how far an order is, as its customer is told."""
    shop = open_shop(scenario)
    numbers = [each.number for each in shop.orders]
    if order not in numbers:
        raise NotFound(kind="order", key=order, known=numbers)
    at = present(shop, now, clock)
    made = plan(shop, now=_planned_from(shop, at), seconds=seconds, seed=seed)
    found = StageAnswer.model_validate(stage_of(shop, order, made, at))
    if as_json:
        print_json(found)
        return
    day = found.next_day
    said = "" if day is None else f", {day:%A} {day.day} {day:%B}"
    console().print(f"Order {order}: {found.stage}{said}.")
