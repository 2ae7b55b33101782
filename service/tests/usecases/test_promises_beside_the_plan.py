"""What a quote promises is planned beside the plan that holds, as trying the same order is."""

from __future__ import annotations

import math
from dataclasses import replace

import builders as build
import pytest
from bench_log import entry, work
from promise_bench import DEMO, KEY, NOW, WANTED, PromiseBench, promise_bench

from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.record.log import Happening
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Task
from mouldwright.planning.run import make_plan
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.held import Held
from mouldwright.usecases.kept_pin import Pin
from mouldwright.usecases.kept_run import KeptPlan
from mouldwright.usecases.orders import look_again
from mouldwright.usecases.planned import finish_first, finish_on_top
from mouldwright.usecases.quotes import Wanted, worked_out_again
from mouldwright.usecases.services import Limits, Services
from mouldwright.usecases.try_order import try_order_of

START = build.at("2027-03-01 08:00")


def three_hours_each(release: str | None) -> Shop:
    """Return one person, in from 8 to 18, and one part of three hours that is booked."""
    begins = None if release is None else build.instant(release)
    return build.shop(
        build.process(build.hands("sand", 180, per="part")),
        [build.order(quantity=1, due=build.instant("2027-03-05 16:00"), release=begins)],
        people=[build.person("ana")],
        hours=build.opening(build.week("08:00-18:00")),
    )


def beside_ten() -> tuple[Shop, Held]:
    """Return that shop, and a plan in which the part is sanded from 10 to 13."""
    plan = make_plan(three_hours_each("2027-03-01 10:00"), now=START, seconds=0.0)
    assert [(local(t.start, "UTC").hour, local(t.end, "UTC").hour) for t in plan.tasks] == [
        (10, 13)
    ]
    return three_hours_each(None), Held(version=1, plan=plan)


def planned(ready: ReadyBy) -> int:
    """Return the plan's own minute; runs of it begin sooner where hands are free."""
    assert ready.odds is not None
    return ready.odds.planned


def test_what_is_hurried_goes_before_what_is_planned_and_not_begun() -> None:
    shop, held = beside_ten()
    assert planned(finish_first(shop, "fin", "pressed", 1, START, held)) == START + 180
    # At half past ten the part is in hand: it is not laid aside.
    later = START + 150
    assert planned(finish_first(shop, "fin", "pressed", 1, later, held)) == START + 480


def test_what_is_pinned_is_kept_even_by_what_is_hurried() -> None:
    shop, held = beside_ten()
    assert held.plan is not None
    pin = Pin(id="p", tasks=held.plan.tasks, pinned_at=NOW, by="a test")
    pinned = replace(held, pins=(pin,))
    assert planned(finish_first(shop, "fin", "pressed", 1, START, pinned)) == START + 480


# The demo bench, planned for real.


@pytest.fixture
def planned_bench(tmp_path) -> PromiseBench:
    found = promise_bench(tmp_path, DEMO)
    found.finish = finish_on_top  # type: ignore[assignment]
    return found


def publish(bench: PromiseBench, *, seed: int = 1) -> KeptPlan:
    read = read_booked(bench.units, KEY, bench.written)
    plan = make_plan(
        read.without(), now=minute_of(NOW), seconds=math.inf, work_limit=10 * seed, seed=seed
    )
    return bench.done(lambda unit: unit.plans.keep(plan, basis=read.basis, run="r", at=NOW))


def services_of(bench: PromiseBench) -> Services:
    return Services(
        units=bench.units, written=bench.written, clock=lambda: NOW, chance=lambda: "",
        limits=Limits(), alive=lambda: None, called=(), finish=finish_on_top,
    )  # fmt: skip


def note(bench: PromiseBench, *entries) -> None:
    def keep(unit) -> None:
        for each in entries:
            unit.log.add(each, moves_plan=True)

    bench.done(keep)


def first_step(plan: KeptPlan) -> Task:
    return min((t for t in plan.plan.tasks if t.people and t.members), key=lambda t: t.start)


