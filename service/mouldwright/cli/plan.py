"""The plan command."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from datetime import date
from typing import Any

from rich.console import Console

from mouldwright.cli.beside import read_held, show_changes, show_moves, without_held
from mouldwright.cli.explain import must_know, show_use, show_why
from mouldwright.cli.odds import show_plan_odds, show_seldom_as_planned
from mouldwright.cli.opening import clock, open_shop
from mouldwright.cli.progress import walked, watched
from mouldwright.cli.sessions import goings_of, room_of, show_sessions
from mouldwright.cli.show import console, figure, heading, print_json, table, when
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.hours.opening import local
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import lasting, worked
from mouldwright.planning.plan import Plan, Task
from mouldwright.usecases.planned import check_runs, plan_beside, plan_odds
from mouldwright.usecases.planned import plan as plan_shop
from mouldwright.usecases.present import present
from mouldwright.usecases.session_costs import session_costs
from mouldwright.wire.answers.odds import PlanOddsAnswer
from mouldwright.wire.answers.plan import PlanAnswer
from mouldwright.wire.answers.sessions import PlannedAnswer

_VIEWS = ("day", "mould", "order", "use")
_MOST_CAUSES_SHOWN = 3
# Going through a larger plan for its likely days takes longer than a first plan.
_MOST_TASKS_GONE_THROUGH = 5_000
_LIKELY_RUNS = 500


def plan(
    scenario: str,
    *,
    now: str | None,
    seconds: float,
    seed: int,
    show: str,
    explain: str | None = None,
    keep: str | None = None,
    only_changes: bool = False,
    with_odds: bool = False,
    runs: int = 1000,
    as_json: bool,
) -> None:
    """Print the plan of all open orders, what fixes the date of one, or what a new one moves."""
    if show not in _VIEWS:
        raise InvalidInput(
            [
                Fault(
                    path="--show",
                    value=show,
                    problem="there is no such table.",
                    remedy=f"One of: {', '.join(_VIEWS)}.",
                )
            ]
        )
    if only_changes and keep is None:
        raise InvalidInput([without_held()])
    check_runs(runs)
    shop = open_shop(scenario)
    if explain is not None:
        must_know(shop, explain)
    held = None if keep is None else read_held(keep, shop)
    beside = None
    with watched() as watch:
        how: dict[str, Any] = {
            "now": present(shop, now, clock),
            "seconds": seconds,
            "seed": seed,
            "progress": watch.told,
            "cancelled": lambda: watch.stopped,
        }
        if held is None:
            planned = plan_shop(shop, **how)
        else:
            beside = plan_beside(shop, held, **how)
            planned = beside.plan
    if with_odds:
        with walked() as walk:
            odds = plan_odds(
                shop,
                planned,
                runs=runs,
                seed=seed,
                progress=walk.gone_through,
                cancelled=lambda: walk.stopped,
            )
        planned = replace(planned, odds=odds)
    elif not (as_json or only_changes or explain or show == "use"):
        planned = with_likely_days(shop, planned, seed=seed)
    out = console()
    if explain is not None:
        show_why(out, shop, planned, explain, as_json=as_json)
        return
    if only_changes and held is not None:
        show_changes(out, shop, held, planned, as_json=as_json)
        return
    if show == "use":
        show_use(out, shop, planned, as_json=as_json)
        return
    if as_json:
        costs = session_costs(shop, planned)
        print_json(PlannedAnswer.with_sessions(planned, costs, shop.currency))
        return
    if held is not None and beside is not None:
        show_moves(out, held, beside)
    show_orders(out, planned)
    if with_odds and planned.odds is not None:
        show_plan_odds(out, PlanOddsAnswer.of(planned.odds, planned.zone))
        show_seldom_as_planned(out, planned.odds, planned.zone)
    show_sessions(out, shop, planned)
    if show == "mould":
        _by_mould(out, shop, planned)
    elif show == "day":
        _by_day(out, shop, planned)


def with_likely_days(shop: Shop, planned: Plan, *, seed: int) -> Plan:
    """Return a plan with its odds, where going through it takes little beside making it."""
    if not planned.tasks or len(planned.tasks) > _MOST_TASKS_GONE_THROUGH:
        return planned
    return replace(planned, odds=plan_odds(shop, planned, runs=_LIKELY_RUNS, seed=seed))


def _likely(planned: Plan, number: str) -> str | None:
    likely = planned.likely(number)
    return None if likely is None else when(local(likely, planned.zone).isoformat())


def show_orders(out: Console, planned: Plan) -> None:
    """Print when each order is ready and what binds it, and how good the plan is."""
    answer = PlanAnswer.of(planned)
    if not answer.orders:
        out.print("No open orders: add [[orders]] to the scenario to have something to plan.")
        return
    for caution in answer.cautions:
        out.print(f"Look here: {caution}")
    heading(out, "When each order is ready")
    out.print(
        table(
            [
                ("order", "left"),
                ("begun", "right"),
                ("ready", "right"),
                ("likely ready", "right"),
                ("wanted by", "right"),
                ("late h", "right"),
            ],
            [
                (
                    o.number,
                    o.starts,
                    when(o.finish),
                    _likely(planned, o.number),
                    when(o.due),
                    figure(o.late_min / 60) if o.late_min else None,
                )
                for o in answer.orders
            ],
        )
    )
    if planned.odds is None:
        out.print("Ready is as planned; --odds says by when each is likely ready.")
    else:
        level = f"{planned.odds.level * 100:.0f}"
        out.print(f"Likely ready: by then in {level} of 100 runs of the plan.")
    held = [order for order in answer.orders if order.binds]
    if held:
        heading(out, "What binds, the last cause first")
        causes_told: list[tuple[str, str]] = []
        for order in held:
            causes = order.binds[:_MOST_CAUSES_SHOWN]
            left = len(order.binds) - len(causes)
            more = [f"and {left} before that"] if left else []
            causes_told.extend(
                (order.number if not place else "", cause)
                for place, cause in enumerate([*causes, *more])
            )
        out.print(table([("order", "left"), ("", "left")], causes_told))
    if answer.shortages:
        heading(out, "What orders wait for")
        rows = [
            (
                each.order,
                each.material,
                f"{each.short:,.1f} {each.unit}",
                f"{each.there_on:%a} {each.there_on.day} {each.there_on:%b}",
                f"{each.bought:,.1f} {each.unit} from {each.supplier}" if each.supplier else None,
            )
            for each in answer.shortages
        ]
        columns = [
            ("order", "left"),
            ("material", "left"),
            ("short", "right"),
            ("there on", "right"),
            ("to buy now", "left"),
        ]
        out.print(table(columns, rows))
    made, objective = answer, answer.objective
    value = objective.weighted_late_min or objective.finish_min
    what = "weighted lateness" if objective.weighted_late_min else "time to the last part"
    if made.bound is not None and made.gap is not None:
        proof = (
            "proven the least possible"
            if made.bound >= value
            else (
                f"cannot be under {lasting(made.bound, to_the_minute=True)} ({made.bound_name}), "
                f"so within {made.gap * 100:.2f} % of the best possible"
            )
        )
        out.print(f"{what.capitalize()}: {lasting(value, to_the_minute=True)}; {proof}.")
    out.print(
        f"Hands: {worked(objective.attended_min)}. Checked: "
        f"{'every rule kept' if made.checked else 'NOT CHECKED'}."
    )


def _clock(minute: int, zone: str) -> str:
    return f"{local(minute, zone):%H:%M}"


def _members(shop: Shop, task: Task) -> str:
    words = []
    if not task.members and task.mould is not None:
        work = shop.mould_work(task.process, task.operation, task.mould)
        return {"upkeep": "", "making": "its making", "proof": "its proof"}[work]
    for member in task.members:
        if member.parts and len(member.parts) == 1:
            words.append(f"{member.order} part {member.parts[0]}")
        elif member.pulls and not member.parts:
            many = "s" if len(member.pulls) > 1 else ""
            words.append(f"{member.order} pull{many} {_runs(member.pulls)}")
        else:
            words.append(f"{member.order} parts {_runs(member.parts)}")
    return ", ".join(words)


def _runs(ids: tuple[int, ...]) -> str:
    """Return ids with runs joined: 1-3, 7."""
    runs: list[list[int]] = []
    for number in sorted(ids):
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(str(a) if a == b else f"{a}-{b}" for a, b in runs)


def _by_day(out: Console, shop: Shop, planned: Plan) -> None:
    """Print each day's work by person, and what runs unattended."""
    days: dict[date, dict[str, list[tuple[int, int, Task | str]]]] = defaultdict(
        lambda: defaultdict(list)
    )
    for person in shop.people:
        for start, end, words in goings_of(shop, planned, person):
            days[local(start, planned.zone).date()][person].append((start, end, words))
    for task in planned.tasks:
        for start, end in task.spans if task.people else ():
            for person in task.people:
                days[local(start, planned.zone).date()][person].append((start, end, task))
    for day in sorted(days):
        for person in sorted(days[day]):
            heading(out, f"{day:%A} {day.day} {day:%B}: {shop.people[person].title}")
            rows: list[tuple[str | None, ...]] = []
            for start, end, work in sorted(days[day][person], key=lambda r: r[:2]):
                if isinstance(work, str):
                    clocks = _clock(start, planned.zone), _clock(end, planned.zone)
                    rows.append((*clocks, work, None, None, None, None))
                    continue
                grams = f"{work.mixed_g:.1f} g" if work.mixed_g else None
                rows.append(
                    (
                        _clock(start, planned.zone),
                        _clock(end, planned.zone),
                        work.operation,
                        _members(shop, work),
                        work.mould,
                        ", ".join([*work.stations, *room_of(shop, work)]) or None,
                        grams,
                    )
                )
            out.print(
                table(
                    [
                        ("from", "right"),
                        ("to", "right"),
                        ("work", "left"),
                        ("of", "left"),
                        ("mould", "left"),
                        ("where", "left"),
                        ("mix", "right"),
                    ],
                    rows,
                )
            )


def _by_mould(out: Console, shop: Shop, planned: Plan) -> None:
    """Print what each mould goes through."""
    moulds: dict[str, list[Task]] = defaultdict(list)
    for task in planned.tasks:
        if task.mould:
            moulds[task.mould].append(task)
    for mould in sorted(moulds):
        heading(out, mould)
        out.print(
            table(
                [
                    ("from", "right"),
                    ("to", "right"),
                    ("work", "left"),
                    ("of", "left"),
                    ("hands", "left"),
                ],
                [
                    (
                        when(local(t.start, planned.zone).isoformat()),
                        when(local(t.end, planned.zone).isoformat()),
                        t.operation,
                        _members(shop, t),
                        ", ".join(t.people) or None,
                    )
                    for t in sorted(moulds[mould], key=lambda t: t.start)
                ],
            )
        )
