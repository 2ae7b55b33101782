"""Mould upkeep, life and building, and what no plan can do, worked by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import builders as build
import pytest
from plans_by_hand import WEEK, finish, made, told

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.part.section import Rectangle
from mouldwright.domain.process.mould import Mould
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import CastStructure


def pulled(pulls: int, moulds: tuple[Mould, ...] = (Mould(number="1"),), **family: Any) -> Shop:
    """Return a shop open all day with one person and pulls of 5, 10 (alone) and 5 min."""
    process = build.process(
        build.hands("fill", 5),
        build.alone("cure", 10),
        build.hands("empty", 5),
        holds=[build.hold("fill", "empty")],
        conditioning=build.hands("wax", 10, per="conditioning"),
    )
    made_of = replace(build.moulds(1, **family), moulds=moulds)
    return build.shop(
        process,
        [build.order("1", pulls)],
        people=[build.person("ana")],
        moulds=[made_of],
    )


def test_a_mould_is_waxed_between_pulls_when_due_and_not_after_the_last() -> None:
    # Every two pulls; two pulls of 20 min, wax 10, two pulls: 90 min, and no wax at the end.
    plan = made(pulled(4, conditioned_every_pulls=2), "2027-03-01 08:00")
    assert told(plan, "wax") == ["Mon 08:40 - Mon 08:50"]
    assert finish(plan) == "Mon 09:30"
    assert plan.objective.finish_min == 90
    # Hands: 4 x (5 + 5) + 10.
    assert plan.objective.attended_min == 50


def test_pulls_since_the_last_wax_count_over_orders() -> None:
    # One pull since: due after the first pull here and after the third.
    worn = (Mould(number="1", pulls=7, pulls_since_conditioning=1),)
    plan = made(pulled(4, worn, conditioned_every_pulls=2), "2027-03-01 08:00")
    assert told(plan, "wax") == ["Mon 08:20 - Mon 08:30", "Mon 09:10 - Mon 09:20"]
    assert finish(plan) == "Mon 09:40"


def test_a_mould_due_for_wax_is_waxed_before_its_first_pull() -> None:
    due = (Mould(number="1", pulls=2, pulls_since_conditioning=2),)
    plan = made(pulled(1, due, conditioned_every_pulls=2), "2027-03-01 08:00")
    assert told(plan, "wax") == ["Mon 08:00 - Mon 08:10"]
    assert told(plan, "fill") == ["Mon 08:10 - Mon 08:15"]


def test_coats_by_pull_are_given_one_by_one() -> None:
    # Seven pulls taken of 4, 2, 1, then one every fifth; the eighth is the fifth after the
    # third, so one coat before it and none before the ninth.
    worn = (Mould(number="1", pulls=7, pulls_since_conditioning=5),)
    plan = made(pulled(2, worn, coats=(4, 2, 1), coats_every=5), "2027-03-01 08:00")
    assert told(plan, "wax") == ["Mon 08:00 - Mon 08:10"]
    # 10 + 20 + 20.
    assert finish(plan) == "Mon 08:50"


def test_the_count_of_pulls_outlives_an_order_and_coats_dry_between() -> None:
    # The same eight pulls in two orders, a coat drying for 15 min before the next: 4 + 2 + 1 +
    # 0 | 0 + 0 + 0 + 1 coats; 3 + 1 waits of 15 besides the 240 min.
    shop = pulled(4, coats=(4, 2, 1), coats_every=5)
    process = shop.processes["pressed"]
    waxed = replace(process, conditioning=build.hands("wax", 10, per="conditioning", wait_min=15))
    shop = replace(
        shop,
        processes={"pressed": waxed},
        orders=(build.order("1", 4), build.order("2", 4)),
    )
    plan = made(shop, "2027-03-01 08:00")
    steps = [t.operation for t in sorted(plan.tasks, key=lambda t: t.start)]
    assert steps.count("wax") == 8
    before = "".join("w" if step == "wax" else "f" for step in steps if step in ("wax", "fill"))
    assert before == "wwwwf" + "wwf" + "wf" + "ffff" + "wf"
    assert plan.objective.finish_min == 240 + 4 * 15


def test_a_new_mould_is_given_all_its_coats_over_eight_pulls() -> None:
    # 4 + 2 + 1 + 0 + 0 + 0 + 0 + 1 = 8 coats; 8 x 20 + 8 x 10 = 240.
    plan = made(pulled(8, coats=(4, 2, 1), coats_every=5), "2027-03-01 08:00")
    steps = [t.operation for t in sorted(plan.tasks, key=lambda t: t.start)]
    before = "".join("w" if step == "wax" else "f" for step in steps if step in ("wax", "fill"))
    assert before == "wwwwf" + "wwf" + "wf" + "ffff" + "wf"
    assert plan.objective.finish_min == 240


def test_moulds_are_pulled_no_more_than_their_life() -> None:
    # One mould has a single pull left, the other three: of four pulls one and three.
    pair = (Mould(number="1", pulls=9), Mould(number="2", pulls=7))
    plan = made(pulled(4, pair, life_pulls=10), "2027-03-01 08:00")
    fills = [t.mould for t in plan.tasks if t.operation == "fill"]
    assert (fills.count("fin-mould 1"), fills.count("fin-mould 2")) == (1, 3)
    # Mould 2 alone takes 3 x 20 = 60; ana has mould 1's pull in its cures: she fills it
    # 08:05-08:10, and empties it 08:25-08:30, once mould 2 is emptied and filled again.
    assert plan.objective.finish_min == 60


def test_more_pulls_than_all_moulds_have_left_are_refused_by_name() -> None:
    worn = (Mould(number="1", pulls=8),)
    with pytest.raises(HardLimit) as refused:
        made(pulled(3, worn, life_pulls=10), "2027-03-01 08:00")
    text = str(refused.value)
    assert "fin-mould" in text
    # What is asked and what is left.
    assert "3" in text
    assert "2" in text


def test_a_mould_is_built_before_its_first_pull() -> None:
    # Print 08:00-09:00, 10 min to cool, sand 09:10-09:30; fill 5, cure 10, empty 5: 09:50.
    tool = build.process(
        build.alone("print", 60, per="part", station="printer"),
        build.hands("sand", 20, per="part", wait_min=10),
        key="tool",
    )
    shop = pulled(1, (), made_by="tool")
    shop = replace(
        shop,
        processes={**shop.processes, "tool": tool},
        stations={"printer": build.station("printer")},
    )
    plan = made(shop, "2027-03-01 08:00")
    assert told(plan, "print") == ["Mon 08:00 - Mon 09:00"]
    assert told(plan, "sand") == ["Mon 09:10 - Mon 09:30"]
    assert told(plan, "fill") == ["Mon 09:30 - Mon 09:35"]
    assert finish(plan) == "Mon 09:50"


def test_no_mould_and_none_that_could_be_made_is_refused_by_name() -> None:
    with pytest.raises(HardLimit) as refused:
        made(pulled(1, ()), "2027-03-01 08:00")
    assert "fin" in str(refused.value)
    assert "mould" in str(refused.value)


def test_a_step_longer_than_any_opening_is_refused_by_name() -> None:
    # 600 min that cannot pause; the longest day is 8 h = 480 min.
    process = build.process(build.hands("infuse", 600, per="part"))
    shop = build.shop(
        process,
        [build.order("1", 1)],
        people=[build.person("ana")],
        hours=build.opening(build.week("08:00-16:00")),
    )
    with pytest.raises(HardLimit) as refused:
        made(shop, "2027-03-01 08:00")
    text = str(refused.value)
    assert "infuse" in text
    assert "600" in text
    assert "480" in text
    # The nearest change: longer hours, or letting it pause.
    assert "interruptible" in text or "pause" in text


def test_a_step_nobody_can_do_is_refused_by_name() -> None:
    process = build.process(build.hands("weld", 10, per="part", skill="weld"))
    shop = build.shop(process, [build.order("1", 1)], people=[build.person("ana", ["wet"])])
    with pytest.raises(HardLimit, match="weld"):
        made(shop, "2027-03-01 08:00")


def test_people_who_are_never_in_together_are_refused_by_name() -> None:
    process = build.process(build.hands("lift", 30, people=2, per="part"))
    shop = build.shop(
        process,
        [build.order("1", 1)],
        people=[
            build.person("ana", weekly=build.week("08:00-12:00")),
            build.person("ben", weekly=build.week("12:00-16:00")),
        ],
        hours=build.opening(WEEK),
    )
    with pytest.raises(HardLimit, match="lift"):
        made(shop, "2027-03-01 08:00")


def mixed_shop(pot_life: int, pulls: int = 1, moulds: int = 1) -> Shop:
    """Return a shop that mixes for several pulls and loads each in 12 min."""
    process = build.process(
        build.hands("mix", 4, per="batch", material="resin", pot_life_until="load"),
        build.hands("load", 12),
        build.alone("cure", 60),
        build.hands("empty", 5),
        holds=[build.hold("load", "empty")],
        structure=CastStructure(matrix="resin"),
    )
    return build.shop(
        process,
        [build.order("1", pulls)],
        people=[build.person("ana")],
        moulds=[build.moulds(moulds)],
        materials=[build.mixed(pot_life=pot_life)],
    )


def test_a_mix_that_sets_before_it_is_used_is_refused_by_name() -> None:
    with pytest.raises(HardLimit) as refused:
        made(mixed_shop(11), "2027-03-01 08:00")
    text = str(refused.value)
    assert "resin" in text
    assert "load" in text
    assert "11" in text


def test_a_mix_serves_as_many_as_its_pot_life_lets_be_loaded() -> None:
    # 12 min a pull: in 24 min two, in 23 one; each mix is 4 min.
    # Two a mix: 4 + 12 + 12, the last cures 60, empty 5: the first is emptied in its cure.
    two = made(mixed_shop(24, pulls=2, moulds=2), "2027-03-01 08:00")
    assert told(two, "mix") == ["Mon 08:00 - Mon 08:04"]
    assert finish(two) == "Mon 09:33"
    # One a mix: 4 + 12 + 4 + 12 + 60 + 5 = 97.
    one = made(mixed_shop(23, pulls=2, moulds=2), "2027-03-01 08:00")
    assert told(one, "mix") == ["Mon 08:00 - Mon 08:04", "Mon 08:16 - Mon 08:20"]
    assert finish(one) == "Mon 09:37"


def poured(grams: int, most: int, moulds: int) -> Shop:
    """Return a shop that casts blocks of so many grams from a mix of at most ``most`` g."""
    process = build.process(
        build.hands("mix", 4, per="batch", material="resin", pot_life_until="load"),
        build.hands("load", 12),
        build.alone("cure", 60),
        build.hands("empty", 5),
        holds=[build.hold("load", "empty")],
        structure=CastStructure(matrix="resin"),
    )
    # 1 g/cm3: a bar of 10 x 100 mm and as many mm wide as grams.
    resin = replace(build.mixed(pot_life=300, most=most), density_kg_m3=1000.0)
    bar = build.part(section=Rectangle(width_mm=float(grams), height_mm=10.0))
    return build.shop(
        process,
        [build.order("1", moulds)],
        people=[build.person("ana")],
        moulds=[build.moulds(moulds)],
        materials=[resin],
        parts=[bar],
    )


def test_a_casting_is_not_split_over_two_mixes() -> None:
    # Four of 120 g, 150 g the most: 120 each, not 150 + 150 + 150 + 30.
    plan = made(poured(120, 150, 4), "2027-03-01 08:00")
    assert [t.mixed_g for t in plan.tasks if t.operation == "mix"] == [120.0] * 4
    # 240 the most: two of 240.
    plan = made(poured(120, 240, 4), "2027-03-01 08:00")
    assert [t.mixed_g for t in plan.tasks if t.operation == "mix"] == [240.0] * 2


def test_a_casting_heavier_than_a_mix_may_be_is_refused_by_name() -> None:
    with pytest.raises(HardLimit) as refused:
        made(poured(400, 150, 1), "2027-03-01 08:00")
    text = str(refused.value)
    assert "resin" in text
    assert "400" in text
    assert "150" in text
