"""A plan made in the middle of another keeps what has begun and finishes it."""

from __future__ import annotations

import math
from random import Random

import builders as build
import pytest
from random_shops import draw

from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan, Task
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")


def pressed(quantity: int, **moulds: object) -> Shop:
    process = build.process(
        build.hands("fill", 20, skill="wet"),
        build.alone("cure", 60),
        build.hands("demould", 5, skill="wet"),
        holds=[build.hold("fill", "demould")],
        conditioning=build.hands("wax", 10, per="conditioning", skill="wet"),
    )
    return build.shop(
        process,
        [build.order(quantity=quantity)],
        people=[build.person("ana", ("wet",))],
        moulds=[build.moulds(1, **moulds)],
    )


def begun(plan: Plan, minute: int) -> tuple[Task, ...]:
    return tuple(task for task in plan.tasks if task.start < minute)


@pytest.mark.parametrize("share", [0.2, 0.5, 0.8])
@pytest.mark.parametrize("seed", range(12))
def test_what_has_begun_stays_and_the_rest_is_planned_around_it(seed: int, share: float) -> None:
    drawn = draw(Random(seed))
    first = make_plan(drawn.shop, now=drawn.now, seconds=math.inf, work_limit=3)
    now = drawn.now + max(1, int(share * first.objective.finish_min))
    running = begun(first, now)
    # The checker inside judges that running tasks stand as they are and all else follows.
    second = make_plan(drawn.shop, now=now, running=running, seconds=math.inf, work_limit=3)
    assert set(running) <= set(second.tasks)
    assert len(second.tasks) >= len(running)


def test_a_cure_under_way_keeps_its_mould_and_is_not_begun_again() -> None:
    # By hand: fill 08:00 to 08:20, cure to 09:20. Planned anew at 08:30, the second pull
    # waits until the first is out at 09:25, and ends 85 min later: 10:50, 140 from 08:30.
    shop = pressed(2)
    first = make_plan(shop, now=NOW, seconds=0.2)
    second = make_plan(shop, now=NOW + 30, running=begun(first, NOW + 30), seconds=0.2)
    fills = [task.start - NOW for task in second.tasks if task.operation == "fill"]
    assert fills == [0, 85]
    assert second.objective.finish_min == 140


def test_a_pull_under_way_counts_towards_conditioning() -> None:
    # By hand: conditioned every 2 pulls, 1 pull since: the pull under way is the second,
    # so wax comes before the next.
    shop = pressed(2, since=1, conditioned_every_pulls=2)
    first = make_plan(shop, now=NOW, seconds=0.2)
    second = make_plan(shop, now=NOW + 30, running=begun(first, NOW + 30), seconds=0.2)
    assert [task.operation for task in second.tasks] == [
        "fill", "cure", "demould", "wax", "fill", "cure", "demould",
    ]  # fmt: skip


def test_an_earlier_step_that_is_not_told_is_taken_as_done() -> None:
    shop = pressed(1)
    first = make_plan(shop, now=NOW, seconds=0.2)
    cure = tuple(task for task in first.tasks if task.operation == "cure")
    second = make_plan(shop, now=NOW + 30, running=cure, seconds=0.2)
    assert [task.operation for task in second.tasks] == ["cure", "demould"]
