"""The log over HTTP: noted once, listed, refused where it cannot be true, taken back."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest
from quoting import PLAN, RUNS
from service_bench import OTHER, SHOP, if_match, once, problem_of
from working import worked

LOG = f"/v1/shops/{SHOP}/log"


@pytest.fixture
def bench(served):
    return served.client("bench")


@pytest.fixture
def task(served):
    """The first load of the plan that holds, as an entry names it."""
    planner = served.client("planner")
    planner.post(RUNS, json={"seconds": 0.05}, headers=once())
    worked(served)
    plan = planner.get(PLAN).json()["plan"]
    return next(t for t in plan["tasks"] if t["operation"] == "load")


def naming(task, **more):
    names = ("operation", "process", "part", "mould", "stations", "members")
    return {**{name: task[name] for name in names}, **more}


def noted(client, **entry):
    return client.post(LOG, json=entry, headers=once())


def refused(answer) -> list[tuple[str, str]]:
    problem = problem_of(answer, 422, "invalid")
    return [(item["path"], item["remedy"]) for item in problem["errors"]]


def lost(number: int = 1) -> dict:
    return {"what": "mould lost", "mould": f"stabiliser-pressed {number}", "cause": "dropped"}


def test_what_was_begun_is_noted_and_read_back(served, bench, task):
    served.clock.now = served.clock.now.fromisoformat(task["start"])
    made = noted(bench, what="started", task=naming(task), people=task["people"])
    assert made.status_code == 201, made.text
    entry = made.json()
    assert (entry["number"], entry["what"], entry["holds"]) == (1, "started", True)
    assert entry["at"] == task["start"].replace("+00:00", "Z")
    assert entry["task"]["members"] == task["members"]
    assert made.headers["location"] == f"{LOG}/1"
    viewer = served.client("viewer")
    assert viewer.get(f"{LOG}/1").json() == entry
    assert viewer.get(LOG).json() == {"entries": [entry], "next": None}
    assert viewer.post(LOG, json={}, headers=once()).status_code == 403
    problem_of(viewer.get(f"{LOG}/2"), 404, "unknown")


def test_a_start_as_planned_leaves_the_plan_and_a_late_one_does_not(served, bench, task):
    served.clock.now = served.clock.now.fromisoformat(task["start"])
    served.clock.on(minutes=10)
    assert noted(bench, what="started", task=naming(task)).status_code == 201
    assert bench.get(PLAN).json()["is_current"] is True
    served.clock.on(hours=3)
    assert noted(bench, what="finished", task=naming(task)).status_code == 201
    assert bench.get(PLAN).json()["is_current"] is False


def test_one_sent_twice_is_kept_once_however_it_is_sent(served, bench):
    body = {**lost(), "said_once": "phone 7"}
    key = once()
    first = bench.post(LOG, json=body, headers=key)
    assert bench.post(LOG, json=body, headers=key).json() == first.json()
    # The phone lost the answer and its key, or another person sends the same.
    assert bench.post(LOG, json=body, headers=once()).json() == first.json()
    assert served.client("owner").post(LOG, json=body, headers=once()).json() == first.json()
    assert len(bench.get(LOG).json()["entries"]) == 1


def test_many_who_send_the_same_keep_it_once(served):
    body = {**lost(), "said_once": "phone 7"}
    clients = [served.client("bench") for _ in range(8)]
    with ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(lambda c: c.post(LOG, json=body, headers=once()), clients))
    assert {answer.status_code for answer in answers} == {201}
    assert {answer.json()["number"] for answer in answers} == {1}


def test_a_second_start_is_refused_until_the_first_is_taken_back(served, bench, task):
    served.clock.now = served.clock.now.fromisoformat(task["start"])
    body = {"what": "started", "task": naming(task)}
    assert noted(bench, **body).status_code == 201
    problem = problem_of(noted(bench, **body), 409, "conflict")
    assert "already (entry 1)" in problem["detail"]
    gone = bench.post(f"{LOG}/1/take-back", json={"note": "wrong pull"}, headers=once())
    assert gone.status_code == 201, gone.text
    assert (gone.json()["what"], gone.json()["takes_back"]) == ("taken back", 1)
    assert (bench.get(f"{LOG}/1").json()["holds"], bench.get(f"{LOG}/2").json()["holds"]) == (
        False,
        True,
    )
    again = noted(bench, **body)
    assert again.status_code == 201
    # Undoing the taking back would have it begun twice.
    problem_of(bench.post(f"{LOG}/2/take-back", json={}, headers=once()), 409, "conflict")


def test_taking_back_is_undone_by_taking_it_back(served, bench):
    assert noted(bench, **lost()).status_code == 201

    def take_back(number):
        return bench.post(f"{LOG}/{number}/take-back", json={}, headers=once())

    assert take_back(1).json()["number"] == 2
    problem = problem_of(take_back(1), 409, "conflict")
    assert "by entry 2" in problem["detail"]
    assert take_back(2).json()["number"] == 3
    holds = {e["number"]: e["holds"] for e in bench.get(LOG).json()["entries"]}
    assert holds == {1: True, 2: False, 3: True}
    problem_of(take_back(9), 404, "unknown")


def test_what_cannot_be_is_refused_with_what_would(served, bench):
    wrong = {"what": "started", "task": {"operation": "load", "process": "presed", "part": "keel"}}
    found = dict(refused(noted(bench, **wrong)))
    assert found["task.process"].startswith("Did you mean pressed")
    assert "task.part" in found
    assert refused(noted(bench, what="mould lost")) == [("mould", "Add the name of the mould.")]
    assert refused(noted(bench, **lost(44), people=["inez"]))[0] == (
        "people",
        "Did you mean ines?",
    )
    scrap = {"what": "scrapped", "members": [{"order": "1001", "parts": [900]}]}
    ((path, remedy),) = refused(noted(bench, **scrap))
    assert path == "members[1].parts"
    assert remedy.startswith("Write numbers from 1 to ")
    assert refused(noted(bench, what="taken back"))
    assert bench.get(LOG).json()["entries"] == []


def test_nothing_is_noted_of_what_lies_ahead_but_who_will_be_away(served, bench):
    ahead = served.clock.now.replace(day=served.clock.now.day + 1)
    late = {"what": "mould lost", "mould": "stabiliser-pressed 1", "at": ahead.isoformat()}
    assert [path for path, _ in refused(noted(bench, **late))] == ["at"]
    away = {
        "what": "person away", "people": ["ines"], "at": ahead.isoformat(),
        "until": ahead.replace(day=ahead.day + 2).isoformat(),
    }  # fmt: skip
    assert noted(bench, **away).status_code == 201


def test_times_without_an_offset_are_the_shops(served):
    served.clock.on(days=60)
    bench = served.client("bench")
    # From 28 March 2027 the clocks of Lisbon are an hour before UTC.
    made = noted(bench, **lost(), at="2027-04-20T09:00")
    assert made.status_code == 201, made.text
    assert made.json()["at"] == "2027-04-20T09:00:00+01:00"
    skipped = noted(bench, **lost(2), at="2027-03-28T01:30")
    assert [path for path, _ in refused(skipped)] == ["at"]


def test_entries_are_found_by_day_and_by_what_they_are_about_a_page_at_a_time(served, bench):
    for number in (1, 2, 3):
        noted(bench, **lost(number))
    served.clock.on(days=1)
    noted(bench, what="person away", people=["ines"], until="2027-03-09T09:00")

    def numbers(**query):
        return [e["number"] for e in bench.get(LOG, params=query).json()["entries"]]

    assert numbers(day="2027-03-01") == [3, 2, 1]
    assert numbers(day="2027-03-02") == [4]
    assert numbers(mould="stabiliser-pressed 2") == [2]
    assert numbers(person="ines") == [4]
    assert numbers(what="person away") == [4]
    first = bench.get(LOG, params={"limit": 3}).json()
    assert [e["number"] for e in first["entries"]] == [4, 3, 2]
    assert numbers(limit=3, cursor=first["next"]) == [1]
    assert bench.get(LOG, params={"cursor": "x"}).status_code == 422
    assert bench.get(LOG, params={"what": "sung"}).status_code == 422


def test_the_log_goes_out_and_in_with_the_shop(served, bench):
    noted(bench, **lost())
    owner = served.client("owner")
    out = owner.get(f"/v1/shops/{SHOP}/scenario.json")
    (entry,) = out.json()["log"]
    assert (entry["number"], entry["what"]) == (1, "mould lost")
    toml = owner.get(f"/v1/shops/{SHOP}/scenario.toml").text
    keeper = served.client("keeper")
    body = {"key": "copy", "scenario_toml": toml}
    assert keeper.post("/v1/shops", json=body, headers=once()).status_code == 201
    copied = keeper.get("/v1/shops/copy/log").json()["entries"]
    assert [e["mould"] for e in copied] == ["stabiliser-pressed 1"]
    other = {**entry, "cause": "stolen"}
    change = {"scenario": {**out.json(), "log": [other]}}
    answer = owner.put(f"/v1/shops/{SHOP}", json=change, headers=if_match(1))
    assert "no entry is ever changed" in problem_of(answer, 409, "conflict")["detail"]


def test_the_log_of_another_shop_is_not_there(served, bench):
    noted(bench, **lost())
    other = served.client("bench", OTHER)
    assert other.get(LOG).status_code == 404
    assert other.post(f"{LOG}/1/take-back", json={}, headers=once()).status_code == 404


def test_what_moves_the_plan_has_it_made_anew_and_told_why(served, bench, task):
    served.clock.now = served.clock.now.fromisoformat(task["start"])
    assert noted(bench, what="mould lost", mould=task["mould"], cause="dropped").status_code == 201
    planner = served.client("planner")
    (waiting, *_) = planner.get(RUNS).json()["runs"]
    assert waiting["why"] == f"mould lost: {task['mould']}, dropped"
    worked(served)
    assert planner.get(PLAN).json()["version"] == 2
    later = [
        t["mould"]
        for t in planner.get(PLAN).json()["plan"]["tasks"]
        if t["start"] >= task["start"] and t["operation"] == "load"
    ]
    assert later
    assert task["mould"] not in later
    changes = served.client("viewer").get(f"{PLAN}/changes").json()
    assert changes["beside"] == 1
    assert any("out of use" in why or "lost" in why for why in changes["because"])
    assert len(changes["gone"]) == len(changes["gone_why"])
    assert planner.get(f"{PLAN}/changes", params={"version": 1}).status_code == 404
