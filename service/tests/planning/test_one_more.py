"""What one more of something buys, in shops small enough to work out by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import builders as build
import pytest

from mouldwright.domain.costing.hour_price import hour_prices
from mouldwright.domain.errors import InvalidInput, NotFound
from mouldwright.domain.hours.opening import local
from mouldwright.domain.process.mould import Mould
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.planning import mould_count as mould_counting
from mouldwright.planning.gains import CountTried, Gain, OneMore
from mouldwright.planning.more.changes import changes_of, cure_trap, families_in_use, with_moulds
from mouldwright.planning.more.one_more import one_more
from mouldwright.planning.more.trials import Effort, endless
from mouldwright.planning.mould_count import mould_count
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")
DAYS = build.opening(build.week("08:00-16:00"))
BRIEF = endless(30)


def moulded(quantity: int = 2, moulds: int = 1, **order: object) -> Shop:
    """Return an overnight cure: fill 10, cure 12 h, demould 5; a mould more costs 40."""
    process = build.process(
        build.hands("fill", 10),
        build.alone("cure", 720),
        build.hands("demould", 5),
        holds=[build.hold("fill", "demould")],
    )
    return build.shop(
        process,
        [build.order(quantity=quantity, **order)],
        people=[build.person("ana")],
        moulds=[build.moulds(moulds, cost=Decimal(40))],
        hours=DAYS,
    )


def sanded(quantity: int, **more: object) -> Shop:
    """Return parts of 30 min of one person's hands each."""
    process = build.process(build.hands("sand", 30, per="part"))
    return build.shop(
        process, [build.order(quantity=quantity)], people=[build.person("ana")], hours=DAYS,
        **more,
    )  # fmt: skip


def gains(shop: Shop, now: int = NOW) -> OneMore:
    return one_more(shop, now=now, effort=BRIEF)


def gain(found: OneMore, key: str) -> Gain:
    return next(each for each in found.gains if each.key == key)


def test_a_second_mould_saves_the_second_night() -> None:
    # One mould: filled Mon 08:00, out Tue, filled again, out Wed 08:05. Two: both out on Tuesday,
    # 08:00 to 08:10. Wed 08:05 to Tue 08:10 is 23 h 55 min.
    found = gains(moulded())
    mould = gain(found, "mould fin-mould")
    assert mould.finish_gain_min == 23 * 60 + 55
    assert mould.cost == 40
    assert [(s.number, s.before - s.after) for s in mould.orders] == [("1", 1435)]
    assert found.gains[0] == mould


def test_an_hour_more_a_day_is_paid_by_the_hours_worked_in_it() -> None:
    # 18 x 30 min is 9 h: as it is the last two are sanded on Tuesday, to 09:00; with an hour more
    # on Monday, to 17:00. 16 h sooner for one hour at 15.
    longer = gain(gains(sanded(18)), "hour ana")
    assert (longer.finish_gain_min, longer.used_min, longer.cost) == (960, 60, 15)


def test_opening_on_saturday_is_paid_by_the_hours_worked_in_it() -> None:
    # From Friday 08:00 the last hour of nine falls on Monday, to 09:00; else on Saturday.
    friday = build.at("2027-03-05 08:00")
    day = gain(gains(sanded(18), friday), "day 5")
    assert (day.finish_gain_min, day.used_min, day.cost) == (2 * 1440, 60, 15)


def test_an_hour_opened_costs_what_the_hours_price_is_built_on() -> None:
    # 15 of hands and 6 of overhead on every attended hour: 21, as the hour's own page has it.
    friday = build.at("2027-03-05 08:00")
    shop = replace(sanded(18), overhead_per_hour=Decimal(6))
    assert gain(gains(shop, friday), "day 5").cost == 21
    assert {each.cost for each in hour_prices(shop).people} == {21}


def test_a_second_oven_bakes_both_loads_at_once() -> None:
    process = build.process(build.alone("bake", 60, per="part", station="oven"))
    shop = build.shop(
        process, [build.order(quantity=2)], people=[build.person("ana")], hours=DAYS,
        stations=[build.station("oven")],
    )  # fmt: skip
    oven = gain(gains(shop), "station oven")
    assert (oven.finish_gain_min, oven.cost) == (60, None)


