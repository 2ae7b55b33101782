"""Pins as they are kept, and plans that keep them; the demo bench, planned for real."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from promise_bench import KEY, NOW, PromiseBench

from mouldwright.domain.errors import Conflict, InvalidInput
from mouldwright.domain.hours.opening import minute_of
from mouldwright.planning.plan import Plan
from mouldwright.planning.run import make_plan
from mouldwright.usecases import board
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.errors import Stale, Unknown
from mouldwright.usecases.kept_run import KeptPlan
from mouldwright.usecases.runs import Tending, ask_for_plan, publish
from mouldwright.usecases.services import Limits, Services

LEASE = timedelta(seconds=30)
START = minute_of(NOW)


class Sequence:
    """Keys that differ."""

    def __init__(self) -> None:
        self.drawn = 0

    def __call__(self) -> str:
        self.drawn += 1
        return f"{self.drawn:016d}"


@pytest.fixture
def services(bench: PromiseBench) -> Services:
    return Services(
        units=bench.units, written=bench.written, clock=lambda: NOW, chance=Sequence(),
        limits=Limits(), alive=lambda: None, called=(), finish=bench.finish,
    )  # fmt: skip


@pytest.fixture
def held(bench: PromiseBench) -> KeptPlan:
    """The plan that holds: the demo's orders, built once and not searched."""
    return publish_new(bench)


def publish_new(bench: PromiseBench) -> KeptPlan:
    read = read_booked(bench.units, KEY, bench.written)
    plan = make_plan(read.without(), now=START, seconds=0.0)
    return bench.done(lambda unit: unit.plans.keep(plan, basis=read.basis, run="r", at=NOW))


def tend(bench: PromiseBench, *, publishes: bool = True):
    """Carry one run to its end as a worker would."""
    asked = bench.done(
        ask_for_plan, why="a test", now=NOW, chance=Sequence(), seconds=0.05, publishes=publishes
    )
    run = bench.queue.claim("w", NOW, LEASE)
    assert run is not None
    assert run.id == asked.id
    tending = Tending(
        bench.units, bench.queue, written=bench.written, make_plan=make_plan,
        clock=lambda: NOW, chance=Sequence(),
    )  # fmt: skip
    return tending.tend(run, cancelled=lambda: False, lost=lambda: False)


def newest(bench: PromiseBench) -> KeptPlan:
    with bench.units.read(KEY) as unit:
        return unit.plans.newest()


def last_demould(plan: Plan) -> int:
    """Return the place of the last pressed pull taken out of its mould, all of it to come."""
    able = [
        at for at, task in enumerate(plan.tasks)
        if (task.operation, task.process) == ("demould", "pressed")
    ]  # fmt: skip
    return able[-1]


def test_what_is_pinned_where_it_stands_is_in_every_plan_after(bench, services, held) -> None:
    place = last_demould(held.plan)
    task = held.plan.tasks[place]
    pinned = board.pin(
        services, KEY, held.version, board.Move(task=place, start=task.start), by="a planner"
    )
    assert pinned.tasks == (task,)
    assert board.pins_of(services, KEY) == (pinned,)
    # An order that would be planned first comes in between.
    bench.booked()
    ended = tend(bench)
    assert ended.state == "done"
    after = newest(bench)
    assert after.version == held.version + 1
    assert task in after.plan.tasks
    assert after.plan.checked


def test_a_task_pinned_later_is_later_in_the_next_plan(bench, services, held) -> None:
    place = last_demould(held.plan)
    start = held.plan.tasks[place].start + 24 * 60
    move = board.Move(task=place, start=start, with_rest=True)
    moved = board.pin(services, KEY, held.version, move, by="a planner").tasks
    assert moved[0].start == start
    assert len(moved) > 1
    tend(bench)
    assert set(moved) <= set(newest(bench).plan.tasks)


