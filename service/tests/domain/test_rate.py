from dataclasses import replace
from decimal import Decimal

import pytest
from costing_bench import (
    attended,
    family,
    mould_hold,
    part,
    person,
    process,
    shop,
    unattended,
)

from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.process.mould import Mould
from mouldwright.domain.process.process import Hold
from mouldwright.domain.rate import Rate, rate
from mouldwright.domain.shop import Station

LOADED = process(
    attended("load", "pull", "12"),
    unattended("cure", "pull", "1380"),
    attended("trim", "part", "6", skill="finish"),
    holds=(mould_hold("load", "cure"),),
)


def days(found: Rate) -> dict[str, float | None]:
    return {limit.name: limit.per_day for limit in found.limits}


def test_people_with_several_skills_are_not_counted_twice() -> None:
    # Ann alone does wet work; she and Bo finish. 480 min a day each: wet 480 / 12 = 40,
    # finish 960 / 6 = 160, both together 960 / 18 = 53.3.
    bench = shop(LOADED, person("ann", "wet", "finish"), person("bo", "finish"), family(100))
    found = days(rate(bench, part(), LOADED))
    assert found["hands with wet"] == 40
    assert found["hands with finish"] == 160
    assert found["hands with finish or wet"] == pytest.approx(960 / 18)


def test_a_person_who_comes_one_morning_gives_one_morning() -> None:
    bench = shop(
        LOADED,
        person("ann", "wet"),
        person("bo", "finish", weekly=(((480, 720),), *((),) * 6)),
        family(100),
    )
    found = rate(bench, part(), LOADED)
    # 240 min a week / 6 = 40 parts over five open days.
    assert (found.per_day_sustained, found.binds) == (8, "hands with finish")
    assert found.open_days_a_week == 5


def test_moulds_beyond_what_hands_can_fill_do_not_help() -> None:
    bench = shop(LOADED, person("ann", "wet", "finish"), family(4))
    found = rate(bench, part(), LOADED)
    # One pull a mould and day; the hands do 480 / 18 = 26.7 a day.
    assert (found.per_day_sustained, found.binds, found.moulds) == (4, "moulds", 4)
    assert found.moulds_that_help == 27
    more = rate(bench, part(), LOADED, moulds=27)
    most = rate(bench, part(), LOADED, moulds=28)
    assert more.per_day_sustained == most.per_day_sustained == pytest.approx(480 / 18)
    fewer = rate(bench, part(), LOADED, moulds=26)
    assert fewer.per_day_sustained == 26


def test_spent_moulds_do_not_count() -> None:
    moulds = family(life_pulls=9, moulds=(Mould(number="1", pulls=9), Mould(number="2")))
    bench = shop(LOADED, person("ann", "wet", "finish"), moulds)
    assert rate(bench, part(), LOADED).moulds == 1


def test_no_mould_at_hand_gives_no_parts() -> None:
    bench = shop(LOADED, person("ann", "wet", "finish"), family(0))
    found = rate(bench, part(), LOADED)
    assert (found.per_day_sustained, found.binds) == (0, "moulds")


def test_no_moulds_is_no_question() -> None:
    with pytest.raises(InvalidInput):
        rate(shop(LOADED, family(1)), part(), LOADED, moulds=0)


def test_cavities_multiply_the_pulls() -> None:
    bench = shop(LOADED, person("ann", "wet", "finish"), family(2, cavities=3))
    assert rate(bench, part(), LOADED).per_day_sustained == 6


def test_a_press_is_busy_only_while_closing_and_clamps_until_demoulding() -> None:
    way = process(
        attended("close", "pull", "8", station="press"),
        unattended("cure", "pull", "600"),
        attended("demould", "pull", "4"),
        holds=(
            mould_hold("close", "demould"),
            Hold(resource="clamps", first="close", last="demould"),
        ),
    )
    bench = shop(
        way,
        *(person(f"p{n}", "wet") for n in range(3)),
        family(50),
        Station(key="press", title="Press"),
        Station(key="clamps", title="Clamps", count=5),
    )
    found = days(rate(bench, part(), way))
    assert found["press"] == 60  # 480 / 8
    assert found["clamps"] == 5
    assert rate(bench, part(), way).binds == "clamps"


def test_a_printer_goes_round_by_plates_and_waits_for_someone() -> None:
    way = process(
        attended("start", "batch", "5", batch_parts=3),
        unattended("print", "batch", "40", each_min=Decimal(135)),
        attended("remove", "batch", "3"),
        holds=(Hold(resource="printer", first="start", last="remove"),),
    )
    bench = shop(way, Station(key="printer", title="Printer", count=2))
    found = rate(bench, part(), way)
    # 08:00 start of a plate of three, 453 min, removed at 15:33 at the latest before 16:45,
    # then one by night: two plates of three a day and printer but the last, which is on
    # Friday night; a weekend cannot be filled by more than one plate.
    assert found.binds == "printer"
    assert found.per_day_sustained == 2 * 2 * 3
    assert found.moulds_that_help is None
    # Nothing of a plate fits within one opening of 240 min, so hands alone count at the
    # bench: 8 min of them for three parts.
    assert found.per_hour_at_bench == pytest.approx(60 / 8 * 3)


def test_a_drying_cabinet_holds_as_many_as_it_has_room_for() -> None:
    way = process(
        attended("coat", "part", "1"), unattended("dry", "part", "720", station="cabinet")
    )
    bench = shop(way, Station(key="cabinet", title="Cabinet", room=24))
    # Day and night, two loads of 24 in 24 h and 7 days over five open ones.
    assert days(rate(bench, part(), way))["cabinet"] == pytest.approx(24 * 2 * 7 / 5)


def test_a_station_with_quiet_hours_is_used_only_while_they_last() -> None:
    way = process(unattended("grind", "part", "60", station="mill"))
    mill = Station(key="mill", title="Mill", weekly=(((600, 840),), *((),) * 6))
    # Four runs on Monday, over five open days.
    assert days(rate(shop(way, mill), part(), way))["mill"] == pytest.approx(4 / 5)


def test_a_step_longer_than_every_opening_gives_no_rate_to_its_mould() -> None:
    long = replace(LOADED, operations=(attended("load", "pull", "300"), *LOADED.operations[1:]))
    bench = shop(long, person("ann", "wet", "finish"), family(5))
    found = rate(bench, part(), long)
    assert (found.per_day_sustained, found.binds) == (0, "moulds")
    assert found.moulds_that_help is None
