"""Rates against worked operations figures and what every bench knows."""

from decimal import Decimal

import pytest
from costing_bench import attended, family, mould_hold, part, person, process, shop, unattended

from mouldwright.domain.process.process import Process
from mouldwright.domain.rate import Rate, rate


def rate_of(way: Process, moulds: int, *more: object) -> Rate:
    bench = shop(way, family(moulds), *more)
    return rate(bench, part(), way)


def limits(found: Rate) -> dict[str, float | None]:
    return {limit.name: limit.per_hour for limit in found.limits}


def test_three_moulds_occupied_85_minutes_and_one_operator_40_minutes_each() -> None:
    # Constructed: the bottleneck is the least of parallel units / time: 3 x 60 / 85 = 2.1176
    # an hour by moulds, 60 / 40 = 1.5 by the operator, who is the limit.
    way = process(
        attended("fill", "pull", "20"),
        unattended("cure", "pull", "60"),
        attended("demould", "pull", "5"),
        attended("trim", "part", "15"),
        holds=(mould_hold("fill", "demould"),),
    )
    found = rate_of(way, 3)
    assert limits(found) == {
        "moulds": pytest.approx(3 * 60 / 85),
        "hands with wet": pytest.approx(1.5),
    }
    assert found.per_hour_at_bench == pytest.approx(1.5)
    assert found.binds_at_bench == "hands with wet"


def test_one_operator_of_a_takt_of_25_minutes_makes_18_in_450() -> None:
    # Takt 450 min / 18 = 25 min, worked by hand.
    way = process(attended("make", "part", "25"))
    day = ((480, 930),)
    bench = shop(way, weekly=(day,) * 5 + ((), ()))
    assert rate(bench, part(), way).per_day_sustained == 18


LOADED_BY_DAY = process(
    attended("load", "pull", "12"),
    unattended("cure", "pull", "1440"),
    holds=(mould_hold("load", "cure"),),
)


def test_loads_of_12_minutes_are_five_an_hour_by_one_person() -> None:
    # Common practice, no source.
    assert rate_of(LOADED_BY_DAY, 5).per_hour_at_bench == 5


def test_five_moulds_under_a_24_hour_cure_give_at_most_one_pull_each_a_day() -> None:
    # Common practice, no source: however fast the hands.
    for people in (1, 4):
        crew = [person(f"p{n}", "wet") for n in range(people)]
        found = rate_of(LOADED_BY_DAY, 5, *crew)
        assert found.per_day_sustained is not None
        assert 4.5 < found.per_day_sustained <= 5
        assert found.binds == "moulds"


def cast(handling_min: str) -> Process:
    return process(
        attended("fill", "pull", handling_min),
        unattended("cure", "pull", "15"),
        holds=(mould_hold("fill", "cure"),),
    )


def test_five_moulds_with_a_15_minute_cure_give_no_more_than_20_an_hour() -> None:
    # Common practice, no source: 5 x 60 / 15.
    crew = [person(f"p{n}", "wet") for n in range(9)]
    assert limits(rate_of(cast("0"), 5, *crew))["moulds"] == 20


def test_three_minutes_of_handling_that_hold_the_mould_make_it_16_7() -> None:
    # Common practice, no source: 5 x 60 / 18 = 16.67.
    crew = [person(f"p{n}", "wet") for n in range(9)]
    found = rate_of(cast("3"), 5, *crew)
    assert found.per_hour_at_bench == pytest.approx(16.67, abs=0.005)
    assert found.binds_at_bench == "moulds"


def test_a_small_kit_of_quarter_inch_chop_makes_about_twenty_small_parts() -> None:
    # Common practice, no source: a small kit is some 50 to 250 g of chop. A solid part of
    # 100 x 15 x 4 mm = 6 cm3 at 45 % fibre by volume and 1.8 g/cm3 holds 4.86 g; one of
    # twice each other side but no thicker four times that.
    small_g = 10.0 * 1.5 * 0.4 * 0.45 * 1.8
    assert 20 * small_g == pytest.approx(97.2)
    assert 50 / 20 < small_g < 250 / 20


# Hands-on time of one pull, split before and after the cure so that the chain
# demould + prepare + lay up is never split: lay-up takes it all and the mould is free then.
def pulls_in_four_weeks(moulds: int, hands_on_min: int, cure_h: int) -> float:
    way = process(
        attended("lay up", "pull", str(hands_on_min)),
        unattended("cure", "pull", str(cure_h * 60)),
        holds=(mould_hold("lay up", "cure"),),
    )
    day = ((480, 720), (750, 1020))  # 08:00-12:00, 12:30-17:00
    bench = shop(way, family(moulds), weekly=(day,) * 5 + ((), ()))
    found = rate(bench, part(), way).per_day_sustained
    assert found is not None
    return found * 20


def test_a_cure_of_a_day_and_long_hands_on_time_loses_pulls_that_a_shorter_cure_gives_back() -> (
    None
):
    # Hand simulation of one mould with 210 min of hands-on time, 08:00-12:00 and 12:30-17:00.
    # 24 h: Mon 08:00-11:30, cured Tue 11:30; 210 min fit from 12:30 to 16:00, cured Wed
    # 16:00: too late, so Thu 08:00, Fri 12:30-16:00, cured Sat: four pulls a week, Mon anew.
    # 20 h: Mon 08:00, cured Tue 07:30, every day at 08:00: five a week.
    assert pulls_in_four_weeks(1, 210, 24) == 16
    assert pulls_in_four_weeks(1, 210, 20) == 20


def test_conditioning_takes_its_share_of_hands() -> None:
    # Worked by hand: 12 min a load and 20 min every fourth pull: 17 min a pull.
    way = process(
        attended("load", "pull", "12"),
        unattended("cure", "pull", "15"),
        holds=(mould_hold("load", "cure"),),
        conditioning=attended("condition", "conditioning", "20"),
    )
    bench = shop(way, family(50, conditioned_every_pulls=4))
    assert rate(bench, part(), way).per_hour_at_bench == pytest.approx(60 / 17)


def test_good_parts_follow_the_yield() -> None:
    way = process(attended("make", "part", "30", good_rate=Decimal("0.9")))
    found = rate(shop(way), part(), way)
    assert (found.per_hour_at_bench, found.good_per_hour_at_bench) == (2, pytest.approx(1.8))