def trapped(cure: int = 1440, work: int = 150) -> Process:
    return build.process(
        build.hands("lay", work), build.alone("cure", cure), holds=[build.hold("lay", "cure")]
    )


def test_a_cure_of_a_day_and_the_work_on_the_mould_fall_off_the_days_end() -> None:
    # 08:00 to 12:00 and 12:30 to 17:00, 150 min of lay-up in one go, one mould. Cure of 24 h: Mon
    # 08:00, Tue 12:30 (10:30 does not fit before lunch), Thu 08:00 (Wed 15:00 does not fit): cured
    # Fri 10:30. Cure of 24 h less 150 min: every day at 08:00, the third cured Thu 08:00.
    shop = build.shop(
        trapped(),
        [build.order(quantity=3)],
        people=[build.person("ana")],
        moulds=[build.moulds()],
        hours=build.opening(build.week("08:00-12:00 12:30-17:00")),
    )
    as_it_is = make_plan(shop, now=NOW, seconds=0.3)
    assert f"{local(as_it_is.orders[0].finish, 'UTC'):%a %H:%M}" == "Fri 10:30"
    found = gain(gains(shop), "cure pressed")
    assert found.title == "cure of pressed in 21 h 30 min in place of 24 h"
    assert found.finish_gain_min == 26 * 60 + 30
    assert "must come from the resin sheet" in found.note


def test_a_cure_that_leaves_time_for_the_work_is_no_trap() -> None:
    assert cure_trap(trapped(1440 - 150), 1) is None
    trap = cure_trap(trapped(1440, 36), 1)
    assert trap is not None
    # 1440 - 36 = 1404, down to a whole half hour.
    assert trap.target_min == 1380
    # Two days less 200 min are 2680: cut down to half hours 2670.
    longer = cure_trap(trapped(2880, 200), 1)
    assert longer is not None
    assert longer.target_min == 2670
    # A cure may not be asked to be much shorter: of 24 h with 8 h of work 16 h would be left.
    assert cure_trap(trapped(1440, 480), 1) is None


def test_what_does_not_help_gains_nothing_and_is_never_a_loss() -> None:
    found = gains(sanded(2))
    assert not any(each.helps for each in found.gains)
    assert {each.key for each in found.gains} == {"hour ana", "day 5"}


def test_only_what_bears_on_open_orders_is_changed() -> None:
    shop = moulded()
    shop = replace(shop, orders=())
    assert families_in_use(shop) == ()
    assert {change.kind for change in changes_of(shop)} == {"hour", "day"}


def test_a_late_order_is_told_why_and_what_could_be_done() -> None:
    # Order 1 has the only mould on Monday night, order 2, wanted on Tuesday at noon, on Tuesday
    # night: out Wed 08:05, 20 h 05 min late. A second mould has it out on Tuesday.
    shop = moulded(1, due=build.instant("2027-03-02 09:00"), weight=5)
    second = build.order("2", 1, due=build.instant("2027-03-02 12:00"))
    shop = replace(shop, orders=(*shop.orders, second))
    (late,) = gains(shop).late
    assert (late.number, late.late_min) == ("2", 20 * 60 + 5)
    assert late.because.startswith("mould fin-mould 1 is held by order 1 until Tue 2 Mar 08:05")
    best = late.options[0]
    assert best.title == "one more mould fin-mould"
    assert (best.late_min, best.cost) == (0, 40)
    assert best.sooner_min == 23 * 60 + 55


def test_what_is_ready_of_a_late_order_can_be_sent_in_part() -> None:
    # Four pulls of one mould come out Tue to Fri; by Wednesday noon two of them are.
    shop = moulded(4, due=build.instant("2027-03-03 12:00"))
    (late,) = gains(shop).late
    split = [o.title for o in late.options if o.title.startswith("split")]
    assert split == ["split delivery: 2 of the 4 pulls are ready by the date, 2 follow"]


def test_trials_side_by_side_say_what_they_say_one_by_one() -> None:
    shop = moulded()
    alone = one_more(shop, now=NOW, effort=endless(12))
    beside = one_more(shop, now=NOW, effort=endless(12, processes=2))
    assert beside == alone


def test_stopping_leaves_out_what_is_not_planned_yet() -> None:
    told: list[int] = []
    found = one_more(
        moulded(),
        now=NOW,
        effort=BRIEF,
        progress=lambda done, of, key: told.append(done),
        cancelled=lambda: len(told) >= 2,
    )
    assert found.tried == 1 < found.changes


