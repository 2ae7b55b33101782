"""A plan made from the log: what was done stays, what was lost is made good, the rest follows."""

from __future__ import annotations

from decimal import Decimal

import builders as build
from written_log import BenchLog

from mouldwright.domain.record.log import Happening, LoggedMember
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan, Task
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")


def pressed(quantity: int, moulds: int = 1, rate: str = "1", **more: object) -> Shop:
    process = build.process(
        build.hands("fill", 20),
        build.alone("cure", 60),
        build.hands("demould", 5, good_rate=Decimal(rate)),
        holds=[build.hold("fill", "demould")],
    )
    return build.shop(
        process,
        [build.order(quantity=quantity)],
        people=[build.person("ana")],
        moulds=[build.moulds(moulds)],
        **more,
    )


def of_pull(plan: Plan, pull: int) -> list[Task]:
    return [task for task in plan.tasks if task.members and task.members[0].pulls == (pull,)]


def starts(plan: Plan, operation: str) -> list[int]:
    return [task.start - NOW for task in plan.tasks if task.operation == operation]


def test_a_late_start_moves_what_follows_and_keeps_its_own_time() -> None:
    # By hand: filled 08:10 to 08:35; cured by itself to 09:35; out at 09:40, second pull
    # 09:40 to 11:05, 185 min after 08:00.
    shop = pressed(2)
    first = make_plan(shop, now=NOW, seconds=0.1)
    fill = of_pull(first, 1)[0]
    log = BenchLog(NOW)
    log.started(fill, 10)
    log.finished(fill, 35)
    second = make_plan(log.kept_in(shop), now=NOW + 40, seconds=0.1)
    assert starts(second, "fill") == [10, 100]
    assert starts(second, "cure") == [35, 120]
    assert second.orders[0].finish - NOW == 185


def test_what_is_begun_and_not_ticked_off_is_not_over_before_now() -> None:
    shop = pressed(1)
    fill = of_pull(make_plan(shop, now=NOW, seconds=0.1), 1)[0]
    log = BenchLog(NOW)
    log.started(fill, 0)
    second = make_plan(log.kept_in(shop), now=NOW + 50, seconds=0.1)
    # Twenty minutes were planned and fifty have gone: over at 51, then cure and demould.
    assert [task.end - NOW for task in second.tasks] == [51, 111, 116]


def test_five_good_of_ten_ask_for_nineteen_more_by_twenty_eight_pulls() -> None:
    # The trade's own case, by the mean rule: 24 good at 70 % are 35 pulls; after 10 pulls with
    # 5 good, 19 are left, 28 more pulls, 38 in all. Common practice, no source.
    shop = pressed(24, rate="0.7", service_level=None)
    first = make_plan(shop, now=NOW, seconds=0.1)
    assert first.orders[0].starts == 35
    log = BenchLog(NOW)
    for pull in range(1, 11):
        log.as_planned(*of_pull(first, pull))
    now = max(task.end for task in of_pull(first, 10))
    log.of_pulls(Happening.SCRAPPED, now - NOW, 1, 3, 5, 7, 9, cause="voids")
    second = make_plan(log.kept_in(shop), now=now, seconds=0.1)
    assert second.orders[0].starts == 38
    # One mould, 85 min a pull, day and night: three pulls more are 255 min.
    assert second.orders[0].finish - first.orders[0].finish == 3 * 85


def test_starts_that_luck_made_needless_are_dropped() -> None:
    # 7 good at 70 % are 10 pulls by the mean rule; after 7 pulls, all good, no more is begun.
    shop = pressed(7, rate="0.7", service_level=None)
    first = make_plan(shop, now=NOW, seconds=0.1)
    assert first.orders[0].starts == 10
    log = BenchLog(NOW)
    for pull in range(1, 8):
        log.as_planned(*of_pull(first, pull))
    now = max(task.end for task in of_pull(first, 7))
    second = make_plan(log.kept_in(shop), now=now, seconds=0.1)
    assert second.orders[0].starts == 7
    assert second.orders[0].finish == now


def test_a_failed_cure_frees_its_mould_and_is_made_again() -> None:
    shop = pressed(2, moulds=1)
    first = make_plan(shop, now=NOW, seconds=0.1)
    fill, cure, _ = of_pull(first, 1)
    log = BenchLog(NOW)
    log.as_planned(fill)
    log.started(cure, 20)
    log.stopped(cure, 30, "the heater tripped")
    second = make_plan(log.kept_in(shop), now=NOW + 30, seconds=0.1)
    # By hand: the mould is free at 30, two good ones are still wanted: 30 + 2 x 85 = 200.
    assert starts(second, "fill") == [0, 30, 115]
    assert [t.end - NOW for t in of_pull(second, 1)] == [20, 30]
    assert second.orders[0].finish - NOW == 200
    assert second.orders[0].starts == 3


