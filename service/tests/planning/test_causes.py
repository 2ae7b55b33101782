"""What is said to fix an order's finish is what fixes it."""

from __future__ import annotations

import builders as build

from mouldwright.domain.shop import Shop
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")
DAYS = build.opening(build.week("08:00-16:00"))


def causes(shop: Shop, number: str = "1") -> tuple[str, ...]:
    plan = make_plan(shop, now=NOW, seconds=0.2)
    return next(order.binds for order in plan.orders if order.number == number)


def test_a_cure_that_ends_at_night_waits_for_hands_until_morning() -> None:
    # By hand: fill 08:00 to 08:10, cure 12 h to 20:10, demould when hours open on Tuesday.
    process = build.process(
        build.hands("fill", 10, skill="wet"),
        build.alone("cure", 720),
        build.hands("demould", 5, skill="wet"),
        holds=[build.hold("fill", "demould")],
    )
    shop = build.shop(
        process,
        [build.order()],
        people=[build.person("ana", ("wet",))],
        moulds=[build.moulds()],
        hours=DAYS,
    )
    assert causes(shop) == (
        "closed for 11 h 50 min, until ana is in, from Mon 1 Mar 20:10 to Tue 2 Mar 08:00",
        "cure of pull 1, 12 h (to Mon 1 Mar 20:10)",
    )


def test_a_second_pull_waits_for_the_only_mould() -> None:
    # By hand: fill 10, cure 90, demould 5: the mould is free at 09:45.
    process = build.process(
        build.hands("fill", 10),
        build.alone("cure", 90),
        build.hands("demould", 5),
        holds=[build.hold("fill", "demould")],
    )
    shop = build.shop(
        process,
        [build.order(quantity=2)],
        people=[build.person("ana")],
        moulds=[build.moulds()],
        hours=DAYS,
    )
    found = causes(shop)
    assert [words for words in found if "busy" not in words] == [
        "cure of pull 2, 1 h 30 min (to Mon 1 Mar 11:25)",
        "mould fin-mould 1 is held by order 1 until Mon 1 Mar 09:45, "
        "when demould of order 1 pull 1 is over",
        "cure of pull 1, 1 h 30 min (to Mon 1 Mar 09:40)",
    ]


def test_busy_hands_are_told_as_one() -> None:
    # By hand: four parts of 30 min, one person: two hours of the same hands.
    process = build.process(build.hands("sand", 30, per="part"))
    shop = build.shop(process, [build.order(quantity=4)], people=[build.person("ana")], hours=DAYS)
    assert causes(shop) == ("ana busy with 4 x sand, 2 h, from Mon 1 Mar 08:00 to Mon 1 Mar 10:00",)


def test_a_release_is_named() -> None:
    process = build.process(build.hands("sand", 30, per="part"))
    late = build.order(release=build.instant("2027-03-01 10:00"))
    shop = build.shop(process, [late], people=[build.person("ana")], hours=DAYS)
    assert causes(shop) == ("the order may not begin before Mon 1 Mar 10:00",)


def test_a_taken_station_is_named() -> None:
    # By hand: the oven takes one load of 60 min at a time, so the second starts at 09:00.
    process = build.process(build.alone("bake", 60, per="part", station="oven"))
    shop = build.shop(
        process, [build.order(quantity=2)], people=[build.person("ana")], hours=DAYS,
        stations=[build.station("oven")],
    )  # fmt: skip
    found = causes(shop)
    assert len(found) == 3
    assert found[0].endswith("1 h (to Mon 1 Mar 10:00)")
    assert found[1].startswith("oven 1 is held by order 1 until Mon 1 Mar 09:00")
    assert found[2].endswith("1 h (to Mon 1 Mar 09:00)")
