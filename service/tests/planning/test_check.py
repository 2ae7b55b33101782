"""A right plan passes; each kind of wrong one is caught, and told what is wrong with it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import builders as build
import pytest
from written_plan import (
    NOW,
    TWO_PARTS_G,
    Tasks,
    bench_shop,
    bench_tasks,
    changed,
    clock,
    moved,
    on_both,
    planned,
    without,
    worked,
)

from mouldwright.domain.part.shape import Rectangle
from mouldwright.planning.check import check_plan
from mouldwright.planning.plan import Member


def test_a_right_plan_passes() -> None:
    shop = bench_shop()
    assert check_plan(shop, planned(shop, bench_tasks())) == ()


WRONG: dict[str, tuple[Callable[[Tasks], Tasks], str]] = {
    "work runs into lunch": (
        lambda t: worked(t, "coat 2", ("12:25", "12:30")),
        "outside the hours of ana",
    ),
    "work goes past closing": (
        lambda t: worked(t, "coat 2", ("16:56", "17:01")),
        "outside the hours of ana",
    ),
    "a person lacks the skill": (
        lambda t: changed(t, "coat 1", people=("ben",)),
        "ben has not the skill wet",
    ),
    "a person is not here": (lambda t: changed(t, "coat 1", people=("zoe",)), "zoe"),
    "a person is in two places": (lambda t: moved(t, "reset 2", -4), "ana is in two places"),
    "a person works in their own pause": (
        lambda t: changed(worked(t, "trim 1", ("10:31", "11:31")), "trim 1", people=("ben",)),
        "ben is in two places",
    ),
    "two people for one": (
        lambda t: changed(t, "trim 1", people=("ana", "ben")),
        "has 2 people, not 1",
    ),
    "nobody there": (lambda t: changed(t, "trim 1", people=()), "has 0 people, not 1"),
    "a person for what needs none": (
        lambda t: changed(t, "cure 1", people=("ben",)),
        "has 1 people, not 0",
    ),
    "a mould in two places": (
        lambda t: on_both(t, 2, mould="fin-mould 1"),
        "fin-mould 1 is in two places",
    ),
    "a pull changes its mould": (
        lambda t: changed(t, "demould 1", mould="fin-mould 2"),
        "is not on one mould throughout",
    ),
    "a pull task names no mould": (
        lambda t: changed(t, "cure 1", mould=None),
        "is not on one mould throughout",
    ),
    "a mould that does not serve the part": (
        lambda t: on_both(t, 1, mould="other-mould 1"),
        "other-mould 1, which does not serve it",
    ),
    "a mould that does not exist": (
        lambda t: on_both(t, 1, mould="fin-mould 3"),
        "fin-mould 3 is not at hand and is not built",
    ),
    "a part task names a mould": (
        lambda t: changed(t, "trim 1", mould="fin-mould 1"),
        "names a mould and is no pull task",
    ),
    "too soon after the step before": (
        lambda t: moved(t, "demould 1", -1),
        "starts 1 min before pull 1",
    ),
    "the least wait is cut": (
        lambda t: worked(t, "trim 1", ("09:38", "10:38")),
        "starts 1 min before part 1",
    ),
    "the greatest wait is passed": (
        lambda t: moved(moved(t, "coat 1", 121), "dry 1", 180),
        "waiting 121 min, 1 more than 120",
    ),
    "unattended and not at once": (
        lambda t: moved(t, "cure 1", 1),
        "is unattended and does not start as its predecessor ends",
    ),
    "unattended work pauses": (
        lambda t: worked(t, "dry 1", ("10:44", "11:44"), ("11:45", "12:25")),
        "pauses and is unattended",
    ),
    "too short": (lambda t: worked(t, "demould 1", ("09:24", "09:28")), "lasts 4 min, not 5"),
    "a pull is dropped": (
        lambda t: {n: k for n, k in t.items() if "2" not in n},
        "is missing for pull 2",
    ),
    "a part is dropped": (
        lambda t: without(t, "trim 2", "coat 2", "dry 2"),
        "pull 2 gives 0 parts, not 1",
    ),
    "an operation is missing": (
        lambda t: without(t, "coat 2"),
        "coat is missing for part 2",
    ),
    "an operation is done twice": (
        lambda t: {**t, "again": moved(t, "coat 2", 60)["coat 2"]},
        "coat is done twice for part 2",
    ),
    "a step of no process": (lambda t: changed(t, "coat 1", operation="polish"), "no operation"),
    "a task of an unknown order": (
        lambda t: changed(t, "mix", members=(Member(order="1", pulls=(1, 2)), Member(order="9"))),
        "of no open order 9",
    ),
    "a pull task with two pulls": (
        lambda t: changed(t, "reset 1", members=(Member(order="1", pulls=(1, 2)),)),
        "is a pull task and lists other than one pull",
    ),
    "a part task without its pull": (
        lambda t: changed(t, "coat 1", members=(Member(order="1", parts=(1,)),)),
        "is a part task and lists other than one pull and one part",
    ),
    "a batch of pulls that lists parts": (
        lambda t: changed(t, "mix", members=(Member(order="1", pulls=(1, 2), parts=(1, 2)),)),
        "is a batch task and lists no pulls",
    ),
    "another mass than is needed": (
        lambda t: changed(t, "mix", mixed_g=20.0),
        "is told to mix 20.0 g and takes 25.000 g",
    ),
    "another unit in the hold": (
        lambda t: changed(t, "cure 1", stations=("clamps 2",)),
        "does not keep one unit of clamps from load to demould",
    ),
    "a unit in two places": (
        lambda t: {
            n: replace(k, stations=("clamps 1",)) if "clamps 2" in k.stations else k
            for n, k in t.items()
        },
        "clamps 1 takes 2",
    ),
    "a unit that does not exist": (
        lambda t: changed(t, "dry 1", stations=("cabinet 2",)),
        "there is no such station",
    ),
    "no unit where one is needed": (
        lambda t: changed(t, "dry 1", stations=()),
        "lists no unit of cabinet",
    ),
    "a unit that is not needed": (
        lambda t: changed(t, "trim 1", stations=("cabinet 1",)),
        "lists cabinet 1 and does not need it",
    ),
    "a room overfilled": (lambda t: moved(t, "dry 1", 45), "cabinet 1 takes 2"),
    "before now": (lambda t: moved(t, "reset 1", -1), "starts before now"),
    "paused where nothing closes": (
        lambda t: worked(t, "trim 1", ("09:39", "10:00"), ("10:01", "10:40")),
        "not as hours close and reopen",
    ),
    "resumed late": (
        lambda t: moved(
            moved(worked(t, "trim 2", ("11:30", "12:00"), ("12:31", "13:01")), "coat 2", 1),
            "dry 2",
            1,
        ),
        "not as hours close and reopen",
    ),
    "paused and may not": (
        lambda t: moved(worked(t, "coat 2", ("16:58", "17:00"), ("17:30", "17:33")), "dry 2", 300),
        "pauses and may not",
    ),
    "an empty span to hold a place": (
        lambda t: worked(t, "trim 2", ("12:00", "12:00"), ("12:30", "13:30")),
        "spans out of order or empty",
    ),
    "conditioning that is not due": (
        lambda t: {
            "wax": build.task("wax", NOW, NOW + 20, "ana", mould="fin-mould 1", members=()),
            **{name: moved(t, name, 1440)[name] for name in t},
        },
        "comes before it is due",
    ),
    "work on a mould without members": (
        lambda t: {**t, "more": replace(moved(t, "reset 1", 300)["reset 1"], members=())},
        "fin-mould 1 is proved by 1 pulls, not 0",
    ),
    "another part than ordered": (
        lambda t: changed(t, "coat 1", part="rudder"),
        "names rudder and is of fin",
    ),
}


@pytest.mark.parametrize("kind", WRONG)
def test_a_wrong_plan_is_caught(kind: str) -> None:
    change, complaint = WRONG[kind]
    shop = bench_shop()
    tasks = change(bench_tasks())
    starts = len({m.pulls for t in tasks.values() for m in t.members if len(m.pulls) == 1})
    found = check_plan(shop, planned(shop, tasks, starts))
    assert any(complaint in one for one in found), found


def test_a_mix_past_its_pot_life_is_caught() -> None:
    shop = bench_shop(materials=[build.mixed(pot_life=19, most=TWO_PARTS_G, lost=3)])
    # Mixed by 08:14, the second pull loaded by 08:34: 20 min.
    found = check_plan(shop, planned(shop, bench_tasks()))
    assert found == (
        "load of 1 pull 2 (Mon 01 Mar 08:24 to Mon 01 Mar 08:34) ends 1 min after the pot "
        "life of its mix",
    )


def test_a_mix_heavier_than_is_safe_is_caught() -> None:
    shop = bench_shop(materials=[build.mixed(pot_life=30, most=TWO_PARTS_G - 1, lost=3)])
    found = check_plan(shop, planned(shop, bench_tasks()))
    assert len(found) == 1
    assert "mixes 25.0 g and 24 g is the most" in found[0]


def test_the_mass_of_a_part_decides_its_mix() -> None:
    thick = build.part("fin", section=Rectangle(width_mm=20.0, height_mm=10.0))
    shop = bench_shop(parts=[thick], materials=[build.mixed(pot_life=30, most=47, lost=3)])
    # Twice as thick, 22 g each: 2 x 22 + 3 = 47.
    right = changed(bench_tasks(), "mix", mixed_g=47.0)
    assert check_plan(shop, planned(shop, right)) == ()
    found = check_plan(shop, planned(shop, bench_tasks()))
    assert len(found) == 1
    assert "is told to mix 25 g and takes 47.000 g" in found[0]


def test_work_before_the_release_is_caught() -> None:
    shop = bench_shop()
    late = replace(shop.orders[0], release=build.instant("2027-03-01 08:06"))
    shop = replace(shop, orders=(late,))
    found = check_plan(shop, planned(shop, bench_tasks()))
    # Both resets start earlier, at 08:00 and 08:05.
    assert [("release of order 1" in one) for one in found] == [True, True]


def test_starts_too_few_for_the_service_level_are_caught() -> None:
    shop = bench_shop()
    ninety = Decimal("0.9")
    steps = tuple(
        replace(o, good_rate=ninety) if o.name == "trim" else o
        for o in shop.processes["pressed"].operations
    )
    process = replace(shop.processes["pressed"], operations=steps)
    shop = replace(shop, processes={"pressed": process}, service_level=ninety)
    # Two good of two: 0.9 x 0.9 = 0.81 < 0.9. Three begun: 0.81 + 2 x 0.81 x 0.1 = 0.972.
    found = check_plan(shop, planned(shop, bench_tasks()))
    assert found == ("order 1 (fin by pressed): 2 parts begun are too few for 2 good ones",)
    # Asked for one good part, 0.9 is enough at the first: the second is one too many.
    one = replace(shop, orders=(build.order("1", 1),))
    found = check_plan(one, planned(one, bench_tasks()))
    assert found == ("order 1 (fin by pressed): 2 parts begun are more than 1 good ones need",)
    fixed = replace(shop, orders=(build.order("1", 1, starts=3),))
    found = check_plan(fixed, planned(fixed, bench_tasks()))
    assert found == ("order 1 (fin by pressed): 2 parts begun and 3 asked",)


def test_a_wrong_finish_is_caught() -> None:
    shop = bench_shop()
    plan = planned(shop, bench_tasks())
    early = replace(plan, orders=(replace(plan.orders[0], finish=clock("14:44")),))
    assert any("told to finish at Mon 01 Mar 14:44" in one for one in check_plan(shop, early))


def test_another_due_date_than_the_orders_is_caught() -> None:
    shop = bench_shop()
    plan = planned(shop, bench_tasks())
    other = replace(plan, orders=(replace(plan.orders[0], due=clock("12:00")),))
    assert any("another due date" in one for one in check_plan(shop, other))


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("weighted_late_min", "weighted lateness is told as"),
        ("finish_min", "finish is told as"),
        ("attended_min", "attended time is told as"),
    ],
)
def test_a_wrong_objective_is_caught(name: str, words: str) -> None:
    shop = bench_shop()
    plan = planned(shop, bench_tasks())
    wrong = replace(plan.objective, **{name: getattr(plan.objective, name) + 1})
    assert any(words in one for one in check_plan(shop, replace(plan, objective=wrong)))


def test_a_bound_above_what_is_reached_is_caught() -> None:
    shop = bench_shop()
    plan = planned(shop, bench_tasks())
    # The last task ends at 14:45, 405 min from 08:00.
    assert check_plan(shop, replace(plan, bound=405)) == ()
    found = check_plan(shop, replace(plan, bound=406))
    assert found == ("the bound is told as 406 min and 405 is reached",)


def test_a_running_task_that_moved_is_caught() -> None:
    shop = bench_shop()
    tasks = bench_tasks()
    begun = replace(tasks["reset 1"], spans=((NOW - 2, NOW + 3),))
    as_it_is = planned(shop, {**tasks, "reset 1": begun})
    assert check_plan(shop, as_it_is, running=(begun,)) == ()
    found = check_plan(shop, planned(shop, tasks), running=(begun,))
    assert len(found) == 1
    assert "is under way and was moved" in found[0]


def test_what_was_done_before_a_running_task_need_not_be_told() -> None:
    shop = bench_shop()
    tasks = bench_tasks()
    done = without(tasks, "reset 1", "reset 2", "mix")
    begun = (tasks["load 1"], tasks["load 2"])
    assert check_plan(shop, planned(shop, done), running=begun) == ()
    found = check_plan(shop, planned(shop, done))
    assert any("reset is missing for pull 1" in one for one in found)


def test_a_shop_with_hours_over_midnight_is_open_past_it() -> None:
    shop = bench_shop(hours=build.opening(build.week("06:00-30:00")))
    night = {name: moved(bench_tasks(), name, 780)[name] for name in bench_tasks()}
    # Without a lunch break the second trim is not to pause: 00:30 to 01:30 on Tuesday.
    night["trim 2"] = replace(night["trim 2"], spans=((clock("00:30", 2), clock("01:30", 2)),))
    night = moved(moved(night, "coat 2", -30), "dry 2", -30)
    night = {name: moved(night, name, 0)[name] for name in night}
    assert check_plan(shop, planned(shop, night)) == ()