def test_a_pull_on_another_mould_than_planned_goes_on_there() -> None:
    shop = pressed(2, moulds=2)
    first = make_plan(shop, now=NOW, seconds=0.1)
    fill = of_pull(first, 1)[0]
    other = "fin-mould 2" if fill.mould == "fin-mould 1" else "fin-mould 1"
    log = BenchLog(NOW)
    log.started(fill, 0, mould=other)
    second = make_plan(log.kept_in(shop), now=NOW + 5, seconds=0.1)
    assert {task.mould for task in of_pull(second, 1)} == {other}
    assert {task.mould for task in of_pull(second, 2)} == {fill.mould}


def test_a_lost_mould_takes_what_is_in_it_and_no_more_pulls() -> None:
    shop = pressed(3, moulds=2)
    first = make_plan(shop, now=NOW, seconds=0.1)
    fill = of_pull(first, 1)[0]
    log = BenchLog(NOW)
    log.as_planned(fill)
    log.note(Happening.MOULD_LOST, 50, mould=fill.mould, cause="stuck")
    second = make_plan(log.kept_in(shop), now=NOW + 50, seconds=0.1)
    later = {task.mould for task in second.tasks if task.start >= NOW + 50}
    assert len(later) == 1
    assert fill.mould not in later
    assert second.orders[0].starts == 4


def test_nobody_works_while_they_are_away() -> None:
    shop = pressed(1)
    log = BenchLog(NOW)
    until = build.instant("2027-03-01 12:00")
    log.note(Happening.PERSON_AWAY, 0, people=("ana",), until=until)
    plan = make_plan(log.kept_in(shop), now=NOW, seconds=0.1)
    assert plan.tasks[0].start == build.at("2027-03-01 12:00")


def test_an_entry_taken_back_never_was() -> None:
    shop = pressed(1)
    fill = of_pull(make_plan(shop, now=NOW, seconds=0.1), 1)[0]
    log = BenchLog(NOW)
    first = log.started(fill, 0)
    log.note(Happening.TAKEN_BACK, 5, takes_back=first)
    second = make_plan(log.kept_in(shop), now=NOW + 50, seconds=0.1)
    assert starts(second, "fill") == [50]


def test_a_second_is_no_good_part() -> None:
    shop = pressed(2)
    first = make_plan(shop, now=NOW, seconds=0.1)
    log = BenchLog(NOW)
    log.as_planned(*of_pull(first, 1))
    log.of_pulls(Happening.SECOND, 90, 1)
    second = make_plan(log.kept_in(shop), now=NOW + 90, seconds=0.1)
    assert second.orders[0].starts == 3


def test_a_pull_scrapped_before_anyone_noted_it_was_begun_all_the_same() -> None:
    # Two good ones of two pulls. Pull 1 is scrapped at 08:05, its filling noted by nobody: it was
    # begun and is lost, so a third is begun beside the second: three in all, 85 min each on one
    # mould from 08:05.
    shop = pressed(2)
    log = BenchLog(NOW)
    log.of_pulls(Happening.SCRAPPED, 5, 1)
    after = make_plan(log.kept_in(shop), now=NOW + 5, seconds=0.1)
    assert after.orders[0].starts == 3
    assert starts(after, "fill") == [5, 90]
    assert of_pull(after, 1) == []
    assert after.orders[0].finish - NOW == 5 + 2 * 85


def test_a_part_scrapped_before_anyone_noted_it_was_begun_all_the_same() -> None:
    # Three parts of an hour by one person; the second is scrapped at 08:01 with nothing ticked.
    process = build.process(build.hands("sand", 60, per="part"))
    shop = build.shop(process, [build.order(quantity=3)], people=[build.person("ana")])
    log = BenchLog(NOW)
    log.note(Happening.SCRAPPED, 1, members=(LoggedMember(order="1", parts=(2,)),))
    after = make_plan(log.kept_in(shop), now=NOW + 1, seconds=0.1)
    assert after.orders[0].starts == 4
    assert starts(after, "sand") == [1, 61, 121]
