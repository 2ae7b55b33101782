"""What is under way, what presses and what is due, on a bench small enough to read."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal

from builders import (
    alone,
    at,
    hands,
    hold,
    instant,
    mixed,
    moulds,
    opening,
    order,
    person,
    process,
    shop,
    task,
    week,
)
from builders import plan as planned

from mouldwright.domain.material import Lot, Stock
from mouldwright.domain.promise.revision import QuoteSummary
from mouldwright.domain.record.learnt_changes import LearntChange
from mouldwright.usecases.day_sheet import day_sheet
from mouldwright.usecases.in_hand import in_hand
from mouldwright.usecases.kept_run import Basis, KeptPlan, Run, RunProgress
from mouldwright.usecases.looked_at import waits_to_be_looked_at
from mouldwright.usecases.today import today_of
from mouldwright.usecases.today_told import told

# Pressed one day, cured over night, out the next morning within four hours of the cure's end.
PRESSED = process(
    hands("mix", 10, per="batch", material="resin", pot_life_until="press"),
    hands("press", 20),
    alone("cure", 900),
    hands("demould", 10, wait_max_min=240),
    hands("trim", 30, per="part"),
    holds=[hold("press", "demould")],
)
DAY = "2027-03-01"
NIGHT = "2027-03-02"
TASKS = [
    task("mix", at(f"{DAY} 15:00"), at(f"{DAY} 15:10"), "ada", pull=1),
    task("press", at(f"{DAY} 15:20"), at(f"{DAY} 15:40"), "ada", mould="fin-mould 1", pull=1),
    task("cure", at(f"{DAY} 15:40"), at(f"{NIGHT} 06:40"), mould="fin-mould 1", pull=1),
    task("demould", at(f"{NIGHT} 09:00"), at(f"{NIGHT} 09:10"), "bo", mould="fin-mould 1", pull=1),
    task("trim", at(f"{NIGHT} 13:00"), at(f"{NIGHT} 13:30"), "ada", pull=1, part_id=1),
]  # fmt: skip
SHOP = shop(
    PRESSED,
    [order("1", due=instant("2027-03-03 09:00"), customer="A club"), order("2")],
    people=[person("ada"), person("bo")],
    moulds=[moulds()],
    materials=[mixed(pot_life=45)],
    hours=opening(week("08:00-12:00 13:00-17:00")),
)
ONE = replace(SHOP, orders=SHOP.orders[:1])
PLAN = planned(ONE, at(f"{DAY} 08:00"), TASKS, starts={"1": 1})


def under_way(minute: str):
    return [
        (
            each.task.operation,
            each.is_over,
            None if each.next_place is None else TASKS[each.next_place].operation,
            each.next_by,
        )
        for each in in_hand(SHOP, PLAN, at(minute))
    ]


def test_a_cure_is_under_way_and_says_by_when_its_pull_must_come_out():
    # 06:40 and four hours.
    assert under_way(f"{DAY} 20:00") == [("cure", False, "demould", at(f"{NIGHT} 10:40"))]


def test_a_pull_whose_cure_is_over_stands_in_its_mould_until_it_is_taken_out():
    assert under_way(f"{NIGHT} 06:40") == [("cure", True, "demould", at(f"{NIGHT} 10:40"))]
    assert under_way(f"{NIGHT} 09:00") == [("demould", False, "trim", None)]


def test_a_part_on_the_shelf_that_nothing_presses_is_not_named():
    assert under_way(f"{NIGHT} 11:00") == []


def test_a_mix_must_be_in_the_mould_before_its_pot_life_is_over():
    # Mixed until 15:10, 45 minutes to the end of pressing, which takes 20: begun by 15:35.
    assert under_way(f"{DAY} 15:10") == [("mix", True, "press", at(f"{DAY} 15:35"))]
    assert under_way(f"{DAY} 15:05") == [("mix", False, "press", at(f"{DAY} 15:35"))]


def test_a_task_of_two_pulls_is_named_once_with_what_comes_first():
    second = task("demould", at(f"{NIGHT} 08:00"), at(f"{NIGHT} 08:10"), "bo", pull=2)
    both = replace(TASKS[2], members=(replace(TASKS[2].members[0], pulls=(1, 2)),))
    plan = planned(ONE, PLAN.now, [both, TASKS[3], second], starts={"1": 2})
    (found,) = in_hand(SHOP, plan, at(f"{DAY} 22:00"))
    assert plan.tasks[found.next_place] == second


def test_the_day_names_who_does_what_and_what_is_left_for_the_night():
    day = told(ONE, today_of(ONE, PLAN, now=at(f"{DAY} 15:05")))
    ada, bo = day.people
    assert (ada.name, ada.steps, ada.booked_min, ada.doing) == ("ada", 2, 30, "mix")
    assert [f"{a:%H:%M}-{b:%H:%M}" for a, b in ada.hours] == ["08:00-12:00", "13:00-17:00"]
    assert f"{ada.doing_from:%H:%M} {ada.until:%H:%M}" == "15:00 15:40"
    assert (bo.steps, bo.doing, bo.until) == (0, "", None)
    assert f"{day.closes:%H:%M}" == "17:00"
    (cure,) = day.tonight
    assert (cure.operation, cure.what, cure.mould, cure.people) == (
        "cure",
        "fin",
        "fin-mould 1",
        (),
    )
    assert (cure.then.operation, cure.then.people) == ("demould", ("bo",))
    assert cure.then.by == datetime(2027, 3, 2, 10, 40, tzinfo=UTC)


def test_a_day_sheet_says_by_when_a_step_must_begin_and_what_is_left_for_the_night():
    monday = day_sheet(ONE, PLAN, "ada", date(2027, 3, 1))
    mix, press = (step.tasks[0] for step in monday.steps)
    # Mixed until 15:10, 45 minutes to the end of 20 minutes of pressing.
    assert (mix.begin_by, press.begin_by) == (None, at(f"{DAY} 15:35"))
    assert monday.closes == at(f"{DAY} 17:00")
    assert [each.task.operation for each in monday.tonight] == ["cure"]
    (demould,) = day_sheet(ONE, PLAN, "bo", date(2027, 3, 2)).steps
    # The cure is over at 06:40, and four hours are the most it may wait.
    assert demould.tasks[0].begin_by == at(f"{NIGHT} 10:40")


def test_a_day_sheet_says_how_much_more_the_next_day_holds():
    morning = [
        task("trim", at(f"{NIGHT} 08:00") + 30 * n, at(f"{NIGHT} 08:10") + 30 * n, "ada", pull=n)
        for n in range(2, 9)
    ]
    plan = planned(ONE, PLAN.now, [*TASKS[:3], *morning], starts={"1": 1})
    monday = day_sheet(ONE, plan, "ada", date(2027, 3, 1))
    assert (len(monday.next_steps), monday.next_more) == (5, 2)


def texts(found, *kinds: str) -> list[str]:
    return [each.text for each in found.notices if not kinds or each.kind in kinds]


def test_what_must_begin_by_the_clock_is_said_first_and_only_on_its_day():
    evening = today_of(ONE, PLAN, now=at(f"{DAY} 20:00"))
    assert texts(evening, "wait") == []
    morning = today_of(ONE, PLAN, now=at(f"{NIGHT} 08:00"))
    assert texts(morning, "wait") == [
        "Demould on fin 1 (order 1) must begin by 10:40; planned at 09:00 by bo."
    ]
    assert morning.notices[0].presses


def test_an_order_that_is_late_or_close_is_told_with_how_much():
    # Ready 13:30 on Tuesday, due 09:00 on Wednesday: 19 h 30 in hand, less than a day.
    close = today_of(ONE, PLAN, now=at(f"{NIGHT} 11:00"))
    assert texts(close) == [
        "Order 1 is ready Tue 2 Mar, 13:30, due Wed 3 Mar, 09:00: only 19 h 30 min in hand."
    ]
    late_shop = replace(ONE, orders=(replace(ONE.orders[0], due=instant("2027-03-02 11:00")),))
    plan = planned(late_shop, PLAN.now, TASKS, starts={"1": 1})
    late = today_of(late_shop, plan, now=at(f"{NIGHT} 11:00"))
    assert texts(late) == ["Order 1 is ready Tue 2 Mar, 13:30, 2 h 30 min late."]
    (row,) = told(late_shop, late).due
    assert (row.state, row.slack_min, row.customer) == ("late", -150, "A club")


def test_an_order_that_is_ready_presses_no_more_and_stands_last():
    done = today_of(SHOP, PLAN, now=at("2027-03-02 14:00"))
    assert [(each.number, each.state) for each in told(SHOP, done).due] == [
        ("2", "not planned"),
        ("1", "ready"),
    ]
    assert texts(done, "late", "close") == []


def test_without_a_plan_it_says_so_and_shows_hours_and_dates_all_the_same():
    bare = today_of(SHOP, None, now=at(f"{DAY} 09:00"))
    assert texts(bare) == ["2 open orders, and no plan yet."]
    day = told(SHOP, bare)
    assert len(day.people[0].hours) == 2
    assert [each.state for each in day.due] == ["not planned", "not planned"]
    assert texts(today_of(replace(SHOP, orders=()), None, now=at(f"{DAY} 09:00"))) == []


def quote(number: int, until: date, state="sent") -> QuoteSummary:
    return QuoteSummary(
        number=number, revision=1, state=state, part="fin", process="pressed", quantity=3,
        customer="A club", currency="EUR", zone="UTC", net=Decimal(9), gross=Decimal(9),
        finish=None, valid_until=until,
    )  # fmt: skip


def test_quotes_that_lapse_within_three_days_are_told_the_next_first():
    quotes = [quote(7, date(2027, 3, 4)), quote(8, date(2027, 3, 1)), quote(9, date(2027, 3, 5))]
    found = today_of(replace(SHOP, orders=()), None, now=at(f"{DAY} 09:00"), quotes=quotes)
    assert texts(found) == [
        "Quote 8 to A club lapses today, without an answer.",
        "Quote 7 to A club lapses in 3 days, without an answer.",
    ]


def test_stock_that_is_or_will_soon_be_out_of_date_is_told():
    lots = (
        Lot(material="resin", grams=Decimal(1200), expires=date(2027, 3, 15)),
        Lot(material="resin", grams=Decimal(300), expires=date(2027, 2, 28)),
        Lot(material="resin", grams=Decimal(300), expires=date(2027, 3, 16)),
        Lot(material="resin", grams=Decimal(300)),
    )
    stocked = replace(SHOP, orders=(), stock=Stock(lots={"resin": lots}))
    # Fourteen days from 1 March are up on the 15th.
    assert texts(today_of(stocked, None, now=at(f"{DAY} 09:00"))) == [
        "resin: 300 g expired Sun 28 Feb.",
        "resin: 1,200 g expire Mon 15 Mar.",
    ]


BASIS = Basis(shop_version=3, book_version=5)
PROGRESS = RunProgress(
    weighted_late_min=0, finish_min=1, attended_min=1, bound=None, gap=None, trying="", tries=1
)


def run(name: str, state: str, hour: int, **more) -> Run:
    ended = datetime(2027, 3, 1, hour, tzinfo=UTC)
    return Run(
        id=name, shop="foils", state=state, why="asked for", seconds=5, seed=1, asked_at=ended,
        ended_at=ended, **({"publishes": False, "basis": BASIS, "progress": PROGRESS} | more),
    )  # fmt: skip


def kept(name: str, hour: int) -> KeptPlan:
    made = datetime(2027, 3, 1, hour, tzinfo=UTC)
    return KeptPlan(version=1, plan=PLAN, basis=BASIS, run=name, made_at=made)


def test_a_run_waits_to_be_looked_at_until_it_or_a_later_plan_is_published():
    done = run("b", "done", 9)
    assert waits_to_be_looked_at([done], None, BASIS) is done
    assert waits_to_be_looked_at([done], kept("a", 8), BASIS) is done
    assert waits_to_be_looked_at([done], kept("b", 10), BASIS) is None
    assert waits_to_be_looked_at([done], kept("c", 10), BASIS) is None


def test_a_run_that_left_no_plan_or_one_of_another_shop_waits_for_nobody():
    for other in (
        run("b", "impossible", 9, progress=None),
        run("b", "done", 9, publishes=True),
        run("b", "done", 9, basis=Basis(shop_version=2, book_version=5)),
        run("b", "cancelled", 9, progress=None),
    ):
        assert waits_to_be_looked_at([other], None, BASIS) is None
    stopped = run("b", "cancelled", 9)
    assert waits_to_be_looked_at([run("c", "stale", 10), stopped], None, BASIS) is stopped


def test_runs_are_told_and_a_plan_being_made_hushes_that_it_is_out_of_date():
    now = at(f"{DAY} 15:05")
    out = today_of(ONE, PLAN, now=now, is_current=False)
    assert [each.kind for each in out.notices] == ["wait", "out-of-date", "close"]
    going = today_of(ONE, PLAN, now=now, is_current=False, going=run("g", "running", 9))
    assert [each.kind for each in going.notices] == ["wait", "planning", "close"]
    failed = run("f", "impossible", 9, problems=("Order 1 needs a mould.",))
    said = today_of(ONE, PLAN, now=now, failed=failed)
    assert texts(said, "impossible") == ["No plan could be made: Order 1 needs a mould."]


# A print that was begun without saying on which printer; what follows takes it off the first.
PRINTED = process(
    hands("start", 5, per="part", station="printer"),
    alone("print", 300, per="part"),
    hands("remove", 3, per="part"),
    holds=[hold("start", "remove", "printer")],
)


def test_a_print_begun_without_a_unit_is_on_the_one_that_it_is_taken_off():
    tasks = [
        task("print", at(f"{DAY} 09:00"), at(f"{DAY} 14:00"), part_id=1),
        task("remove", at(f"{DAY} 14:00"), at(f"{DAY} 14:03"), "ada", stations=["printer 1"],
             part_id=1),
    ]  # fmt: skip
    bench = replace(ONE, processes={"pressed": PRINTED})
    plan = planned(bench, at(f"{DAY} 08:00"), tasks, starts={"1": 1})
    (found,) = told(bench, today_of(bench, plan, now=at(f"{DAY} 10:00"))).in_hand
    assert (found.operation, found.stations) == ("print", ("printer 1",))
    # What is held no longer says nothing of where it was.
    loose = replace(PRINTED, holds=(hold("start", "print", "printer"),))
    bench = replace(bench, processes={"pressed": loose})
    (found,) = told(bench, today_of(bench, plan, now=at(f"{DAY} 10:00"))).in_hand
    assert found.stations == ()


def test_a_change_that_the_log_speaks_for_waits_for_someone_until_it_is_taken_or_left():
    change = LearntChange(
        kind="time",
        process="pressed",
        operation="trim",
        was={"attended_min": Decimal(30)},
        proposed={"attended_min": Decimal(40)},
        evidence=9,
        entries=(1,),
    )
    loss = replace(change, kind="loss", process="", operation="", material="resin")
    day = today_of(ONE, PLAN, now=at(f"{DAY} 15:05"), learnt=(change, loss))
    (notice,) = [each for each in day.notices if each.kind == "learnt"]
    assert not notice.presses
    assert "2 changes" in notice.text
    assert f"trim of {PRESSED.title}" in notice.text
    assert f"what is lost of each mix of {ONE.material_title('resin')}" in notice.text
    none = today_of(ONE, PLAN, now=at(f"{DAY} 15:05"))
    assert [each for each in none.notices if each.kind == "learnt"] == []
