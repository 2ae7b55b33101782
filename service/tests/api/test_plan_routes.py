"""The published plan over HTTP: whole, in groups, as one sees it, and whether it is current."""

from __future__ import annotations

import pytest
from quoting import PLAN, RUNS, booked
from service_bench import once, problem_of
from working import worked


@pytest.fixture
def planner(served):
    client = served.client("planner")
    answer = client.post(RUNS, json={"seconds": 0.05}, headers=once())
    assert answer.status_code == 202
    worked(served)
    return client


def test_a_shop_without_a_plan_says_so(served):
    viewer = served.client("viewer")
    for path in ("", "/tasks", "/sessions", "/1"):
        problem_of(viewer.get(f"{PLAN}{path}"), 404, "unknown")


def test_a_plan_is_whole_and_ungrouped_unless_asked(planner):
    told = planner.get(PLAN).json()
    assert (told["version"], told["is_current"], told["groups"]) == (1, True, None)
    assert {o["number"] for o in told["plan"]["orders"]} == {
        *("1001", "1002", "1003", "1004", "1005", "1006"),
    }


def test_an_earlier_plan_stays_as_it_was_published(served, planner):
    first = planner.get(PLAN).json()
    booked(planner)
    worked(served)
    assert planner.get(PLAN).json()["version"] == 2
    assert planner.get(f"{PLAN}/1").json() == first | {"is_current": False}
    problem_of(planner.get(f"{PLAN}/3"), 404, "unknown")


def test_what_is_known_is_not_sent_again_until_it_is_no_longer_current(planner):
    tag = planner.get(PLAN).headers["ETag"]
    assert planner.get(PLAN, headers={"If-None-Match": tag}).status_code == 304
    booked(planner)
    again = planner.get(PLAN, headers={"If-None-Match": tag})
    assert again.json()["is_current"] is False


def keys_of(task, by: str) -> set[str]:
    """Work the groups of a task out from the answer alone."""
    match by:
        case "order":
            return {member["order"] for member in task["members"]}
        case "person":
            return set(task["people"])
        case "mould":
            return {task["mould"]} - {None}
    # In March the zone of the shop is that of UTC, and a span that ends at midnight is of the
    # day before; none here runs for longer than two days.
    days = set()
    for start, end in task["spans"]:
        last = end[:10] if end[11:16] != "00:00" else start[:10]
        days |= {start[:10], last}
    return days


@pytest.mark.parametrize("by", ["order", "person", "mould", "day"])
def test_tasks_are_grouped_by_what_is_asked_and_none_is_missing(planner, by):
    told = planner.get(PLAN, params={"by": by}).json()
    tasks, groups = told["plan"]["tasks"], told["groups"]
    grouped = {(group["key"], place) for group in groups for place in group["tasks"]}
    wanted = {(key, place) for place, task in enumerate(tasks) for key in keys_of(task, by)}
    assert wanted
    if by == "day":
        assert wanted <= grouped
        assert [group["key"] for group in groups] == sorted(group["key"] for group in groups)
    else:
        assert grouped == wanted
    for group in groups:
        starts = [tasks[place]["start"] for place in group["tasks"]]
        assert starts == sorted(starts)


def test_tasks_are_those_that_fit_all_that_is_named(planner):
    tasks = planner.get(PLAN).json()["plan"]["tasks"]
    asked = {"order": "1001", "person": "ines"}
    seen = planner.get(f"{PLAN}/tasks", params=asked).json()
    wanted = [
        task
        for task in tasks
        if "ines" in task["people"] and any(m["order"] == "1001" for m in task["members"])
    ]
    assert wanted
    key = lambda task: (task["start"], task["end"], task["operation"])  # noqa: E731
    assert sorted(seen["tasks"], key=key) == sorted(wanted, key=key)
    assert (seen["version"], seen["zone"], seen["is_current"]) == (1, "Europe/Lisbon", True)


def test_tasks_of_a_day_lie_in_it(planner):
    seen = planner.get(f"{PLAN}/tasks", params={"day": "2027-03-02"}).json()["tasks"]
    assert seen
    for task in seen:
        assert task["start"] < "2027-03-03"
        assert task["end"] > "2027-03-02"


@pytest.mark.parametrize(
    ("path", "query"),
    [("", {"by": "colour"}), ("/tasks", {"day": "someday"}), ("/0", {}), ("/first", {})],
)
def test_what_cannot_be_asked_is_refused(planner, path, query):
    problem_of(planner.get(f"{PLAN}{path}", params=query), 422, "invalid")


def test_a_shop_that_gears_up_for_nothing_has_no_cost_of_sessions(planner):
    assert planner.get(f"{PLAN}/sessions").json() == {"sessions": []}
