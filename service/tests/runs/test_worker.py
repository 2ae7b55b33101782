from __future__ import annotations

import threading
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta
from itertools import count

import pytest
from promise_bench import KEY, NOW, later

from mouldwright.domain.errors import HardLimit, InvalidInput
from mouldwright.planning.check import check_plan
from mouldwright.planning.run import make_plan
from mouldwright.runs.worker import Worker
from mouldwright.store.repositories.plans import document_of, plan_of
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept_run import MOST_ATTEMPTS, Run
from mouldwright.usecases.runs import Tending, ask_for_plan

LEASE = timedelta(seconds=30)
IDS = count(1)
NEVER = threading.Event()


def chance() -> str:
    return f"run-{next(IDS)}"


class Planner:
    """A stand-in that hands out plans made once, and can be told to fail or to wait."""

    def __init__(self, bench) -> None:
        shop = read_booked(bench.units, KEY, bench.written).without()
        self.plan = make_plan(shop, now=int(NOW.timestamp() // 60), seconds=0.0, seed=1)
        self.error = None
        self.calls = []
        self.during = lambda cancelled: None

    def __call__(self, shop, *, now, seconds, seed, progress=None, cancelled=None):
        self.calls.append((seconds, seed))
        if self.error is not None:
            raise self.error
        if seconds:
            self.during(cancelled)
        return self.plan


@pytest.fixture
def planner(bench):
    return Planner(bench)


def asked(bench, **more) -> Run:
    return bench.done(ask_for_plan, why="a test asks", now=NOW, chance=chance, **more)


def worker(bench, planner, *, name: str = "w1", clock=lambda: NOW, lease=LEASE) -> Worker:
    tending = Tending(
        bench.units, bench.queue, written=bench.written, make_plan=planner, clock=clock,
        chance=chance,
    )  # fmt: skip
    return Worker(bench.queue, tending, name=name, clock=clock, lease=lease, idle_s=0.01)


def run_now(bench, run: Run) -> Run:
    with bench.units.read(KEY) as unit:
        return unit.runs.by_id(run.id)


def newest(bench):
    with bench.units.read(KEY) as unit:
        return unit.plans.newest()


def test_a_run_ends_in_a_published_plan_that_is_checked_and_reads_back_equal(either_bench):
    run = asked(either_bench, seconds=0.2)
    worker(either_bench, make_plan).work_one(NEVER)
    done = run_now(either_bench, run)
    assert (done.state, done.attempts, done.plan_version) == ("done", 1, 1)
    assert done.progress is not None
    assert done.progress.trying
    kept = newest(either_bench)
    assert kept.plan.checked
    shop = read_booked(either_bench.units, KEY, either_bench.written).without()
    assert check_plan(shop, kept.plan) == ()
    assert {o.number for o in kept.plan.orders} == {o.number for o in shop.orders}
    assert plan_of(document_of(kept.plan)) == kept.plan


def test_a_plan_that_was_not_checked_is_never_kept(bench, planner):
    planner.plan = replace(planner.plan, checked=False)
    run = asked(bench)
    worker(bench, planner).work_one(NEVER)
    assert run_now(bench, run).state == "waiting"
    with pytest.raises(Unknown):
        newest(bench)


def test_nothing_is_taken_up_where_nothing_waits(bench, planner):
    assert worker(bench, planner).work_one(NEVER) is None


def test_a_run_asked_for_while_one_waits_is_that_one(bench):
    assert asked(bench).id == asked(bench).id


def test_no_two_workers_take_one_run(either_bench):
    asked(either_bench)
    with ThreadPoolExecutor(10) as pool:
        taken = list(pool.map(lambda n: either_bench.queue.claim(f"w{n}", NOW, LEASE), range(10)))
    assert len([run for run in taken if run is not None]) == 1


def test_of_one_shop_no_two_runs_go_on_at_once(either_bench):
    asked(either_bench)
    first = either_bench.queue.claim("w1", NOW, LEASE)
    second = asked(either_bench)
    assert first is not None
    assert second.id != first.id
    assert either_bench.queue.claim("w2", NOW, LEASE) is None


def test_a_run_whose_worker_was_lost_is_taken_up_again_and_not_before_its_lease_is_over(
    either_bench,
):
    asked(either_bench)
    first = either_bench.queue.claim("w1", NOW, LEASE)
    assert either_bench.queue.claim("w2", later(seconds=29), LEASE) is None
    again = either_bench.queue.claim("w2", later(seconds=31), LEASE)
    assert again is not None
    assert (again.id, again.attempts, again.worker) == (first.id, 2, "w2")


def test_a_beat_keeps_a_run_and_tells_a_worker_that_it_has_lost_it(either_bench):
    asked(either_bench)
    first = either_bench.queue.claim("w1", NOW, LEASE)
    assert either_bench.queue.beat(first, later(seconds=20), LEASE) is False
    assert either_bench.queue.claim("w2", later(seconds=31), LEASE) is None
    assert either_bench.queue.claim("w2", later(seconds=51), LEASE) is not None
    assert either_bench.queue.beat(first, later(seconds=52), LEASE) is None


def test_a_clock_put_back_keeps_no_run_from_being_taken_up_again(either_bench):
    asked(either_bench)
    first = either_bench.queue.claim("w1", NOW, LEASE)
    # An hour at most, the longest lease there is; by then the run is another's.
    assert either_bench.queue.claim("w2", later(minutes=-59), LEASE) is None
    again = either_bench.queue.claim("w2", later(days=-1), LEASE)
    assert again is not None
    assert (again.id, again.worker) == (first.id, "w2")
    assert either_bench.queue.beat(first, later(days=-1, seconds=5), LEASE) is None


def test_a_worker_that_lives_keeps_its_run_when_the_clock_is_put_back_or_forward(either_bench):
    asked(either_bench)
    run = either_bench.queue.claim("w1", NOW, LEASE)
    for hours in (-24, 48, -1):
        now = later(hours=hours)
        assert either_bench.queue.beat(run, now, LEASE) is False
        assert either_bench.queue.claim("w2", now, LEASE) is None


def test_a_worker_that_has_lost_its_run_publishes_nothing(bench, planner):
    run = asked(bench)
    planner.during = lambda _: bench.queue.claim("w2", later(seconds=31), LEASE)
    worker(bench, planner).work_one(NEVER)
    held = run_now(bench, run)
    assert (held.state, held.worker) == ("running", "w2")
    with pytest.raises(Unknown):
        newest(bench)


def test_a_run_whose_workers_are_lost_three_times_is_set_aside(either_bench):
    run = asked(either_bench)
    for attempt in range(MOST_ATTEMPTS):
        claimed = either_bench.queue.claim(f"w{attempt}", later(minutes=attempt), LEASE)
        assert claimed is not None
    assert either_bench.queue.claim("w9", later(minutes=9), LEASE) is None
    aside = run_now(either_bench, run)
    assert (aside.state, aside.attempts) == ("set aside", 3)
    assert "lost" in aside.problems[0]


def test_a_run_that_fails_three_times_is_set_aside_with_what_went_wrong(bench, planner):
    planner.error = RuntimeError("no memory")
    run = asked(bench)
    hand = worker(bench, planner)
    for _ in range(MOST_ATTEMPTS):
        hand.work_one(NEVER)
    assert hand.work_one(NEVER) is None
    aside = run_now(bench, run)
    assert (aside.state, aside.attempts) == ("set aside", 3)
    assert aside.problems == ("RuntimeError: no memory",)


def test_a_shop_that_cannot_be_planned_is_told_why_and_is_not_tried_again(bench, planner):
    planner.error = HardLimit(["Gluing takes 600 min and no opening is so long."])
    run = asked(bench)
    worker(bench, planner).work_one(NEVER)
    ended = run_now(bench, run)
    assert (ended.state, ended.attempts) == ("impossible", 1)
    assert ended.problems == ("Gluing takes 600 min and no opening is so long.",)


def test_a_plan_made_from_what_has_changed_since_is_not_used_and_another_run_waits(bench, planner):
    run = asked(bench)
    planner.during = lambda _: bench.booked()
    worker(bench, planner).work_one(NEVER)
    assert run_now(bench, run).state == "stale"
    with pytest.raises(Unknown):
        newest(bench)
    with bench.units.read(KEY) as unit:
        states = [r.state for r in unit.runs.listed()]
    assert sorted(states) == ["stale", "waiting"]


def test_a_run_that_waits_ends_at_once_when_it_is_stopped(bench, planner):
    run = asked(bench)
    with bench.units.write(KEY) as unit:
        assert unit.runs.ask_to_stop(run.id, NOW).state == "cancelled"
        unit.commit()
    assert worker(bench, planner).work_one(NEVER) is None


def test_a_run_under_way_stops_with_the_best_so_far(bench, planner):
    run = asked(bench)

    def stop(cancelled) -> None:
        with bench.units.write(KEY) as unit:
            unit.runs.ask_to_stop(run.id, NOW)
            unit.commit()
        until = time.monotonic() + 300
        while not cancelled() and time.monotonic() < until:
            time.sleep(0.01)

    planner.during = stop
    worker(bench, planner, lease=timedelta(seconds=0.3)).work_one(NEVER)
    ended = run_now(bench, run)
    assert (ended.state, ended.plan_version) == ("cancelled", 1)
    assert newest(bench).plan == planner.plan


def test_the_first_plan_is_there_while_a_better_one_is_looked_for(bench, planner):
    run = asked(bench)
    seen = []

    def look(_) -> None:
        with bench.units.read(KEY) as unit:
            seen.append(unit.runs.best(run.id))

    planner.during = look
    worker(bench, planner).work_one(NEVER)
    assert seen == [planner.plan]


def test_a_worker_told_to_stop_gives_its_run_back_and_the_attempt_does_not_count(bench, planner):
    run = asked(bench)
    stopping = threading.Event()
    planner.during = lambda _: stopping.set()
    worker(bench, planner).work(stopping)
    back = run_now(bench, run)
    assert (back.state, back.attempts) == ("waiting", 0)
    with pytest.raises(Unknown):
        newest(bench)


@pytest.mark.parametrize("seconds", [0.0, -1.0, 601.0])
def test_a_run_of_no_time_or_of_too_much_is_refused(bench, seconds):
    with pytest.raises(InvalidInput, match=r"no time to plan for\. Give .* at most 600"):
        asked(bench, seconds=seconds)
