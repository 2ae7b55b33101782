"""Sessions in the terminal: what going in and coming out takes, and what it costs."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Console

from mouldwright.cli.show import heading, table
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan, Task
from mouldwright.usecases.day_sheet import room_words
from mouldwright.usecases.session_costs import session_costs
from mouldwright.wire.answers.sessions import SessionCostsAnswer


def show_sessions(out: Console, shop: Shop, planned: Plan) -> None:
    """Print every kind of session: how many, for how long, and at what cost; nothing without."""
    answer = SessionCostsAnswer.of(session_costs(shop, planned), shop.currency)
    if not answer.sessions:
        return
    heading(out, "Going in and coming out")
    rows = [
        (
            shop.sessions[each.session].title,
            each.planned,
            f"{each.planned_min} min",
            each.planned_cost,
            each.assumed,
            f"{each.assumed_min} min",
            each.assumed_cost or "unknown",
        )
        for each in answer.sessions
    ]
    columns = [
        ("session", "left"),
        ("planned", "right"),
        ("taking", "right"),
        (f"cost {shop.currency.code}", "right"),
        ("reckoned", "right"),
        ("taking", "right"),
        (f"cost {shop.currency.code}", "right"),
    ]
    out.print(table(columns, rows))
    out.print("Reckoned is each order by itself, without a plan; planned sessions may be shared.")


def goings_of(shop: Shop, planned: Plan, person: str) -> Iterator[tuple[int, int, str]]:
    """Yield when a person gears up and cleans down: from, to, and what for."""
    for each in planned.sessions:
        if each.person != person:
            continue
        title = shop.sessions[each.session].title
        if each.gear_up_min:
            yield each.start, each.start + each.gear_up_min, f"gear up: {title}"
        if each.clean_down_min:
            yield each.end - each.clean_down_min, each.end, f"clean down: {title}"


def room_of(shop: Shop, task: Task) -> tuple[str, ...]:
    """Return the room a task needs and the state it is in, in words; nothing for none."""
    words = room_words(shop, task)
    return (words,) if words else ()