def tell_of_the_bench(bench: PromiseBench, plan: KeptPlan) -> None:
    """Note that the first step has begun, and that a mould is lost."""
    task = first_step(plan)
    member = task.members[0]
    begun = work(
        task.operation, mould=task.mould, pulls=member.pulls, parts=member.parts,
        order=member.order, process=task.process, part=task.part,
    )  # fmt: skip
    note(
        bench,
        entry(Happening.STARTED, 7.5, task=begun, people=task.people),
        entry(Happening.MOULD_LOST, 7.75, mould=DEMO.moulds["stabiliser-pressed"].name(
            DEMO.moulds["stabiliser-pressed"].moulds[0]
        )),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("key", "process", "has_log"),
    [
        ("stabiliser", "pressed", False),
        ("stabiliser", "pressed", True),
        ("sensor-fin", "cast-fin", True),
    ],
)
def test_a_quote_and_trying_its_order_say_one_date_and_one_chance(
    planned_bench, key, process, has_log
):
    kept = publish(planned_bench)
    if has_log:
        tell_of_the_bench(planned_bench, kept)
    wanted = Wanted(part=key, process=process, quantity=12)
    quoted = planned_bench.draft(wanted).quote
    assert quoted.finish is not None
    asked = {"part": key, "process": process, "quantity": 12}
    free = try_order_of(services_of(planned_bench), KEY, **asked, by=None)
    assert free.promise is not None
    assert (free.promise.finish, free.promise.chance) == (quoted.finish, float(quoted.finish_odds))
    assert free.quote_promise is None
    # Wanted by the very minute that is promised, it has the chance that the promise has.
    by = local(quoted.finish, DEMO.zone).isoformat()
    dated = try_order_of(services_of(planned_bench), KEY, **asked, by=by)
    assert dated.chance == float(quoted.finish_odds)
    assert dated.promise is not None
    assert (dated.promise.finish, dated.promise.chance) == (quoted.finish, dated.chance)
    assert (dated.late_min, dated.moved) == (0, free.moved)


def test_a_quote_is_worked_out_again_by_the_plan_the_log_and_the_pins_it_was_made_by(
    planned_bench,
):
    kept = publish(planned_bench)
    task = max((t for t in kept.plan.tasks if t.members), key=lambda t: t.start)
    pin = Pin(id="pin", tasks=(task,), pinned_at=NOW, by="a test")
    planned_bench.done(lambda unit: unit.pins.add(pin, zone=DEMO.zone))
    made = planned_bench.quoted(planned_bench.draft(replace(WANTED, quantity=8)))
    assert (made.inputs.plan_version, made.inputs.pins) == (kept.version, ("pin",))
    # The pin goes, other work is booked, the bench loses a mould, and another plan holds.
    planned_bench.done(lambda unit: unit.pins.remove("pin"))
    tell_of_the_bench(planned_bench, kept)
    planned_bench.booked(planned_bench.draft(replace(WANTED, quantity=30)))
    publish(planned_bench, seed=2)
    with planned_bench.units.read(KEY) as unit:
        assert unit.pins.all() == ()
        again = worked_out_again(
            unit, made, written=planned_bench.written, finish=planned_bench.finish
        )
    figures = made.figures
    assert (again.finish, again.finish_odds) == (figures.finish, figures.finish_odds)
    assert (again.price.gross, again.price.net) == (figures.gross, figures.net)


def test_an_accepted_promise_is_looked_at_beside_the_plan_that_holds(planned_bench):
    publish(planned_bench)
    booking = planned_bench.booked(planned_bench.draft(replace(WANTED, quantity=4)))
    looked = look_again(
        planned_bench.units, KEY, booking.quote, written=planned_bench.written,
        now=NOW, finish=planned_bench.finish,
    )  # fmt: skip
    # Nothing came between: what is found is what was promised.
    assert (looked.expected, looked.moved) == (booking.promised, False)
