"""Every change that is told for what cannot be lets a plan be made; one less of it does not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import builders as build
import pytest

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.order import PartSet, SetPart
from mouldwright.domain.process.heat import Heat
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Person, Shop
from mouldwright.domain.structure.kinds import CastStructure
from mouldwright.planning.compiling import build_problem
from mouldwright.planning.nearest import Nearest
from mouldwright.planning.precheck import impossible_in
from mouldwright.planning.remedies import with_opening
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")
DAYS = build.opening(build.week("08:00-12:00 12:30-16:00"))
ANA, BEN = build.person("ana", ("wet",)), build.person("ben")


def made(process: Process, *people: Person, quantity: int = 1, **more: object) -> Shop:
    family = more.pop("mould", {})
    return build.shop(
        process,
        [build.order(quantity=quantity)],
        people=people or (ANA, BEN),
        moulds=[] if family is None else [build.moulds(**family)],
        hours=DAYS,
        **more,
    )


def held(*operations: object, **more: object) -> Process:
    names = [operation.name for operation in operations]
    return build.process(*operations, holds=[build.hold(names[0], names[-1])], **more)


def cast(cavities: int = 1, **mixed: object) -> Shop:
    """Return a pour; a part of 20 x 5 x 100 mm at 1.1 g/cm3 takes 11 g."""
    process = held(
        build.hands("mix", 4, per="batch", skill="wet", material="resin", pot_life_until="pour"),
        build.hands("pour", 12, skill="wet"),
        structure=CastStructure(matrix="resin"),
    )
    process = replace(process, holds=(build.hold("pour", "pour"),))
    return made(process, materials=[build.mixed(**mixed)], mould={"cavities": cavities})


def hot() -> Shop:
    recipe = Heat(hold_c=Decimal(80), hold_min=Decimal(300), ramp_c_per_h=Decimal(30))
    warm = build.alone("warm", recipe.minutes, heat=recipe)
    return made(held(build.hands("lay", 10), warm), mould={"greatest_c": Decimal(60)})


def kit(*operations: object) -> Shop:
    """Return sets of one part that are worked on once their part is ready."""
    sold = PartSet(
        key="kit", title="kit", parts=(SetPart(part="fin", process="pressed"),),
        operations=operations,
    )  # fmt: skip
    return build.shop(
        held(build.hands("lay", 10)),
        [build.order(part="kit", process=None)],
        people=[ANA, BEN],
        sets=[sold],
        moulds=[build.moulds()],
        hours=DAYS,
    )


def mended(*operations: object) -> Shop:
    """Return parts of which half are mended."""
    process = build.process(
        build.hands("lay", 10),
        build.hands("inspect", 5, per="part"),
        holds=[build.hold("lay", "lay")],
        reworks=[build.rework("0.5", *operations)],
    )
    return made(process, quantity=4)


def tooled(*operations: object) -> Shop:
    """Return a bench that makes its moulds itself and has none."""
    maker = build.process(*operations, key="maker")
    return build.shop(
        [held(build.hands("lay", 10)), maker],
        [build.order(quantity=3)],
        people=[ANA, BEN],
        moulds=[build.moulds(0, made_by="maker", life_pulls=50)],
        hours=DAYS,
    )


# What is impossible, and how each change that is told begins.
CASES: dict[str, tuple[Callable[[], Shop], list[str]]] = {
    # 08:00 to 12:00 is the longest opening there is; 300 min from then are 13:00.
    "a task longer than any opening": (
        lambda: made(held(build.hands("lay", 300, skill="wet"))),
        ["an opening of 300 min of ana, Mondays from 08:00 to 13:00", "letting it pause"],
    ),
    # 230 min of work and 10 + 20 of dressing are 260.
    "a task that gearing up makes longer than any opening": (
        lambda: made(
            held(build.hands("spray", 230, skill="wet")),
            sessions=[build.session("wet work", 10, 20, skill="wet")],
        ),
        ["an opening of 260 min of ana, Mondays from 08:00 to 12:20"],
    ),
    "a skill that nobody has": (
        lambda: made(held(build.hands("weld", 10, skill="welding"))),
        ["the skill welding learnt by ana", "1 more with the skill welding"],
    ),
    "too few people at once": (
        lambda: made(held(build.hands("lift", 10, people=3))),
        ["1 more"],
    ),
    "people who are never in together": (
        lambda: made(
            held(build.hands("lift", 10, people=2)),
            build.person("ana", (), build.week("06:00-12:00")),
            build.person("ben", (), build.week("12:00-18:00")),
        ),
        ["ana and ben both in Mondays from 06:00 to 12:00"],
    ),
    "a station of which there is none": (
        lambda: made(
            held(build.hands("press", 10, station="press")), stations=[build.station("press", 0)]
        ),
        ["one press"],
    ),
    "a station with too little room": (
        lambda: made(
            held(build.alone("bake", 60, station="oven")),
            stations=[build.station("oven", room=2)],
            mould={"cavities": 3},
        ),
        [
            "room for 3 in oven",
            "moulds fin-mould of 2 cavities in place of 3",
            "moulds fin-mould of 1 cavity in place of 3",
        ],
    ),
    "a station whose hours are too short": (
        lambda: made(
            held(build.alone("print", 600, station="printer")),
            stations=[build.station("printer", weekly=build.week("08:00-16:00"))],
        ),
        ["hours of 600 min of printer, Mondays from 08:00 to 18:00", "printer run at any hour"],
    ),
    "a station that is closed while anyone is in": (
        lambda: made(
            held(build.hands("press", 10, station="press")),
            stations=[build.station("press", weekly=build.week("18:00-20:00"))],
        ),
        ["press open whenever someone is in"],
    ),
    "two people at a station that is closed while they are in": (
        lambda: made(
            held(build.hands("press", 10, people=2, station="press")),
            stations=[build.station("press", weekly=build.week("18:00-20:00"))],
        ),
        ["press open whenever someone is in"],
    ),
    # Who is never in comes in on a Monday, as the shop opens.
    "nobody who is ever in": (
        lambda: made(held(build.hands("lay", 10)), build.person("ana", (), ((),) * 7)),
        ["an opening of 10 min of ana, Mondays from 08:00 to 08:10"],
    ),
    "a skill for a set that nobody has": (
        lambda: kit(build.hands("glue", 10, per="part", skill="gluing")),
        ["the skill gluing learnt by ana", "1 more with the skill gluing"],
    ),
    "work on a set longer than any opening": (
        lambda: kit(build.hands("glue", 300, per="part")),
        ["an opening of 300 min of ana, Mondays from 08:00 to 13:00", "letting it pause"],
    ),
    # As with coat and recoat below: 16:00 to 08:00, or both in one day.
    "a wait within a set that no hours allow": (
        lambda: kit(
            build.hands("glue", 10, per="part"),
            build.hands("pack", 10, per="part", wait_min=600, wait_max_min=720),
        ),
        ["a greatest wait of 960 min before pack", "everyone in for 140 min longer each day"],
    ),
    "a skill for mending that nobody has": (
        lambda: mended(build.hands("fill", 10, per="part", skill="filling")),
        ["the skill filling learnt by ana", "1 more with the skill filling"],
    ),
    "a skill for making moulds that nobody has": (
        lambda: tooled(build.hands("carve", 10, per="order", skill="carving")),
        ["the skill carving learnt by ana", "1 more with the skill carving"],
    ),
    # Mixed by noon, when who mixes goes, and poured from 13:00 to 13:12; or both in one opening of
    # 42 min more: mixed by 12:42.
    "a mix and a pour by people who never meet": (
        lambda: made(
            replace(
                held(
                    build.hands(
                        "mix", 4, per="batch", skill="wet", material="resin", pot_life_until="pour"
                    ),
                    build.hands("pour", 12, skill="dry"),
                    structure=CastStructure(matrix="resin"),
                ),
                holds=(build.hold("pour", "pour"),),
            ),
            build.person("ana", ("wet",), build.week("08:00-12:00")),
            build.person("ben", ("dry",), build.week("13:00-17:00")),
            materials=[build.mixed(pot_life=30)],
        ),
        ["a pot life of 72 min of resin", "everyone in for 42 min longer each day"],
    ),
    # Loaded by 16:00 it is cured at 04:00, 240 min before anyone is in; loaded by 19:00, 180 min
    # after closing, at 07:00, an hour before.
    "a cure that ends while nobody is in to take it out": (
        lambda: made(
            held(
                build.hands("load", 10),
                build.alone("cure", 720),
                build.hands("demould", 5, wait_max_min=60),
            )
        ),
        ["a greatest wait of 240 min before demould", "everyone in for 180 min longer each day"],
    ),
    "a press held through a cure and closed at night": (
        lambda: made(
            build.process(
                build.hands("close", 10),
                build.alone("cure", 720),
                build.hands("open", 5),
                holds=[build.hold("close", "open"), build.hold("close", "open", "press")],
            ),
            stations=[build.station("press", weekly=build.week("08:00-16:00"))],
        ),
        ["press run at any hour"],
    ),
    # A pull of two takes 22 g and 20 g may be mixed.
    "a mix too large for one pour": (
        lambda: cast(2, most=20),
        [
            "moulds fin-mould of 1 cavity in place of 2",
            "a resin whose sheet allows 22.0 g at once",
        ],
    ),
    "a pot life shorter than the work": (
        lambda: cast(pot_life=11),
        ["a pot life of 12 min of resin (a slower hardener)"],
    ),
    "more parts of a pull than a batch takes": (
        lambda: made(
            held(build.hands("lay", 10), build.alone("bake", 60, per="batch", batch_parts=2)),
            mould={"cavities": 3},
        ),
        ["a limit of 3 parts together at bake", "moulds fin-mould of 2", "moulds fin-mould of 1"],
    ),
    "heat that no mould stands": (
        hot,
        ["moulds fin-mould that stand 80 °C", "a recipe of 60 °C at most"],
    ),
    "no mould": (
        lambda: made(held(build.hands("lay", 10)), mould={"count": 0}),
        ["a mould"],
    ),
    # 2 moulds of 5 pulls are 10, and 21 are wanted: 11 more are 3 moulds.
    "moulds that do not last": (
        lambda: made(
            held(build.hands("lay", 10)), quantity=21, mould={"count": 2, "life_pulls": 5}
        ),
        ["3 more moulds fin-mould"],
    ),
    "a greatest wait below the least": (
        lambda: made(
            held(build.hands("lay", 10), build.hands("coat", 10, wait_min=60, wait_max_min=30))
        ),
        ["a greatest wait of 60 min"],
    ),
    # Coated by 16:00 and again at 08:00: 960 min; or both in one day, of 10 + 600 + 10 min: from
    # 08:00 to 18:20, 140 min after 16:00.
    "a wait that no hours allow": (
        lambda: made(
            held(build.hands("coat", 10), build.hands("recoat", 10, wait_min=600, wait_max_min=720))
        ),
        ["a greatest wait of 960 min before recoat", "everyone in for 140 min longer each day"],
    ),
}


def nearest_of(shop: Shop) -> Nearest:
    def recheck(changed: Shop):
        return impossible_in(build_problem(changed, now=NOW))

    return Nearest(problem=build_problem(shop, now=NOW), reasons=recheck(shop), recheck=recheck)


@pytest.mark.parametrize("case", CASES)
def test_what_is_impossible_is_told_with_the_changes_that_would_do(case: str) -> None:
    shop, expected = CASES[case][0](), CASES[case][1]
    with pytest.raises(HardLimit) as caught:
        make_plan(shop, now=NOW, seconds=0.1)
    (reason,) = caught.value.reasons
    nearest = nearest_of(shop)
    (known,) = nearest.reasons
    changes = nearest.changes(known)
    assert len(changes) == len(expected)
    for change, begins in zip(changes, expected, strict=True):
        assert change.title.startswith(begins)
        assert change.title in reason
    assert "would do" in reason


@pytest.mark.parametrize("case", CASES)
def test_every_change_that_is_told_lets_a_plan_be_made(case: str) -> None:
    nearest = nearest_of(CASES[case][0]())
    for change in nearest.changes(nearest.reasons[0]):
        assert make_plan(change.shop, now=NOW, seconds=0.05).checked


def test_one_minute_less_would_not_do() -> None:
    for minutes, does in ((300, True), (299, False)):
        opened = with_opening(DAYS.weekly, minutes)
        assert opened is not None
        person = replace(ANA, weekly=opened[0])
        shop = made(held(build.hands("lay", 300, skill="wet")), person)
        assert (impossible_in(build_problem(shop, now=NOW)) == ()) is does


def test_of_two_impossible_things_each_has_its_own_changes() -> None:
    process = held(build.hands("lay", 300, skill="wet"), build.hands("weld", 5, skill="welding"))
    with pytest.raises(HardLimit) as caught:
        make_plan(made(process), now=NOW, seconds=0.1)
    lay, weld = caught.value.reasons
    assert "an opening of 300 min of ana" in lay
    assert "the skill welding learnt by ana" in weld


def test_a_change_that_would_leave_something_else_impossible_is_not_told() -> None:
    # Who learns to lift is in for 4 h at most, and lifting takes 5: one more person would be too.
    process = held(build.hands("lift", 300, skill="lifting"))
    with pytest.raises(HardLimit) as caught:
        make_plan(made(process), now=NOW, seconds=0.1)
    (reason,) = caught.value.reasons
    assert reason.endswith("1 more would help.")