def test_the_least_moulds_that_meet_a_date() -> None:
    # By hand, four parts: one mould has them out Tue to Fri 08:05; two, Tue and Wed: the second
    # pair is filled from Tue 08:00 on, cured by 20:25, out Wed 08:00 to 08:10; three leave one for
    # the second night, out Wed 08:05; four have all out on Tue 08:20; more do not help.
    # Wanted by Wed 16:00: two, one of them new at 40.
    shop = moulded(4, due=build.instant("2027-03-03 16:00"))
    found = mould_count(shop, "1", now=NOW, effort=BRIEF)
    ready = [f"{local(tried.finish, 'UTC'):%a %H:%M}" for tried in found.counts]
    assert ready == [
        "Fri 08:05", "Wed 08:10", "Wed 08:05", "Tue 08:20", "Tue 08:20", "Tue 08:20",
    ]  # fmt: skip
    assert [tried.tooling for tried in found.counts] == [0, 40, 80, 120, 160, 200]
    # An hour of hands in all, at 15.
    assert {tried.work for tried in found.counts} == {Fraction(15)}
    assert (found.at_hand, found.advised, found.meets) == (1, 2, True)
    assert found.stops == "more did not bring it sooner"


def test_hands_that_a_search_put_together_by_luck_do_not_choose_among_moulds_at_hand(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # Three at hand. The plan of one mould happens to take less of hands than that of two or three.
    lucky = {1: 700, 2: 760, 3: 730, 4: 705, 5: 690}
    tried_as = mould_counting._tried

    def tried(shop: Shop, order: str, count: int, *rest: Any) -> CountTried:
        return replace(tried_as(shop, order, count, *rest), work=Fraction(lucky[count]))

    monkeypatch.setattr(mould_counting, "_tried", tried)
    shop = moulded(4, due=build.instant("2027-03-05 16:00"))
    family = shop.moulds["fin-mould"]
    three = replace(family, moulds=tuple(Mould(number=str(n)) for n in (1, 2, 3)))
    found = mould_count(replace(shop, moulds={"fin-mould": three}), "1", now=NOW, effort=BRIEF,
        most=5,
    )  # fmt: skip
    # By hand as above: one has them out on Fri 08:05, two Wed 08:10, three Wed 08:05: two are
    # within a quarter of an hour of three, and all of them are at hand.
    assert (found.at_hand, found.advised, found.meets) == (3, 2, True)
    assert {tried.work for tried in found.counts} == {Fraction(690)}


def test_a_date_no_count_meets_is_said_to_be_that() -> None:
    shop = moulded(4, due=build.instant("2027-03-01 12:00"))
    found = mould_count(shop, "1", now=NOW, effort=BRIEF)
    assert (found.advised, found.meets) == (4, False)


def test_a_mould_made_here_takes_its_time_first() -> None:
    # A new mould takes 7 h of Ana's hands first, so that filling it comes after: Mon 08:00 to
    # 08:10 the one at hand is filled, then 420 min: 15:10, filled to 15:20, cured Tue 03:20.
    shop = moulded()
    build_it = build.process(build.hands("print a mould", 420, per="order"), key="tooling")
    family = replace(shop.moulds["fin-mould"], made_by="tooling")
    shop = replace(
        shop,
        processes={**shop.processes, "tooling": build_it},
        moulds={"fin-mould": family},
    )
    changed = with_moulds(shop, family, 2)
    plan = make_plan(changed, now=NOW, seconds=0.3)
    made = [task for task in plan.tasks if task.process == "tooling"]
    assert [task.mould for task in made] == ["fin-mould 2"]
    assert f"{local(plan.orders[0].finish, 'UTC'):%a %H:%M}" == "Tue 08:10"


def test_no_count_is_asked_for_where_no_one_mould_serves() -> None:
    with pytest.raises(InvalidInput, match="pulled from no one mould"):
        mould_count(sanded(2), "1", now=NOW, effort=BRIEF)
    with pytest.raises(NotFound):
        mould_count(moulded(), "77", now=NOW, effort=BRIEF)


def test_an_effort_in_seconds_ends_too() -> None:
    assert one_more(moulded(), now=NOW, effort=Effort(seconds=0.1, processes=0)).gains[0].helps
