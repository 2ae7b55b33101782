"""Moves tried and tasks pinned over HTTP, and plans that keep them."""

from __future__ import annotations

import pytest
from quoting import PLAN, RUNS
from service_bench import SHOP, once, problem_of
from working import worked

PINS = f"/v1/shops/{SHOP}/pins"


@pytest.fixture
def planner(served):
    client = served.client("planner")
    assert client.post(RUNS, json={"seconds": 0.05}, headers=once()).status_code == 202
    worked(served)
    return client


def last(plan, operation: str) -> tuple[int, dict]:
    found = [(at, t) for at, t in enumerate(plan["tasks"]) if t["operation"] == operation]
    return found[-1]


def at_night(task: dict) -> str:
    # Lisbon keeps UTC on the demo's days in March before the 28th.
    return f"{task['start'][:10]}T03:00:00+00:00"


def test_a_move_is_judged_and_nothing_is_kept(served, planner):
    plan = planner.get(PLAN).json()["plan"]
    at, task = last(plan, "inspect")
    viewer = served.client("viewer")
    fits = viewer.post(f"{PLAN}/1/tasks/{at}/verdict", json={"start": task["start"]}).json()
    assert (fits["moved"], fits["breaks"], fits["orders"]) == ([task], [], [])
    night = viewer.post(f"{PLAN}/1/tasks/{at}/verdict", json={"start": at_night(task)}).json()
    assert any("outside the hours of" in words for words in night["breaks"])
    assert viewer.get(PINS).json() == {"pins": []}


def test_a_pin_is_kept_once_and_by_every_plan_after(served, planner):
    plan = planner.get(PLAN).json()["plan"]
    at, task = last(plan, "inspect")
    key = once()
    ask = {"plan": 1, "task": at, "start": task["start"]}
    made = planner.post(PINS, json=ask, headers=key)
    assert made.status_code == 201
    assert made.json()["tasks"] == [task]
    assert planner.post(PINS, json=ask, headers=key).json() == made.json()
    assert planner.get(PINS).json()["pins"] == [made.json()]
    assert planner.get(PLAN).json()["is_current"] is False
    planner.post(RUNS, json={"seconds": 0.05}, headers=once())
    worked(served)
    assert task in planner.get(PLAN).json()["plan"]["tasks"]
    gone = planner.delete(f"{PINS}/{made.json()['id']}")
    assert gone.status_code == 204
    problem_of(planner.delete(f"{PINS}/{made.json()['id']}"), 404, "unknown")


def test_what_cannot_be_pinned_is_refused(served, planner):
    plan = planner.get(PLAN).json()["plan"]
    at, task = last(plan, "inspect")
    ask = {"plan": 1, "task": at, "start": task["start"]}
    refused = planner.post(PINS, json={**ask, "start": at_night(task)}, headers=once())
    assert "No plan can keep it there." in problem_of(refused, 409, "conflict")["detail"]
    assert served.client("bench").post(PINS, json=ask, headers=once()).status_code == 403
    assert planner.post(PINS, json=ask).status_code == 400
    assert planner.post(PINS, json={**ask, "plan": 9}, headers=once()).status_code == 404
    assert planner.post(PINS, json={**ask, "task": 10**6}, headers=once()).status_code == 422
    assert planner.post(PINS, json={**ask, "start": "soon"}, headers=once()).status_code == 422
    assert planner.post(PINS, json={**ask, "mould": "no such"}, headers=once()).status_code == 422


def test_a_plan_to_be_looked_at_tells_its_changes_and_waits_to_be_published(served, planner):
    asked = planner.post(RUNS, json={"seconds": 0.05, "publish": False}, headers=once()).json()
    assert asked["publishes"] is False
    worked(served)
    run = planner.get(f"{RUNS}/{asked['id']}").json()
    assert (run["state"], run["plan_version"]) == ("done", None)
    assert planner.get(PLAN).json()["version"] == 1
    changes = planner.get(f"{RUNS}/{asked['id']}/changes").json()
    assert changes["beside"] == 1
    tasks = [t for t in planner.get(f"{RUNS}/{asked['id']}/plan").json()["tasks"] if t["members"]]
    assert len(changes["moved"]) + len(changes["new"]) + changes["same"] == len(tasks)
    assert planner.post(f"{RUNS}/{asked['id']}/publish").json()["version"] == 2
