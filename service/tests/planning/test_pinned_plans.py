"""Pinned tasks stay to the minute; what a move breaks is said, worked here by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from random import Random

import builders as build
import pytest
from random_shops import draw

from mouldwright.domain.errors import HardLimit, InvalidInput
from mouldwright.domain.shop import Shop
from mouldwright.planning.moving import Move, judge_move
from mouldwright.planning.pinned import with_what_goes_before
from mouldwright.planning.plan import Plan, Task
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")


def pressed(quantity: int, moulds: int = 1) -> Shop:
    """Fill 20, cure 60, demould 5, trim 10 within half an hour; one person, 08:00 to 16:00."""
    process = build.process(
        build.hands("fill", 20),
        build.alone("cure", 60),
        build.hands("demould", 5),
        build.hands("trim", 10, per="part", wait_max_min=30),
        holds=[build.hold("fill", "demould")],
    )
    return build.shop(
        process,
        [build.order(quantity=quantity)],
        people=[
            build.person("ana", (), build.week("08:00-16:00", sat="08:00-16:00", sun="08:00-16:00"))
        ],
        moulds=[build.moulds(moulds)],
    )


def place(plan: Plan, operation: str, pull: int) -> int:
    return next(
        at
        for at, task in enumerate(plan.tasks)
        if task.operation == operation and task.members[0].pulls == (pull,)
    )


def starts(tasks: tuple[Task, ...], operation: str) -> list[int]:
    return [task.start - NOW for task in tasks if task.operation == operation]


@pytest.mark.parametrize("seed", range(20))
def test_a_pin_and_all_before_it_stay_and_no_rule_is_broken(seed: int) -> None:
    rng = Random(seed)
    drawn = draw(rng)
    first = make_plan(drawn.shop, now=drawn.now, seconds=math.inf, work_limit=2)
    pin = rng.choice([task for task in first.tasks if task.members])
    kept = with_what_goes_before(drawn.shop, first.tasks, [pin])
    # The checker inside judges pinned tasks like any other: none is "under way".
    second = make_plan(drawn.shop, now=drawn.now, seconds=math.inf, work_limit=2, pinned=kept)
    assert set(kept) <= set(second.tasks)


@pytest.mark.parametrize("seed", range(20))
def test_a_move_that_breaks_nothing_can_be_pinned(seed: int) -> None:
    rng = Random(seed)
    drawn = draw(rng)
    first = make_plan(drawn.shop, now=drawn.now, seconds=math.inf, work_limit=2)
    able = [at for at, task in enumerate(first.tasks) if task.members]
    for at in rng.sample(able, min(6, len(able))):
        for later in (0, 5, 30):
            move = Move(task=at, start=first.tasks[at].start + later, with_rest=later == 30)
            verdict = judge_move(drawn.shop, first, move, now=drawn.now)
            if later == 0:
                assert not verdict.breaks
            if not verdict.breaks:
                kept = with_what_goes_before(drawn.shop, first.tasks, verdict.moved)
                second = make_plan(
                    drawn.shop, now=drawn.now, seconds=math.inf, work_limit=1, pinned=kept
                )
                assert set(verdict.moved) <= set(second.tasks)


def test_a_pinned_pull_waits_for_its_minute_and_what_follows_it_comes_after() -> None:
    # By hand: the first pull leaves its mould at 08:00 + 20 + 60 + 5 = 09:25 and is trimmed by
    # 09:55 at the latest. The second is put at 10:00, so that it is out at 11:25 and trimmed
    # by 11:35, 215 min from 08:00.
    shop = pressed(2)
    first = make_plan(shop, now=NOW, seconds=0.2)
    verdict = judge_move(
        shop, first, Move(task=place(first, "fill", 2), start=NOW + 120, with_rest=True), now=NOW
    )
    assert verdict.breaks == ()
    assert [after.finish - NOW for _, after in verdict.orders] == [215]
    kept = with_what_goes_before(shop, first.tasks, verdict.moved)
    second = make_plan(shop, now=NOW, seconds=0.2, pinned=kept)
    assert starts(second.tasks, "fill") == [0, 120]
    assert second.objective.finish_min == 215


def test_a_cure_goes_with_the_filling_it_follows_at_once() -> None:
    shop = pressed(1)
    plan = make_plan(shop, now=NOW, seconds=0.2)
    # By hand: filled at 08:30, cured from 08:50 to 09:50; taken out at 09:20, 30 min too soon.
    verdict = judge_move(shop, plan, Move(task=place(plan, "fill", 1), start=NOW + 30), now=NOW)
    assert [task.operation for task in verdict.moved] == ["fill", "cure"]
    assert [words for words in verdict.breaks if "starts 30 min before" in words]


def test_a_window_that_is_missed_is_told_by_how_much() -> None:
    shop = pressed(1)
    plan = make_plan(shop, now=NOW, seconds=0.2)
    # By hand: out at 09:25 and trimmed within 30 min; at 10:35 it is 40 min over.
    trim = next(at for at, task in enumerate(plan.tasks) if task.operation == "trim")
    verdict = judge_move(shop, plan, Move(task=trim, start=NOW + 155), now=NOW)
    assert len(verdict.breaks) == 1
    assert verdict.breaks[0].endswith("waiting 70 min, 40 more than 30")


def test_a_busy_mould_busy_hands_closed_hours_and_the_past_are_named() -> None:
    shop = pressed(2)
    plan = make_plan(shop, now=NOW, seconds=0.2)
    fill = place(plan, "fill", 2)

    def said(start: int, now: int = NOW) -> str:
        return "\n".join(judge_move(shop, plan, Move(task=fill, start=start), now=now).breaks)

    assert "fin-mould 1 is in two places" in said(NOW + 40)
    assert "ana is in two places" in said(NOW + 10)
    assert "outside the hours of ana" in said(NOW + 9 * 60)
    assert "before now" in said(NOW + 40, now=NOW + 60)


def test_a_pull_moves_to_another_mould_whole() -> None:
    shop = pressed(2, moulds=2)
    plan = make_plan(shop, now=NOW, seconds=0.2)
    fill = place(plan, "fill", 2)
    assert plan.tasks[fill].mould == "fin-mould 2"
    verdict = judge_move(
        shop, plan, Move(task=fill, start=plan.tasks[fill].start, mould="fin-mould 1"), now=NOW
    )
    assert {task.mould for task in verdict.moved} == {"fin-mould 1"}
    assert sorted(task.operation for task in verdict.moved) == ["cure", "demould", "fill"]
    assert any("fin-mould 1 is in two places" in words for words in verdict.breaks)


def test_what_is_no_task_mould_or_person_is_refused() -> None:
    shop = pressed(1)
    plan = make_plan(shop, now=NOW, seconds=0.2)
    with pytest.raises(InvalidInput) as refused:
        judge_move(shop, plan, Move(task=0, start=NOW, mould="press 1", people=("eve",)), now=NOW)
    assert [fault.path for fault in refused.value.faults] == ["mould", "people"]
    with pytest.raises(InvalidInput):
        judge_move(shop, plan, Move(task=99, start=NOW), now=NOW)


def test_pins_that_contradict_each_other_are_a_limit_and_no_plan() -> None:
    shop = pressed(2)
    plan = make_plan(shop, now=NOW, seconds=0.2)
    fills = [task for task in plan.tasks if task.operation == "fill"]
    clash = [replace(task, spans=((NOW, NOW + 20),)) for task in fills]
    kept = with_what_goes_before(shop, plan.tasks, clash)
    with pytest.raises(HardLimit):
        make_plan(shop, now=NOW, seconds=0.2, pinned=kept)


def test_work_that_pauses_is_laid_out_over_the_hours() -> None:
    # By hand: an hour of sanding that may pause, moved from 08:00 to 15:30, stops at 16:00
    # when the bench closes and ends at 08:30 the next morning.
    shop = build.shop(
        build.process(build.hands("sand", 60, per="part", interruptible=True)),
        [build.order(quantity=1)],
        people=[
            build.person("ana", (), build.week("08:00-16:00", sat="08:00-16:00", sun="08:00-16:00"))
        ],
    )
    plan = make_plan(shop, now=NOW, seconds=0.2)
    verdict = judge_move(shop, plan, Move(task=0, start=NOW + 450), now=NOW)
    assert verdict.breaks == ()
    assert [(a - NOW, b - NOW) for a, b in verdict.moved[0].spans] == [(450, 480), (1440, 1470)]
