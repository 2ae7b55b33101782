"""Today over HTTP and from Python: the same that the page shows."""

from __future__ import annotations

from quoting import RUNS
from service_bench import SHOP, once
from working import worked

TODAY = f"/v1/shops/{SHOP}/today"


def test_before_a_plan_it_says_what_waits(served):
    told = served.client("viewer").get(TODAY).json()
    assert (told["has_plan"], told["plan_version"]) == (False, None)
    assert [notice["kind"] for notice in told["notices"]] == ["no-plan"]
    # 1 March 2027 is a Monday in Lisbon, on UTC; the demo's people come from half past eight.
    assert told["now"] == "2027-03-01T08:00:00Z"
    assert told["people"][0]["hours"][0][0] == "2027-03-01T08:30:00Z"


def test_by_the_plan_every_task_named_is_one_of_the_plans(served):
    planner = served.client("planner")
    planner.post(RUNS, json={"seconds": 0.05}, headers=once())
    worked(served)
    served.clock.on(hours=6)
    told = planner.get(TODAY).json()
    tasks = planner.get(f"/v1/shops/{SHOP}/plan").json()["plan"]["tasks"]
    assert told["plan_version"] == 1
    assert told["in_hand"]
    for each in (*told["in_hand"], *told["tonight"]):
        assert tasks[each["place"]]["operation"] == each["operation"]
    assert {person["person"] for person in told["people"]} == {"ines", "tomas"}
