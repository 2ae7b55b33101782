"""What is judged well, what to look at, and what wrong."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from mouldwright.usecases.diagnosis import (
    DatabaseCondition,
    Fence,
    State,
    Work,
    judge_caps,
    judge_clock,
    judge_database,
    judge_parts,
    judge_settings,
    judge_shops,
    judge_work,
)
from mouldwright.usecases.kept import Waiting

NOW = datetime(2027, 3, 1, 8, tzinfo=UTC)
SOUND = DatabaseCondition(
    shown="sqlite:///bench.db", schema="0002", steps=("0001", "0002"), free_bytes=5_000_000_000
)
LOOPBACK = ("127.0.0.1", "localhost", "[::1]")


def states(findings) -> dict[str, str]:
    return {each.what: each.state.value for each in findings}


def test_a_sound_database_is_well_in_every_respect():
    assert set(states(judge_database(SOUND)).values()) == {"well"}


def test_a_fence_that_stands_is_well():
    stands = Fence(role="bench", is_passed=False, open_tables=())
    assert states(judge_database(replace(SOUND, fence=stands)))["fence"] == "well"


@pytest.mark.parametrize(
    ("found", "what", "state"),
    [
        ({"closed": "disk I/O error."}, "database", "wrong"),
        ({"is_there": False}, "database", "caution"),
        ({"schema": None}, "tables", "caution"),
        ({"schema": "0001"}, "tables", "caution"),
        ({"schema": "0003"}, "tables", "wrong"),
        ({"unwritable": "attempt to write a readonly database."}, "writing", "wrong"),
        ({"is_busy": True}, "writing", "caution"),
        ({"damage": "row 3 missing from index."}, "what is kept", "wrong"),
        ({"free_bytes": 50_000_000}, "room", "wrong"),
        ({"free_bytes": 500_000_000}, "room", "caution"),
        ({"open_to_others": ("bench.db",)}, "who may read", "caution"),
        ({"fence": Fence(role="bench", is_passed=True, open_tables=())}, "fence", "caution"),
        ({"fence": Fence(role="bench", is_passed=False, open_tables=("run",))}, "fence", "wrong"),
    ],
)
def test_each_fault_of_a_database_is_judged_and_a_remedy_named(found, what, state):
    findings = list(judge_database(replace(SOUND, **found)))
    (told,) = [each for each in findings if each.what == what]
    assert told.state.value == state
    assert told.remedy


def test_of_a_database_that_cannot_be_opened_nothing_more_is_claimed():
    found = states(judge_database(replace(SOUND, closed="gone.", free_bytes=None)))
    assert found == {"database": "wrong"}


def work(waits_min: float | None = None, **more: int) -> Work:
    since = None if waits_min is None else NOW - timedelta(minutes=waits_min)
    waiting = Waiting(runs=0 if since is None else 1, since=since)
    return Work(waiting=waiting, **({"held": 0, "lapsed": 0, "set_aside": 0} | more))


@pytest.mark.parametrize(
    ("stands", "state"),
    [
        (work(), "well"),
        (work(0.5), "well"),
        (work(2), "wrong"),
        (work(lapsed=1), "wrong"),
        (work(2, held=1), "well"),
        (work(11, held=1), "caution"),
        (work(held=1, lapsed=1), "caution"),
    ],
)
def test_runs_that_nobody_takes_up_are_wrong_and_a_long_queue_is_to_look_at(stands, state):
    assert states(judge_work(stands, now=NOW))["worker"] == state


def test_runs_set_aside_are_to_look_at():
    assert states(judge_work(work(set_aside=2), now=NOW))["runs set aside"] == "caution"


@pytest.mark.parametrize(
    ("workers", "machine_mb", "state"),
    # Each worker may take 2,000: two take 4,000, and one worker stands for one started by hand.
    [(1, 4_000, "well"), (2, 4_000, "well"), (2, 3_999, "caution"), (0, 1_999, "caution")],
)
def test_the_caps_of_a_run_are_told_and_held_against_the_machine(workers, machine_mb, state):
    (told,) = judge_caps(memory_mb=2_000, minutes=7.5, workers=workers, machine_mb=machine_mb)
    assert told.state.value == state
    assert "2,000 MB" in told.says
    assert "7.5 minutes" in told.says
    assert "(RUN_MEMORY_MB)" in told.says
    assert "(RUN_MINUTES)" in told.says


def test_a_machine_that_does_not_tell_its_memory_is_not_guessed_at():
    (told,) = judge_caps(memory_mb=2_000, minutes=60, workers=9, machine_mb=0)
    assert told.state is State.WELL


@pytest.mark.parametrize(
    ("found", "machine", "state"),
    [
        ({"latest": NOW}, NOW, "well"),
        ({"latest": NOW + timedelta(seconds=4)}, NOW, "well"),
        ({"latest": NOW + timedelta(hours=1)}, NOW, "wrong"),
        ({"own_clock": NOW + timedelta(seconds=90)}, NOW, "caution"),
        ({}, datetime(1970, 1, 1, tzinfo=UTC), "wrong"),
    ],
)
def test_a_clock_that_was_put_back_or_differs_is_noticed(found, machine, state):
    (told,) = judge_clock(replace(SOUND, **found), now=NOW, machine=machine)
    assert told.state.value == state


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ({}, {"names": "well"}),
        ({"host": "0.0.0.0", "is_loopback": False}, {"names": "wrong"}),
        ({"called": (*LOOPBACK, "https://bench.example")}, {"names": "wrong"}),
        ({"called": (*LOOPBACK, "bench.example:8000")}, {"names": "wrong"}),
        ({"public_address": "bench.example"}, {"names": "well", "public address": "wrong"}),
        ({"public_address": "https://bench.example"}, {"names": "well", "public address": "wrong"}),
        (
            {"public_address": "https://bench.example", "called": (*LOOPBACK, "bench.example")},
            {"names": "well", "public address": "well"},
        ),
        (
            {"public_address": "http://bench.example", "called": (*LOOPBACK, "bench.example")},
            {"names": "well", "public address": "caution"},
        ),
        (
            {"public_address": "http://localhost:8000"},
            {"names": "well", "public address": "well"},
        ),
    ],
)
def test_settings_that_contradict_each_other_are_named(said, found):
    plain = {"host": "127.0.0.1", "called": LOOPBACK, "is_loopback": True, "public_address": ""}
    assert states(judge_settings(**(plain | said))) == found


def _fails() -> None:
    raise ImportError("no such library")


def test_a_part_that_does_not_work_is_named_and_the_others_are_tried():
    lost, works = judge_parts({"documents": _fails, "time zones": lambda: None})
    assert (lost.state, works.state) == (State.WRONG, State.WELL)
    assert "no such library" in lost.says


def test_a_shop_that_cannot_be_read_is_named():
    (told,) = judge_shops({"foils": lambda: None, "next-door": _fails})
    assert told.state is State.WRONG
    assert "next-door" in told.says
    assert "foils" not in told.says
