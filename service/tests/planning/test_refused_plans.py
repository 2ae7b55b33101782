"""What can never be planned is refused before any search, with what would help."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import builders as build
import pytest

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Person, Shop
from mouldwright.domain.structure.kinds import CastStructure
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")
DAYS = build.opening(build.week("08:00-16:00"))
ANA = build.person("ana", ("wet",))


def refusal(shop: Shop) -> tuple[str, ...]:
    with pytest.raises(HardLimit) as caught:
        make_plan(shop, now=NOW, seconds=0.1)
    return caught.value.reasons


def shop_of(process: Process, *people: Person, count: int = 1, **more: object) -> Shop:
    return build.shop(
        process,
        [build.order(quantity=more.pop("quantity", 1))],
        people=people or (ANA,),
        moulds=[build.moulds(count, **more.pop("mould", {}))],
        hours=DAYS,
        **more,
    )


def test_a_step_longer_than_any_opening_is_named_with_the_opening_it_needs() -> None:
    # By hand: open 08:00 to 16:00, 480 min; 600 min do not fit.
    process = build.process(build.hands("lay", 600, skill="wet"), holds=[build.hold("lay", "lay")])
    (reason,) = refusal(shop_of(process))
    assert "lay takes 600 min" in reason
    assert "480 min" in reason
    # From 08:00, 600 min are 18:00.
    assert "an opening of 600 min of ana, Mondays from 08:00 to 18:00 or letting it" in reason
    assert "(interruptible), would do; splitting it may too." in reason


def test_a_skill_that_too_few_people_have_is_named_with_how_many_are_missing() -> None:
    process = build.process(
        build.hands("lift", 10, skill="wet", people=2), holds=[build.hold("lift", "lift")]
    )
    (reason,) = refusal(shop_of(process))
    assert "needs 2 people with the skill wet" in reason
    assert "1 more with the skill wet would do" in reason


def test_two_people_who_never_meet_cannot_lift_together() -> None:
    process = build.process(
        build.hands("lift", 10, skill="wet", people=2), holds=[build.hold("lift", "lift")]
    )
    early = build.person("ana", ("wet",), build.week("06:00-12:00"))
    late = build.person("ben", ("wet",), build.week("12:00-18:00"))
    (reason,) = refusal(shop_of(process, early, late))
    assert "the longest opening of 2 people" in reason
    assert "is 0 min" in reason


def test_a_mix_that_sets_before_it_is_used_is_named_with_both_times() -> None:
    # By hand: load 12 + close 8 = 20 min from the end of mixing; the pot life is 15.
    process = build.process(
        build.hands("mix", 4, per="batch", skill="wet", material="resin", pot_life_until="close"),
        build.hands("load", 12, skill="wet"),
        build.hands("close", 8, skill="wet"),
        holds=[build.hold("load", "close")],
        structure=CastStructure(matrix="resin"),
    )
    (reason,) = refusal(shop_of(process, materials=[build.mixed(pot_life=15)]))
    assert "at least 20 min" in reason
    assert "within 15 min" in reason
    assert "a pot life of 20 min of resin (a slower hardener) would do" in reason


def test_a_pull_that_takes_more_than_may_be_mixed_is_named() -> None:
    # By hand: 20 x 5 x 100 mm at 1.1 g/cm3 is 11 g; at most 8 g may be mixed.
    process = build.process(
        build.hands("mix", 4, per="batch", skill="wet", material="resin", pot_life_until="pour"),
        build.hands("pour", 2, skill="wet"),
        holds=[build.hold("pour", "pour")],
        structure=CastStructure(matrix="resin"),
    )
    (reason,) = refusal(shop_of(process, materials=[build.mixed(most=8)]))
    assert "takes 11.0 g" in reason
    assert "8.0 g may be mixed" in reason
    assert "a resin whose sheet allows 11.0 g at once in place of resin would do" in reason
    assert "a staged pour may too" in reason


def test_moulds_that_do_not_last_are_named_with_how_many_more_would_do() -> None:
    # By hand: 2 moulds of 5 pulls take 10; 13 are wanted, so one more mould.
    process = build.process(build.hands("lay", 10, skill="wet"), holds=[build.hold("lay", "lay")])
    (reason,) = refusal(shop_of(process, count=2, quantity=13, mould={"life_pulls": 5}))
    assert "has 10 pulls left and 13 are wanted" in reason
    assert "1 more mould fin-mould would do" in reason


def test_a_wait_that_no_hours_allow_is_named() -> None:
    # By hand: the next coat comes 10 to 12 h after the first ends; of a day from 08:00 to
    # 16:00 that is 18:00 to 04:00 at the latest, always closed.
    process = build.process(
        build.hands("coat", 10, skill="wet"),
        build.hands("recoat", 10, skill="wet", wait_min=600, wait_max_min=720),
        holds=[build.hold("coat", "recoat")],
    )
    (reason,) = refusal(shop_of(process))
    assert "no hours allow coat to recoat in one go" in reason
    assert "at most 720 min" in reason
    # The nearest that would do: coated by 16:00, again at 08:00, 960 min later.
    assert "a greatest wait of 960 min before recoat or everyone" in reason
    # Or both coats in one day: 10 + 600 + 10 min are 140 more than the 480 there are.
    assert "everyone in for 140 min longer each day would do" in reason


def test_an_age_beyond_the_greatest_wait_is_named() -> None:
    # By hand: coated within 60 min of demoulding and not before 24 h: 1440 min would do.
    process = build.process(
        build.hands("lay", 10, skill="wet"),
        build.hands("coat", 10, skill="wet", wait_max_min=60, least_age_h=Decimal(24)),
        holds=[build.hold("lay", "lay")],
    )
    (reason,) = refusal(shop_of(process))
    assert "coat may start at most 60 min after lay" in reason
    assert "a greatest wait of 1440 min would do" in reason


def test_a_due_date_in_the_past_is_planned_late_and_never_refused() -> None:
    # By hand: due on Sunday, done on Monday by 08:10: 490 min after midnight, late from 12:00
    # the day before: 20 h 10 min.
    process = build.process(build.hands("lay", 10, skill="wet"), holds=[build.hold("lay", "lay")])
    shop = shop_of(process)
    due = build.instant("2027-02-28 12:00")
    shop = replace(shop, orders=(build.order(due=due),))
    plan = make_plan(shop, now=NOW, seconds=0.1)
    assert plan.orders[0].late_min == 20 * 60 + 10


def test_every_reason_is_told_at_once() -> None:
    process = build.process(
        build.hands("lay", 600, skill="wet"),
        build.hands("paint", 10, skill="paint"),
        holds=[build.hold("lay", "paint")],
    )
    assert len(refusal(shop_of(process))) == 2
