"""Days at the bench told by the log, and the plan made after: the trade's cases, by hand.

The cases are common practice, no source; their working stands beside them.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import builders as build
from plans_by_hand import finish, told
from written_log import BenchLog

from mouldwright.domain.order import Match, Order, PartSet, SetPart
from mouldwright.domain.process.process import Process
from mouldwright.domain.record.log import Happening, LoggedMember
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import CastStructure
from mouldwright.planning.plan import Plan, Task
from mouldwright.planning.replan import replan
from mouldwright.planning.run import make_plan
from mouldwright.usecases.why import Moves

WEEK = build.week("08:00-17:00")


def laid_up(cure_min: int, quantity: int, count: int = 1, zone: str = "UTC") -> Shop:
    """Return lay-up 60, cure, demould 20 by one person."""
    process = build.process(
        build.hands("lay", 60),
        build.alone("cure", cure_min),
        build.hands("demould", 20),
        holds=[build.hold("lay", "demould")],
    )
    return build.shop(
        process,
        [build.order("1", quantity)],
        people=[build.person("ana")],
        moulds=[build.moulds(count)],
        hours=build.opening(WEEK, zone=zone),
    )


def of(plan: Plan, operation: str, pull: int = 1) -> Task:
    return next(
        t
        for t in plan.tasks
        if t.operation == operation and t.members and t.members[0].pulls == (pull,)
    )


def test_a_cure_that_ends_on_sunday_is_taken_out_on_monday_whenever_it_is_asked() -> None:
    # Lay-up is over on Friday at 16:00 and cures 36 h, to Sunday 04:00: out on Monday at 08:00,
    # and the mould is taken until 08:20, when the second pull begins. Nobody works on Sunday.
    friday = build.at("2027-03-05 15:00")
    shop = laid_up(36 * 60, 2)
    plan = make_plan(shop, now=friday, seconds=0.1)
    log = BenchLog(friday)
    log.as_planned(of(plan, "lay"))
    shop = log.kept_in(shop)
    for text in ("2027-03-05 16:05", "2027-03-06 10:00", "2027-03-07 12:00", "2027-03-08 08:00"):
        plan = replan(shop, plan, now=build.at(text), seconds=0.1).plan
        assert told(plan, "cure")[0] == "Fri 16:00 - Sun 04:00"
        assert told(plan, "demould")[0] == "Mon 08:00 - Mon 08:20"
        assert told(plan, "lay")[1] == "Mon 08:20 - Mon 09:20"
        assert not any(t.people and t.start < build.at("2027-03-08 08:00") for t in plan.tasks[1:])


def test_a_cure_over_the_night_of_the_clock_change_is_as_long_as_it_is() -> None:
    # Berlin's clocks go an hour forward in the night to 28 March 2027 (IANA tz database): 24 h from
    # Saturday 17:00 are over on Sunday at 18:00, as the log tells of the lay-up.
    friday = build.at("2027-03-26 16:00", "Europe/Berlin")
    shop = laid_up(24 * 60, 1, zone="Europe/Berlin")
    plan = make_plan(shop, now=friday, seconds=0.1)
    log = BenchLog(friday)
    saturday = build.at("2027-03-27 17:00", "Europe/Berlin") - friday
    log.started(of(plan, "lay"), saturday - 60)
    log.finished(of(plan, "lay"), saturday)
    plan = make_plan(log.kept_in(shop), now=friday + saturday + 5, seconds=0.1)
    assert told(plan, "cure") == ["Sat 17:00 - Sun 18:00"]
    assert finish(plan) == "Mon 08:20"


def test_three_moulds_that_cured_over_night_are_taken_out_one_after_another() -> None:
    # Three are loaded on Monday and cured by Tuesday 08:00; one person, 20 min each.
    monday = build.at("2027-03-01 08:00")
    shop = laid_up(14 * 60, 3, count=3)
    plan = make_plan(shop, now=monday, seconds=0.1)
    log = BenchLog(monday)
    for pull in (1, 2, 3):
        log.as_planned(of(plan, "lay", pull), of(plan, "cure", pull))
    plan = make_plan(log.kept_in(shop), now=build.at("2027-03-02 08:00"), seconds=0.1)
    assert told(plan, "demould") == [
        "Tue 08:00 - Tue 08:20", "Tue 08:20 - Tue 08:40", "Tue 08:40 - Tue 09:00",
    ]  # fmt: skip


def test_a_first_coat_that_work_before_it_made_late_waits_for_a_day_its_second_fits_in() -> None:
    # The second coat begins 4 to 24 h after the first. Sanding, planned for 08:00, was over on
    # Friday at 14:30: a first coat until 15:00 would want its second from 19:00 to Saturday 15:00,
    # when all is shut. So both on Monday: 08:00 to 08:30, and from 12:30.
    friday = build.at("2027-03-05 08:00")
    process = build.process(
        build.hands("sand", 30, per="part"),
        build.hands("first coat", 30, per="part"),
        build.hands("second coat", 30, per="part", wait_min=240, wait_max_min=1440),
    )
    shop = build.shop(
        process, [build.order("1", 1)], people=[build.person("ana")], hours=build.opening(WEEK)
    )
    plan = make_plan(shop, now=friday, seconds=0.1)
    assert told(plan, "second coat") == ["Fri 13:00 - Fri 13:30"]
    log = BenchLog(friday)
    log.started(plan.tasks[0], 360)
    log.finished(plan.tasks[0], 390)
    after = replan(log.kept_in(shop), plan, now=friday + 390, seconds=0.1).plan
    assert told(after, "first coat") == ["Mon 08:00 - Mon 08:30"]
    assert told(after, "second coat") == ["Mon 12:30 - Mon 13:00"]


def test_a_second_coat_that_no_hours_allow_any_more_is_said_and_the_rest_is_planned() -> None:
    # Part 1 had its first coat until Friday 15:00: its second, 4 to 24 h later, could begin from
    # 19:00 to Saturday 15:00, when all is shut. Part 2 had its own at 08:30: its second goes on at
    # 15:00. Where part 1 is not coated in time after all it is scrap, and one more is begun.
    friday = build.at("2027-03-05 08:00")
    process = build.process(
        build.hands("first coat", 30, per="part"),
        build.hands("second coat", 30, per="part", wait_min=240, wait_max_min=1440),
        build.hands("pack", 10, per="part"),
    )
    people = [build.person("ana"), build.person("ben")]
    shop = build.shop(process, [build.order("1", 2)], people=people, hours=build.opening(WEEK))
    held = make_plan(shop, now=friday, seconds=0.1)
    coats = {t.members[0].parts: t for t in held.tasks if t.operation == "first coat"}
    log = BenchLog(friday)
    log.started(coats[2,], 0)
    log.finished(coats[2,], 30)
    log.started(coats[1,], 390)
    log.finished(coats[1,], 420)
    for text, of_two in (("2027-03-05 15:00", "Fri 15:00"), ("2027-03-05 15:30", "Fri 15:30")):
        held = replan(log.kept_in(shop), held, now=build.at(text), seconds=0.1).plan
        assert len(held.cautions) == 1
        assert "second coat of part 1 of order 1" in held.cautions[0]
        assert "by Sat 06 Mar 15:00" in held.cautions[0]
        assert told(held, "second coat")[0].startswith(of_two)
        assert finish(held) == "Mon 08:10"
    gone = (LoggedMember(order="1", parts=(1,)),)
    log.note(Happening.SCRAPPED, 455, members=gone, cause="second coat too late")
    held = replan(log.kept_in(shop), held, now=friday + 455, seconds=0.1).plan
    assert held.cautions == ()
    # One more: coated on Monday at 08:00, again from 12:30, packed by 13:10.
    assert finish(held) == "Mon 13:10"


def test_a_mix_that_no_hours_allow_to_be_used_up_is_said_and_the_rest_is_planned() -> None:
    # Mixed by Friday 16:50, usable 30 min, lay-up 20: to be begun by 17:00, when the shop shuts.
    afternoon = build.at("2027-03-05 16:40")
    process = build.process(
        build.hands("mix", 10, material="resin", pot_life_until="lay"),
        build.hands("lay", 20),
        build.hands("pack", 10, per="part"),
        structure=CastStructure(matrix="resin"),
    )
    shop = build.shop(
        process,
        [build.order("1", 1)],
        people=[build.person("ana")],
        moulds=[build.moulds(1)],
        materials=[build.mixed("resin", pot_life=30)],
        hours=build.opening(WEEK),
    )
    held = make_plan(shop, now=afternoon, seconds=0.1)
    log = BenchLog(afternoon)
    log.started(of(held, "mix"), 0)
    log.finished(of(held, "mix"), 10)
    after = replan(log.kept_in(shop), held, now=afternoon + 15, seconds=0.1).plan
    assert len(after.cautions) == 1
    assert "lay of pull 1 of order 1" in after.cautions[0]
    assert "by Fri 05 Mar 17:00" in after.cautions[0]
    assert finish(after) == "Mon 08:10"


def test_dust_that_the_log_tells_of_keeps_wet_work_out_until_it_has_settled() -> None:
    # Sanding is planned 10:00 to 11:00 in the only room and dust settles 30 min: lay-up at 11:30.
    # It begins on time; at 11:20 nobody has ticked it off, so that it is over at 11:21 at the
    # soonest and lay-up 11:51; ticked off at 11:40, lay-up is 12:10 to 12:50.
    ten = build.at("2027-03-01 10:00")
    sanding = build.hands("sand", 60, per="part", in_room="bench", room_state="dust")
    laying = build.hands("lay", 40, per="part", in_room="bench", room_state="wet")
    late = build.instant("2027-03-01 11:00")
    shop = build.shop(
        [build.process(sanding, key="sanded"), build.process(laying, key="laid")],
        [build.order("1", 1, process="sanded", weight=9, due=late),
         build.order("2", 1, process="laid")],
        people=[build.person("ana"), build.person("ben")],
        rooms=[build.room("bench", 30, dust=None, wet=None)],
        hours=build.opening(WEEK),
    )  # fmt: skip
    plan = make_plan(shop, now=ten, seconds=0.1)
    assert told(plan, "lay") == ["Mon 11:30 - Mon 12:10"]
    sand = next(task for task in plan.tasks if task.operation == "sand")
    log = BenchLog(ten)
    log.started(sand, 0)
    plan = replan(log.kept_in(shop), plan, now=ten + 80, seconds=0.1).plan
    assert told(plan, "lay") == ["Mon 11:51 - Mon 12:31"]
    log.finished(sand, 100)
    plan = replan(log.kept_in(shop), plan, now=ten + 100, seconds=0.1).plan
    assert told(plan, "lay") == ["Mon 12:10 - Mon 12:50"]


def test_what_cures_stays_where_it_is_when_an_urgent_order_comes() -> None:
    # Ana has laid up for an hour and the pull cures until Monday 19:00: out on Tuesday at 08:00,
    # however urgent what comes at 10:00 is; that waits for the mould.
    monday = build.at("2027-03-01 08:00")
    shop = laid_up(10 * 60, 1)
    plan = make_plan(shop, now=monday, seconds=0.1)
    log = BenchLog(monday)
    log.as_planned(of(plan, "lay"))
    urgent = build.order("2", 1, due=build.instant("2027-03-01 17:00"), weight=100)
    more = log.kept_in(replace(shop, orders=(*shop.orders, urgent)))
    plan = replan(more, plan, now=monday + 120, seconds=0.3).plan
    assert told(plan, "cure")[0] == "Mon 09:00 - Mon 19:00"
    assert finish(plan, "1") == "Tue 08:20"
    assert told(plan, "lay")[1] == "Tue 08:20 - Tue 09:20"


def test_a_mould_lost_at_its_second_pull_leaves_what_is_done_and_moves_later_orders() -> None:
    # One pull a day on each of two moulds, 14 h of cure. Monday both are loaded; on Tuesday mould 1
    # splits as its pull is taken out. What came out of mould 2 stays good; the other is made again
    # on mould 2, and order 2 comes after it.
    monday = build.at("2027-03-01 08:00")
    shop = laid_up(14 * 60, 2, count=2)
    shop = replace(shop, orders=(*shop.orders, build.order("2", 2)))
    before = make_plan(shop, now=monday, seconds=0.1)
    assert (finish(before, "1"), finish(before, "2")) == ("Tue 08:40", "Wed 08:40")
    log = BenchLog(monday)
    log.as_planned(*(of(before, operation, n) for operation in ("lay", "cure") for n in (1, 2)))
    tuesday = build.at("2027-03-02 08:00")
    broken = of(before, "lay", 1).mould
    whole = next(n for n in (1, 2) if of(before, "lay", n).mould != broken)
    log.as_planned(of(before, "demould", whole))
    log.note(Happening.MOULD_LOST, 1440 + 30, mould=broken, cause="split")
    kept = log.kept_in(shop)
    after = replan(kept, before, now=tuesday + 45, seconds=0.3).plan
    later = [t for t in after.tasks if t.mould == broken and t.start > tuesday + 30]
    assert later == []
    # One mould is left for three pulls: Tuesday, Wednesday, Thursday; out the morning after each.
    assert finish(after, "2") == "Fri 08:20"
    assert any("split" in words for words in Moves(kept, before, after).because)


def inspected() -> Process:
    mend = build.rework("0.5", build.hands("fill", 5, per="part"))
    return build.process(
        build.hands("sand", 10, per="part"),
        build.hands("inspect", 2, per="part"),
        build.hands("pack", 1, per="part"),
        reworks=[mend],
    )


def test_the_part_that_the_log_says_is_mended_is_the_one_that_is() -> None:
    # Two parts, half of them planned to be mended. Both are through inspection, and the log says
    # which one was found wanting: that one is filled, whichever it was planned to be.
    monday = build.at("2027-03-01 08:00")
    order = build.order(quantity=2, starts=2)
    shop = build.shop(inspected(), [order], people=[build.person("ana")])
    plan = make_plan(shop, now=monday, seconds=0.1)
    planned = next(t for t in plan.tasks if t.operation == "fill").members[0].parts[0]
    log = BenchLog(monday)
    for task in plan.tasks:
        if task.operation in ("sand", "inspect"):
            log.as_planned(task)
    over = max(t.end for t in plan.tasks if t.operation == "inspect")
    other = ({1, 2} - {planned}).pop()
    log.note(Happening.REWORKED, over - monday, members=(LoggedMember(order="1", parts=(other,)),))
    again = make_plan(log.kept_in(shop), now=over, seconds=0.1)
    filled = [t.members[0].parts for t in again.tasks if t.operation == "fill"]
    assert filled == [(other,)]


def test_a_part_of_a_matched_set_that_is_scrapped_is_made_again() -> None:
    # Three pairs matched by weight. As many parts as matching takes are sawn; the last is scrapped,
    # so that one more is begun and the set waits for it.
    monday = build.at("2027-03-01 08:00")
    pair = PartSet(
        key="pair", title="Pair", parts=(SetPart(part="fin", process="sawn", count=2),),
        match=Match(on="mass", window=Decimal("0.02"), spread=Decimal("0.02")),
    )  # fmt: skip
    shop = build.shop(
        build.process(build.hands("saw", 10, per="part"), key="sawn"),
        [Order(number="1", part="pair", quantity=3)],
        people=[build.person("ada")],
        parts=[build.part("fin", made_by=["sawn"])],
        sets=[pair],
    )
    plan = make_plan(shop, now=monday, seconds=0.1)
    log = BenchLog(monday)
    log.as_planned(*plan.tasks)
    over = max(t.end for t in plan.tasks)
    last = max(part for t in plan.tasks for m in t.members for part in m.parts)
    assert make_plan(log.kept_in(shop), now=over, seconds=0.1).orders[0].finish == over
    gone = (LoggedMember(order="1", parts=(last,)),)
    log.note(Happening.SCRAPPED, over - monday, members=gone, cause="split")
    again = make_plan(log.kept_in(shop), now=over, seconds=0.1)
    assert again.orders[0].starts == plan.orders[0].starts + 1
    assert again.orders[0].finish == over + 10
