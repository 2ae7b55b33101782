"""Questions at length over HTTP: asked once, answered by a worker, read; and what fixes a date."""

from __future__ import annotations

from datetime import datetime

import pytest
from quoting import PLAN, RUNS
from service_bench import SHOP, once, problem_of
from working import worked

from mouldwright.planning.run import make_plan
from mouldwright.wire.service.run import StudyAnswer

QUICK = {"seconds": 0.05, "seed": 1}


def ask(client, what, **more):
    return client.post(f"{RUNS}/{what}", json=QUICK | more, headers=once())


def test_what_one_more_would_buy_is_asked_answered_and_read(served):
    planner = served.client("planner")
    answer = ask(planner, "one-more")
    assert answer.status_code == 202, answer.text
    run = answer.json()
    assert (run["subject"], run["state"], run["publishes"]) == ("one more", "waiting", False)
    assert planner.get(f"{RUNS}/{run['id']}/answer").json()["one_more"] is None
    # A question that waits already will do.
    assert ask(planner, "one-more").json()["id"] == run["id"]
    worked(served)
    done = planner.get(answer.headers["Location"]).json()
    assert done["state"] == "done"
    assert done["progress"]["done"] == done["progress"]["total"] > 1
    found = StudyAnswer.model_validate(planner.get(f"{RUNS}/{run['id']}/answer").json())
    assert found.is_current
    assert found.one_more is not None
    assert found.one_more.tried == found.one_more.changes
    # It is no plan, and no plan comes of it.
    assert planner.get(PLAN).status_code == 404
    problem_of(planner.post(f"{RUNS}/{run['id']}/publish"), 409, "conflict")


def test_how_many_moulds_an_order_wants(served):
    planner = served.client("planner")
    run = ask(planner, "moulds", order="1001", most=2).json()
    assert run["subject"] == "moulds 1001"
    worked(served)
    found = planner.get(f"{RUNS}/{run['id']}/answer").json()["moulds"]
    assert [count["moulds"] for count in found["counts"]] == [1, 2]
    assert found["family"] == "stabiliser-pressed"
    problem_of(ask(planner, "moulds", order="77"), 422, "invalid")


def test_a_question_does_not_keep_a_plan_waiting(served):
    planner = served.client("planner")
    ask(planner, "one-more")
    plan = planner.post(RUNS, json=QUICK, headers=once()).json()
    # Both wait; the plan is taken up first, though it was asked for later.
    worked(served)
    assert planner.get(f"{RUNS}/{plan['id']}").json()["state"] == "done"


def test_an_answer_is_read_of_a_question_only(served):
    planner = served.client("planner")
    plan = planner.post(RUNS, json=QUICK, headers=once()).json()
    problem_of(planner.get(f"{RUNS}/{plan['id']}/answer"), 409, "conflict")


def test_what_fixes_a_date_and_what_everything_idles_for(served):
    planner = served.client("planner")
    problem_of(planner.get(f"{PLAN}/orders/1005/why"), 404, "unknown")
    planner.post(RUNS, json=QUICK, headers=once())
    worked(served)
    why = planner.get(f"{PLAN}/orders/1005/why").json()
    assert why["links"][0]["end"] == why["finish"]
    for later, link in zip(why["links"], why["links"][1:], strict=False):
        assert link["end"] == later["start"]
    begin, end = (datetime.fromisoformat(why[key]) for key in ("origin", "finish"))
    assert sum(s["minutes"] for s in why["shares"]) * 60 == (end - begin).total_seconds()
    for each in planner.get(f"{PLAN}/resources").json()["resources"]:
        assert sum(each["minutes"].values()) == each["horizon_min"]
    problem_of(planner.get(f"{PLAN}/orders/77/why"), 404, "unknown")
    assert f"/v1/shops/{SHOP}" in PLAN


def test_one_more_order_is_tried_and_nothing_is_kept(served):
    viewer = served.client("viewer")
    ask = {"part": "sensor-fin", "process": "cast-fin", "quantity": 8, "by": "2027-03-19"}
    tried = viewer.post(f"/v1/shops/{SHOP}/try-order", json=ask).json()
    assert (tried["late_min"], tried["moved"]) == (0, 0)
    assert datetime.fromisoformat(tried["finish"]) < datetime.fromisoformat(tried["due"])
    # A quick answer has a price and no options.
    assert tried["options"] is None
    assert float(tried["net"]) == pytest.approx(8 * float(tried["price_each"]))
    assert viewer.get(RUNS).json()["runs"] == []


def test_every_way_to_take_an_order_is_asked_answered_and_read(served):
    planner = served.client("planner")
    ask = {"part": "sensor-fin", "process": "cast-fin", "quantity": 8, "by": "2027-03-01T12:00"}
    run = planner.post(f"{RUNS}/try-order", json=QUICK | ask, headers=once())
    assert run.status_code == 202, run.text
    assert run.json()["subject"].startswith("try 8 sensor-fin ")
    worked(served)
    found = StudyAnswer.model_validate(planner.get(f"{RUNS}/{run.json()['id']}/answer").json())
    assert found.one_more is None
    assert found.tried is not None
    tried = found.tried
    assert tried.late_min > 0
    assert tried.chance is not None
    assert tried.net is not None
    assert tried.options
    for option in tried.options:
        assert (option.finish is None) == bool(option.refused)
        assert option.net is not None or option.refused
    lates = [option.late_min for option in tried.options if not option.refused]
    assert lates == sorted(lates)
    problem_of(
        planner.post(f"{RUNS}/try-order", json=QUICK | ask | {"part": "boat"}, headers=once()),
        422,
        "invalid",
    )


def test_what_a_plan_moves_is_told_with_its_reason(served):
    planner = served.client("planner")
    planner.post(RUNS, json=QUICK | {"seconds": 1e-9}, headers=once())
    worked(served)
    ask = QUICK | {"publish": False, "keep": False, "seconds": 1e-9}
    run = planner.post(RUNS, json=ask, headers=once()).json()
    # A planner that puts everything off by a day.
    worked(served, lambda shop, *, now, **how: make_plan(shop, now=now + 1440, **how))
    moved = planner.get(f"{RUNS}/{run['id']}/changes").json()["moved"]
    assert moved
    said = {task["why"] for task in moved}
    assert said <= {"it gives way to what moves or is new", "it can be sooner"}
    # Kept to, nothing moves.
    kept = planner.post(RUNS, json=ask | {"keep": True}, headers=once()).json()
    worked(served)
    assert planner.get(f"{RUNS}/{kept['id']}/changes").json()["moved"] == []