def test_a_pin_makes_what_was_planned_before_out_of_date(bench, services, held) -> None:
    ended = tend(bench, publishes=False)
    assert (ended.state, ended.plan_version) == ("done", None)
    place = last_demould(held.plan)
    task = held.plan.tasks[place]
    pinned = board.pin(services, KEY, held.version, board.Move(task=place, start=task.start), by="")
    with pytest.raises(Conflict):
        bench.done(publish, ended.id, now=NOW)
    board.unpin(services, KEY, pinned.id)
    assert board.pins_of(services, KEY) == ()
    with pytest.raises(Unknown):
        board.unpin(services, KEY, pinned.id)


def test_a_plan_to_be_looked_at_holds_only_once_it_is_published(bench, services, held) -> None:
    ended = tend(bench, publishes=False)
    assert newest(bench) == held
    published = bench.done(publish, ended.id, now=NOW)
    assert published.version == held.version + 1
    assert newest(bench).run == ended.id


def test_pinning_again_takes_the_first_pin_out(bench, services, held) -> None:
    place = last_demould(held.plan)
    start = held.plan.tasks[place].start
    board.pin(services, KEY, held.version, board.Move(task=place, start=start), by="")
    later = board.Move(task=place, start=start + 24 * 60, with_rest=True)
    second = board.pin(services, KEY, held.version, later, by="")
    assert board.pins_of(services, KEY) == (second,)


def test_what_no_plan_can_keep_is_not_pinned_and_is_said(bench, services, held) -> None:
    # By hand: at three at night nobody is there to take a part out.
    place = last_demould(held.plan)
    night = held.plan.tasks[place].start // 1440 * 1440 + 1440 + 3 * 60
    with pytest.raises(Conflict, match="outside the hours"):
        board.pin(services, KEY, held.version, board.Move(task=place, start=night), by="")
    with pytest.raises(Conflict, match="before now"):
        board.pin(services, KEY, held.version, board.Move(task=place, start=START - 60), by="")
    assert board.pins_of(services, KEY) == ()


def test_trying_keeps_nothing(bench, services, held) -> None:
    place = last_demould(held.plan)
    task = held.plan.tasks[place]
    verdict = board.judge(services, KEY, held.version, board.Move(task=place, start=task.start + 1))
    assert verdict.moved[0].start == task.start + 1
    assert board.pins_of(services, KEY) == ()
    assert newest(bench) == held


def test_a_pin_in_a_plan_that_no_longer_holds_is_refused(bench, services, held) -> None:
    place = last_demould(held.plan)
    move = board.Move(task=place, start=held.plan.tasks[place].start)
    publish_new(bench)
    with pytest.raises(Stale):
        board.pin(services, KEY, held.version, move, by="")
    with pytest.raises(Unknown):
        board.pin(services, KEY, 99, move, by="")
    with pytest.raises(InvalidInput):
        board.judge(services, KEY, held.version, board.Move(task=10**6, start=START))


def test_a_pin_of_an_order_that_is_no_longer_open_binds_nothing(bench, services, held) -> None:
    place = last_demould(held.plan)
    task = held.plan.tasks[place]
    board.pin(services, KEY, held.version, board.Move(task=place, start=task.start), by="")
    order = task.members[0].order
    with bench.units.read(KEY) as unit:
        shop = bench.written.read(unit.shops.now().document)
    bench.change_shop(orders=tuple(each for each in shop.orders if each.number != order))
    ended = tend(bench)
    assert ended.state == "done"
    assert all(m.order != order for each in newest(bench).plan.tasks for m in each.members)


def test_plans_are_compared_task_by_task_and_order_by_order(bench, services, held) -> None:
    plan = held.plan
    last = max(plan.tasks, key=lambda task: task.end)
    moved = replace(last, spans=tuple((a + 60, b + 60) for a, b in last.spans))
    tasks = tuple(moved if task is last else task for task in plan.tasks)
    order = next(each for each in plan.orders if each.number == last.members[0].order)
    orders = tuple(
        replace(each, finish=each.finish + 60) if each is order else each for each in plan.orders
    )
    changes = board.changes_between(plan, replace(plan, tasks=tasks, orders=orders))
    assert changes.moved == ((last, moved),)
    assert (changes.new, changes.gone) == ((), ())
    assert [(a.finish, b.finish) for a, b in changes.orders] == [(order.finish, order.finish + 60)]
    assert changes.same == len([t for t in plan.tasks if t.members]) - 1
