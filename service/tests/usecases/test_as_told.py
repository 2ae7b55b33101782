"""Today by the log: what begins late, how many starts are left, which date moved and why."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import builders as build
from written_log import BenchLog

from mouldwright.domain.record.log import Happening
from mouldwright.domain.shop import Shop
from mouldwright.planning.odds.simulate import odds_of
from mouldwright.planning.plan import Plan, Task
from mouldwright.planning.replan import replan
from mouldwright.planning.run import make_plan
from mouldwright.usecases.board import changes_between
from mouldwright.usecases.pinned_plan import kept_tasks
from mouldwright.usecases.today import Today, today_of
from mouldwright.usecases.why import Moves

NOW = build.at("2027-03-01 08:00")


def pressed(quantity: int, rate: str = "1", **more: object) -> Shop:
    process = build.process(
        build.hands("fill", 20),
        build.alone("cure", 60),
        build.hands("demould", 5, good_rate=Decimal(rate)),
        holds=[build.hold("fill", "demould")],
    )
    due = build.instant("2027-03-03 12:00")
    return build.shop(
        process,
        [build.order(quantity=quantity, due=due)],
        people=[build.person("ana")],
        moulds=[build.moulds(1)],
        **more,
    )


def of_pull(plan: Plan, pull: int) -> list[Task]:
    return [task for task in plan.tasks if task.members and task.members[0].pulls == (pull,)]


def texts(found: Today, kind: str) -> list[str]:
    return [notice.text for notice in found.notices if notice.kind == kind]


def ten_of_twenty_four() -> tuple[Shop, Plan, int]:
    """The trade's own case: 24 good at 70 %, 35 pulls planned; ten are out and five are good."""
    shop = pressed(24, rate="0.7", service_level=None)
    plan = make_plan(shop, now=NOW, seconds=0.0)
    log = BenchLog(NOW)
    for pull in range(1, 11):
        log.as_planned(*of_pull(plan, pull))
    now = of_pull(plan, 10)[-1].end
    log.of_pulls(Happening.SCRAPPED, now - NOW, 1, 3, 5, 7, 9, cause="voids")
    return log.kept_in(shop), plan, now


def test_a_short_order_is_told_the_same_day_with_what_it_would_be_if_that_lasted() -> None:
    # 19 left are 28 pulls by the mean rule, 38 in all; at 50 % 38 more, 48 in all: ask.
    # Common practice, no source.
    shop, plan, now = ten_of_twenty_four()
    (text,) = texts(today_of(shop, plan, now=now), "starts")
    assert text == (
        "Order 1: 5 good of 10 judged, 19 still wanted: 28 pulls more, 38 in all in place of 35. "
        "50 % were good so far, and 70 % should be: if that lasts it is 48 in all. Ask why before "
        "going on."
    )


def test_a_date_that_moved_is_told_with_its_reason_and_its_odds() -> None:
    shop = pressed(2)
    first = make_plan(shop, now=NOW, seconds=0.0)
    first = replace(first, odds=odds_of(shop, first, runs=20))
    fill, cure, _ = of_pull(first, 1)
    log = BenchLog(NOW)
    log.as_planned(fill)
    log.started(cure, 20)
    log.stopped(cure, 80, "heater")
    logged = log.kept_in(shop)
    second = replan(logged, first, now=NOW + 80).plan
    second = replace(second, odds=odds_of(logged, second, runs=20))
    (text,) = texts(today_of(logged, second, now=NOW + 80, before=first), "changed")
    # By hand: the second pull stays where it was, 85 to 170; the one made again is out at 255.
    assert text == (
        "Order 1 is ready Mon 1 Mar, 12:15, 1 h 25 min later than before: cure failed on "
        "fin-mould 1: heater."
    )
    moves, changes = Moves(logged, first, second), changes_between(first, second)
    assert moves.because[0] == "cure failed on fin-mould 1: heater"
    assert {moves.gone(task) for task in changes.gone} == {"cure failed on fin-mould 1: heater"}
    assert [(c.order, c.before, c.after, c.at_risk) for c in changes.chances] == [
        ("1", 1.0, 1.0, False)
    ]


def test_what_is_not_ticked_off_is_told_as_a_late_start() -> None:
    shop = pressed(2)
    plan = make_plan(shop, now=NOW, seconds=0.0)
    log = BenchLog(NOW)
    log.as_planned(*of_pull(plan, 1))
    (text,) = texts(today_of(log.kept_in(shop), plan, now=NOW + 120), "late-start")
    assert text == (
        "Fill on fin-mould 1 (order 1) was to begin at Mon 09:25 and has not; if it has, tick it "
        "off."
    )


def test_without_a_log_what_was_planned_is_taken_as_done() -> None:
    shop = pressed(2)
    plan = make_plan(shop, now=NOW, seconds=0.0)
    assert texts(today_of(shop, plan, now=NOW + 120), "late-start") == []
    assert len(replan(shop, plan, now=NOW + 120).plan.tasks) == 6


def test_a_person_who_is_away_has_no_hours_today() -> None:
    shop = pressed(1)
    log = BenchLog(NOW)
    log.note(Happening.PERSON_AWAY, 0, people=("ana",))
    (ana,) = today_of(log.kept_in(shop), None, now=NOW).people
    # Until the day is over, where nobody says how long.
    assert ana.hours == ((build.at("2027-03-01 00:00"), NOW),)


def test_a_pin_holds_beside_what_was_really_done_before_it() -> None:
    shop = pressed(2)
    plan = make_plan(shop, now=NOW, seconds=0.0)
    late = of_pull(plan, 2)[0]
    moved = replace(late, spans=((NOW + 300, NOW + 320),))
    log = BenchLog(NOW)
    fill = of_pull(plan, 1)[0]
    log.started(fill, 5)
    log.finished(fill, 27)
    logged = log.kept_in(shop)
    kept = kept_tasks(logged, plan, [moved], now=NOW + 30)
    found = make_plan(logged, now=NOW + 30, seconds=0.0, **kept)
    assert moved in found.tasks
    assert of_pull(found, 1)[0].spans == ((NOW + 5, NOW + 27),)
