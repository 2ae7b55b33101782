"""A finish can be followed back by hand, task by task, and every idle minute has its reason."""

from __future__ import annotations

import math
from random import Random

import builders as build
import pytest
from random_shops import draw

from mouldwright.domain.errors import NotFound
from mouldwright.domain.shop import Shop
from mouldwright.planning.explain import Explainer
from mouldwright.planning.plan import Member, Plan, Task
from mouldwright.planning.reasons import Explanation, Standing
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")
DAYS = build.opening(build.week("08:00-16:00"))


def clock(minute: int) -> str:
    """Return hours and minutes after Monday midnight; hours go on past 24."""
    hours, rest = divmod(minute - NOW + 480, 60)
    return f"{hours:02}:{rest:02}"


def told(why: Explanation, plan: Plan) -> list[tuple[str, str, str, str]]:
    """Return the chain as written down by hand: from, to, what, why no sooner."""
    return [
        (
            clock(link.start),
            clock(link.end),
            link.kind if link.task is None else plan.tasks[link.task].operation,
            "" if link.cause is None else link.cause.kind,
        )
        for link in why.chain.links
    ]


def standing(shop: Shop, plan: Plan, name: str) -> Standing:
    return next(s for s in Explainer(shop, plan).standings() if s.name == name)


def overnight() -> tuple[Shop, Plan]:
    """Return one mould, two pulls by hand: fill 10, cure 12 h, demould 5.

    Monday 08:00 fill to 08:10, cured 20:10, out Tuesday 08:00 to 08:05, filled again to 08:15,
    cured 20:15, out Wednesday 08:00 to 08:05.
    """
    process = build.process(
        build.hands("fill", 10),
        build.alone("cure", 720),
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
    return shop, make_plan(shop, now=NOW, seconds=0.2)


def test_a_chain_goes_back_through_cure_night_and_mould() -> None:
    shop, plan = overnight()
    why = Explainer(shop, plan).why("1")
    assert told(why, plan) == [
        ("56:00", "56:05", "demould", "follows"),
        ("44:15", "56:00", "closed", ""),
        ("32:15", "44:15", "cure", "follows"),
        ("32:05", "32:15", "fill", "mould"),
        ("32:00", "32:05", "demould", "follows"),
        ("20:10", "32:00", "closed", ""),
        ("08:10", "20:10", "cure", "follows"),
        ("08:00", "08:10", "fill", "now"),
    ]
    assert why.chain.origin == NOW
    # Two cures of 12 h, nights of 11:50 and 11:45, and half an hour of hands: 48:05 in all.
    assert why.headline == (
        "Ready Wed 3 Mar 08:05. Of the 2 d 5 min before: cures and machines (1 d); "
        "closed hours (23 h 35 min); work on the order (30 min)."
    )


def test_what_a_mould_and_a_person_idle_for() -> None:
    shop, plan = overnight()
    # 48:05 in all. Ana works 10 + 5 + 10 + 5; her hours are closed 16:00 to 08:00 twice; the
    # rest of Monday and of Tuesday she waits for the cure.
    ana = standing(shop, plan, "ana")
    assert ana.minutes == {"hands": 30, "closed": 1920, "cure": 2885 - 30 - 1920}
    # The mould: cures of 720; what is left of the nights is closed.
    mould = standing(shop, plan, "fin-mould 1")
    assert mould.minutes == {"hands": 30, "alone": 1440, "closed": 710 + 705}
    assert mould.kept_min == 2885


def test_a_mix_that_must_be_used_up_is_held_up_by_what_uses_it() -> None:
    # Mix 5 and pour 10 within a pot life of 20. Ana mixes; the pour takes Ana and Ben, and Ben
    # is busy with the other order until 09:00, so the mix may not begin before 08:40: then the
    # pour at 09:00 ends at 09:10, 25 after the mix at 08:45. That is too long: 08:45 + 5.
    process = build.process(
        build.hands("mix", 5, skill="mix", material="resin", pot_life_until="pour"),
        build.hands("pour", 10, people=2, skill="pour"),
    )
    other = build.process(build.hands("sand", 60, per="part", skill="sand"), key="sanded")
    shop = build.shop(
        [process, other],
        [build.order(), build.order("2", process="sanded")],
        people=[build.person("ana", ("mix", "pour")), build.person("ben", ("pour", "sand"))],
        materials=[build.mixed(pot_life=20)],
        hours=DAYS,
    )
    plan = build.plan(
        shop,
        NOW,
        [
            build.task("sand", NOW, NOW + 60, "ben", part_id=1, order="2", process="sanded"),
            build.task("mix", NOW + 45, NOW + 50, "ana", pull=1, mixed_g=20.0),
            build.task("pour", NOW + 60, NOW + 70, "ana", "ben", pull=1),
        ],
        starts={"1": 1, "2": 1},
    )
    why = Explainer(shop, plan).why("1")
    assert told(why, plan) == [
        ("09:00", "09:10", "pour", "hands"),
        ("08:00", "09:00", "sand", "now"),
    ]
    assert "ben is busy with sand of order 2 part 1 until Mon 1 Mar 09:00" in (why.stretches[0].why)


def test_what_does_not_fit_before_closing_waits_for_the_morning() -> None:
    # Trim 30 is ready at 15:45 on Monday; hours close at 16:00.
    process = build.process(
        build.hands("fill", 465, per="part"), build.hands("trim", 30, per="part")
    )
    shop = build.shop(process, [build.order()], people=[build.person("ana")], hours=DAYS)
    plan = make_plan(shop, now=NOW, seconds=0.2)
    assert told(Explainer(shop, plan).why("1"), plan) == [
        ("32:00", "32:30", "trim", "follows"),
        ("15:45", "32:00", "closed", ""),
        ("08:00", "15:45", "fill", "now"),
    ]
    # Of those 16 h 15 min a quarter of an hour was open, and too short.
    assert standing(shop, plan, "ana").minutes == {"hands": 495, "closed": 960, "too short": 15}


def test_a_pause_over_night_is_told_apart_from_the_work() -> None:
    # Ten hours of sanding that may pause: eight on Monday to 16:00, two on Tuesday to 10:00.
    process = build.process(build.hands("sand", 600, per="part", interruptible=True))
    shop = build.shop(process, [build.order()], people=[build.person("ana")], hours=DAYS)
    plan = make_plan(shop, now=NOW, seconds=0.2)
    why = Explainer(shop, plan).why("1")
    assert told(why, plan) == [
        ("32:00", "34:00", "sand", ""),
        ("16:00", "32:00", "closed", ""),
        ("08:00", "16:00", "sand", "now"),
    ]
    assert [share.minutes for share in why.shares] == [960, 600]


def test_a_wait_that_nothing_forces_is_said_to_be_that() -> None:
    process = build.process(build.hands("sand", 30, per="part"))
    shop = build.shop(process, [build.order()], people=[build.person("ana")], hours=DAYS)
    late = build.task("sand", NOW + 60, NOW + 90, "ana", part_id=1)
    plan = build.plan(shop, NOW, [late], starts={"1": 1})
    assert told(Explainer(shop, plan).why("1"), plan) == [
        ("09:00", "09:30", "sand", "now"),
        ("08:00", "09:00", "not forced", ""),
    ]
    assert standing(shop, plan, "ana").minutes == {"hands": 30, "not forced": 60}


def test_a_room_that_has_to_settle_is_named() -> None:
    # Sanding 08:00 to 09:00 in the only room, dust settles 30 min, lay-up 09:30 to 10:10.
    dusty = build.process(
        build.hands("sand", 60, per="part", skill="finish", in_room="bench", room_state="dust"),
        key="sanded",
    )
    wet = build.process(
        build.hands("lay", 40, per="part", skill="wet", in_room="bench", room_state="wet"),
        key="laid",
    )
    shop = build.shop(
        [dusty, wet],
        [
            build.order("1", 1, process="sanded", weight=9, due=build.instant("2027-03-01 09:00")),
            build.order("2", 1, process="laid"),
        ],
        people=[build.person("ana", ["finish"]), build.person("ben", ["wet"])],
        rooms=[build.room("bench", 30, dust=None, wet=None)],
        hours=DAYS,
    )
    plan = make_plan(shop, now=NOW, seconds=0.2)
    assert told(Explainer(shop, plan).why("2"), plan) == [
        ("09:30", "10:10", "lay", "room"),
        ("09:00", "09:30", "least wait", ""),
        ("08:00", "09:00", "sand", "now"),
    ]
    assert standing(shop, plan, "ben").minutes == {"hands": 40, "room": 90}


def test_going_in_and_coming_out_are_told() -> None:
    # Gear up 08:00 to 08:10, lay up to 08:40, clean down to 08:55, trim to 09:15.
    process = build.process(
        build.hands("lay", 30, per="part", skill="wet"),
        build.hands("trim", 20, per="part", skill="finish"),
    )
    shop = build.shop(
        process,
        [build.order()],
        people=[build.person("ana", ["wet", "finish"])],
        sessions=[build.session("wet-work", 10, 15, skill="wet")],
        hours=DAYS,
    )
    plan = make_plan(shop, now=NOW, seconds=0.2)
    assert told(Explainer(shop, plan).why("1"), plan) == [
        ("08:55", "09:15", "trim", "hands"),
        ("08:40", "08:55", "session", ""),
        ("08:10", "08:40", "lay", "now"),
        ("08:00", "08:10", "session", ""),
    ]
    assert standing(shop, plan, "ana").minutes == {"hands": 75}


def test_green_parts_wait_for_their_age() -> None:
    # Fill 10, cure 60, demould 5: out at 09:15; sanding two hours later, 11:15 to 11:35.
    process = build.process(
        build.hands("fill", 10),
        build.alone("cure", 60),
        build.hands("demould", 5),
        build.hands("sand", 20, per="part", least_age_h=2),
        holds=[build.hold("fill", "demould")],
    )
    shop = build.shop(
        process, [build.order()], people=[build.person("ana")], moulds=[build.moulds(1)],
        hours=DAYS,
    )  # fmt: skip
    plan = make_plan(shop, now=NOW, seconds=0.2)
    assert told(Explainer(shop, plan).why("1"), plan)[:3] == [
        ("11:15", "11:35", "sand", "age"),
        ("09:15", "11:15", "least wait", ""),
        ("09:10", "09:15", "demould", "follows"),
    ]


def test_an_order_the_plan_does_not_have_is_refused() -> None:
    shop, plan = overnight()
    with pytest.raises(NotFound):
        Explainer(shop, plan).why("77")


def ids(task: Task) -> set[tuple[str, str, int]]:
    def of(member: Member) -> set[tuple[str, str, int]]:
        pulls = {(member.order, "pull", p) for p in member.pulls}
        return pulls | {(member.order, "part", p) for p in member.parts}

    return set().union(*(of(member) for member in task.members))


@pytest.mark.parametrize("seed", range(40))
def test_every_chain_is_gapless_and_every_idle_minute_counted(seed: int) -> None:
    drawn = draw(Random(seed))
    plan = make_plan(drawn.shop, now=drawn.now, seconds=math.inf, work_limit=3)
    explainer = Explainer(drawn.shop, plan)
    for outcome in plan.orders:
        chain = explainer.why(outcome.number).chain
        # From the finish to an origin that nothing went before, without a hole.
        assert chain.links[0].end == chain.finish == outcome.finish
        for later, link in zip(chain.links, chain.links[1:], strict=False):
            assert link.end == later.start
            assert link.start <= link.end
        assert chain.links[-1].start == chain.origin
        releases = [order.release for order in drawn.shop.orders]
        origins = {drawn.now} | {int(r.timestamp() // 60) for r in releases if r is not None}
        assert chain.origin in origins
        for link in chain.links:
            if link.task is None or link.cause is None or link.cause.task is None:
                continue
            # Each cause is there in the plan: the same hands, mould or unit, or the same work.
            task, cause = plan.tasks[link.task], link.cause
            assert (link.end - link.start) <= sum(b - a for a, b in task.spans)
            behind = plan.tasks[cause.task]
            assert link.start == task.start
            assert behind.start <= task.start
            if cause.through is not None:
                continue
            assert behind.end == cause.ended <= task.start
            if cause.kind == "hands":
                assert cause.resource in task.people
                assert cause.resource in behind.people
            elif cause.kind in ("mould", "station"):
                assert cause.resource in (behind.mould, *behind.stations)
            elif task.process == behind.process and task.members:
                assert ids(task) & ids(behind) or task.process in drawn.shop.sets
    for standing in explainer.standings():
        assert sum(standing.minutes.values()) == standing.horizon_min
        assert all(minutes > 0 for minutes in standing.minutes.values())
