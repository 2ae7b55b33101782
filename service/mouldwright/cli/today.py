"""The today command."""

from __future__ import annotations

from datetime import datetime

from rich.console import Console

from mouldwright.cli.opening import clock, open_shop
from mouldwright.cli.show import console, heading, print_json, table
from mouldwright.domain.record.learnt_changes import learnt_at_bench
from mouldwright.domain.shown import lasting, worked
from mouldwright.usecases.planned import plan
from mouldwright.usecases.present import present
from mouldwright.usecases.today import today_of
from mouldwright.usecases.today_told import TaskInHand, TodayTold, told
from mouldwright.wire.answers.today import TodayAnswer


def today(scenario: str, *, now: str | None, seconds: float, seed: int, as_json: bool) -> None:
    """Print today by a plan made from the file."""
    shop = open_shop(scenario)
    at = present(shop, now, clock)
    planned = plan(shop, now=at, seconds=seconds, seed=seed) if shop.orders else None
    found = told(shop, today_of(shop, planned, now=at, learnt=learnt_at_bench(shop).changes))
    if as_json:
        print_json(TodayAnswer.model_validate(found))
        return
    out = console()
    out.print(f"{shop.name}, {_day(found.now)}, {found.now:%H:%M}")
    _show_notices(out, found)
    _show_people(out, found)
    _show_in_hand(out, "In hand now", found.in_hand)
    if found.closes is not None:
        _show_in_hand(out, f"As the last one goes, {found.closes:%H:%M}", found.tonight)
    _show_due(out, found)


def _day(at: datetime) -> str:
    return f"{at:%A} {at.day} {at:%B} {at:%Y}"


def _short(at: datetime) -> str:
    return f"{at:%a} {at.day} {at:%b} {at:%H:%M}"


def _show_notices(out: Console, found: TodayTold) -> None:
    heading(out, "What waits for someone")
    if not found.notices:
        out.print("Nothing.")
    for notice in found.notices:
        out.print(f"{'!' if notice.presses else '-'} {notice.text}")


def _show_people(out: Console, found: TodayTold) -> None:
    if not found.people:
        return
    heading(out, "Who does what")
    rows = [
        (
            each.name,
            ", ".join(f"{a:%H:%M}-{b:%H:%M}" for a, b in each.hours) or "not in",
            each.steps or None,
            worked(each.booked_min) if each.steps else None,
            f"{each.doing} at {each.doing_from:%H:%M}" if each.doing_from else None,
            f"{each.until:%H:%M}" if each.until else None,
        )
        for each in found.people
    ]
    columns = [
        ("who", "left"),
        ("there", "left"),
        ("steps", "right"),
        ("booked", "right"),
        ("now or next", "left"),
        ("until", "right"),
    ]
    out.print(table(columns, rows))


def _show_in_hand(out: Console, title: str, tasks: tuple[TaskInHand, ...]) -> None:
    if not tasks:
        return
    heading(out, title)
    rows = [
        (
            f"{each.operation}, {each.what}" if each.what else each.operation,
            each.where or None,
            "stands since " + _short(each.end) if each.stands else "until " + _short(each.end),
            None if each.then is None else f"{each.then.operation} {_short(each.then.start)}",
            f"{_short(each.then.by)}" if each.then is not None and each.then.by else None,
        )
        for each in tasks
    ]
    columns = [("what", "left"), ("on", "left"), ("", "left"), ("then", "left"), ("by", "right")]
    out.print(table(columns, rows))


def _show_due(out: Console, found: TodayTold) -> None:
    if not found.due:
        return
    heading(out, "Due next")
    rows = [
        (
            each.number,
            f"{each.quantity} x {each.what}",
            _short(each.due) if each.due else None,
            _short(each.finish) if each.finish else None,
            None
            if each.slack_min is None
            else f"{lasting(abs(each.slack_min))} {'late' if each.slack_min < 0 else 'in hand'}",
        )
        for each in found.due
    ]
    columns = [
        ("order", "left"),
        ("what", "left"),
        ("due", "right"),
        ("ready", "right"),
        ("", "right"),
    ]
    out.print(table(columns, rows))
    if found.due_more:
        out.print(f"And {found.due_more} more.")
