"""Runs over HTTP: asked for once, watched to their end, stopped, published while they fit."""

from __future__ import annotations

import json
import threading
import time

import pytest
from quoting import PLAN, RUNS, booked
from service_bench import START, once, problem_of
from working import NEVER, worked, worker_beside

from mouldwright.api.routes import runs as runs_routes
from mouldwright.cli.plan import plan as plan_command
from mouldwright.planning.run import make_plan

QUICK = {"seconds": 0.05, "seed": 1}
# Only ends what would never come.
A_LONG_WAIT_S = 300.0


@pytest.fixture
def planner(served):
    return served.client("planner")


def asked(client, **more):
    answer = client.post(RUNS, json=QUICK | more, headers=once())
    assert answer.status_code == 202, answer.text
    return answer


def read(client, run) -> dict:
    return client.get(f"{RUNS}/{run['id']}").json()


def events(client, run, **headers) -> list[dict[str, str]]:
    """Return the events of a stream that was read to its end."""
    answer = client.get(f"{RUNS}/{run['id']}/events", headers=headers)
    assert answer.status_code == 200
    assert answer.headers["content-type"].startswith("text/event-stream")
    blocks = (block for block in answer.text.split("\n\n") if block.strip())
    lines = ([line.partition(": ") for line in block.splitlines()] for block in blocks)
    return [{name: value for name, _, value in each if name} for each in lines]


def test_a_run_is_asked_for_taken_up_and_leaves_a_plan(served, planner):
    answer = asked(planner)
    run = answer.json()
    assert (run["state"], run["why"], run["seconds"]) == ("waiting", "asked for", 0.05)
    assert answer.headers["Location"] == f"{RUNS}/{run['id']}"
    worked(served)
    done = planner.get(answer.headers["Location"]).json()
    assert (done["state"], done["attempts"], done["plan_version"]) == ("done", 1, 1)
    assert planner.get(PLAN).json()["run"] == run["id"]


def test_the_plan_is_the_one_the_command_prints(served, planner, capsys):
    # No time to search, so that both print what the least of work finds.
    asked(planner, seconds=1e-9)
    worked(served)
    plan_command(
        "foil-bench", now=START.isoformat(), seconds=1e-9, seed=1, show="day", as_json=True
    )
    printed = json.loads(capsys.readouterr().out)
    # The command says besides what sessions cost; this shop has none.
    assert printed.pop("session_costs") == []
    published = planner.get(PLAN).json()["plan"]
    assert published == printed | {"zone": "Europe/Lisbon"}
    assert published["checked"] is True


def test_asked_twice_with_one_key_it_is_one_run_and_so_it_is_while_one_waits(planner):
    key = once()
    first, again = (planner.post(RUNS, json=QUICK, headers=key) for _ in range(2))
    assert first.content == again.content
    assert asked(planner).json()["id"] == first.json()["id"]
    assert len(planner.get(RUNS).json()["runs"]) == 1


def test_a_run_wants_a_key_and_a_time_it_may_take(planner):
    problem_of(planner.post(RUNS, json=QUICK), 400, "key-missing")
    for seconds in (0, -1, 601, "long"):
        answer = planner.post(RUNS, json={"seconds": seconds}, headers=once())
        (item,) = problem_of(answer, 422, "invalid")["errors"]
        assert item["pointer"] == "#/seconds"


def test_runs_are_listed_the_newest_first(served, planner):
    first = asked(planner).json()
    worked(served)
    served.clock.on(minutes=1)
    second = asked(planner).json()
    listed = planner.get(RUNS).json()["runs"]
    assert [run["id"] for run in listed] == [second["id"], first["id"]]
    assert len(planner.get(RUNS, params={"limit": 1}).json()["runs"]) == 1


def test_runs_are_read_a_page_at_a_time_each_once(served, planner):
    ids = []
    for _ in range(5):
        ids.append(asked(planner).json()["id"])
        planner.post(f"{RUNS}/{ids[-1]}/cancel")
        # Two at one moment: then they go by their names.
        served.clock.on(seconds=len(ids) % 2)
    seen, cursor, pages = [], None, 0
    while pages == 0 or cursor is not None:
        page = planner.get(RUNS, params={"limit": 2, **({"cursor": cursor} if cursor else {})})
        seen += [run["id"] for run in page.json()["runs"]]
        cursor, pages = page.json()["next"], pages + 1
    assert pages == 3
    assert sorted(seen) == sorted(ids)
    # Asked for at 0 s, 1 s, 1 s, 2 s and 2 s.
    assert (set(seen[:2]), set(seen[2:4]), seen[4]) == (set(ids[3:]), set(ids[1:3]), ids[0])
    problem_of(planner.get(RUNS, params={"cursor": "nowhere"}), 422, "invalid")


def test_what_is_known_of_a_run_is_not_sent_again(served, planner):
    run = asked(planner).json()
    answer = planner.get(f"{RUNS}/{run['id']}")
    known = {"If-None-Match": answer.headers["ETag"]}
    assert planner.get(f"{RUNS}/{run['id']}", headers=known).status_code == 304
    worked(served)
    assert planner.get(f"{RUNS}/{run['id']}", headers=known).json()["state"] == "done"


def test_a_run_is_watched_from_waiting_to_its_end(served, planner, monkeypatch):
    # The worker waits for the one who watches, however slow the machine is.
    waiting, looking = threading.Event(), threading.Event()
    mark = runs_routes._mark

    def watched(answer: str) -> str:
        seen = json.loads(answer)
        if seen["state"] == "waiting":
            waiting.set()
        if seen["state"] == "running" and seen["progress"]:
            looking.set()
        return mark(answer)

    def make(shop, **more):
        plan = make_plan(shop, **more)
        assert not more["seconds"] or looking.wait(A_LONG_WAIT_S)
        return plan

    def work() -> None:
        assert waiting.wait(A_LONG_WAIT_S)
        worker.work_one(NEVER)

    monkeypatch.setattr(runs_routes, "_mark", watched)
    run = asked(planner).json()
    with worker_beside(served, make) as worker:
        hand = threading.Thread(target=work)
        hand.start()
        told = events(planner, run)
        hand.join()
    assert {event["event"] for event in told} == {"run"}
    runs = [json.loads(event["data"]) for event in told]
    assert runs[0]["state"] == "waiting"
    assert runs[-1] == read(planner, run)
    assert (runs[-1]["state"], runs[-1]["plan_version"]) == ("done", 1)
    assert "running" in [each["state"] for each in runs]
    assert any(each["progress"] for each in runs)
    assert len({event["id"] for event in told}) == len(told)


def test_what_was_told_is_not_told_again_to_who_comes_back(served, planner):
    run = asked(planner).json()
    worked(served)
    (last,) = events(planner, run)
    assert events(planner, run, **{"Last-Event-ID": last["id"]}) == []
    assert events(planner, run, **{"Last-Event-ID": "something else"}) == [last]


def test_a_stream_does_not_outlive_its_time(planner, monkeypatch):
    monkeypatch.setattr("mouldwright.api.routes.runs.LONGEST_STREAM_S", 0.5)
    run = asked(planner).json()
    (only,) = events(planner, run)
    assert json.loads(only["data"])["state"] == "waiting"


def test_a_run_that_waits_ends_at_once_when_it_is_stopped(planner):
    run = asked(planner).json()
    stopped = planner.post(f"{RUNS}/{run['id']}/cancel")
    assert stopped.json()["state"] == "cancelled"
    assert stopped.json() == planner.post(f"{RUNS}/{run['id']}/cancel").json()


def test_a_run_under_way_stops_with_the_best_so_far(served, planner):
    run = asked(planner, seconds=60).json()

    def make(shop, *, cancelled=None, **more):
        if more["seconds"]:
            assert planner.post(f"{RUNS}/{run['id']}/cancel").json()["cancel_asked"] is True
            until = time.monotonic() + A_LONG_WAIT_S
            while not cancelled() and time.monotonic() < until:
                time.sleep(0.01)
            more["seconds"] = 0.0
        return make_plan(shop, **more)

    with worker_beside(served, make, lease_s=0.3) as worker:
        worker.work_one(NEVER)
    ended = read(planner, run)
    assert (ended["state"], ended["plan_version"]) == ("cancelled", 1)
    assert planner.get(PLAN).json()["run"] == run["id"]


def test_the_best_so_far_can_be_read_and_published_while_the_search_goes_on(served, planner):
    run = asked(planner).json()
    at = f"{RUNS}/{run['id']}"
    problem_of(planner.get(f"{at}/plan"), 404, "unknown")
    problem_of(planner.post(f"{at}/publish"), 409, "conflict")
    seen = []

    def make(shop, **more):
        if more["seconds"]:
            seen.append(planner.get(f"{at}/plan").json())
            seen.append(planner.post(f"{at}/publish").json())
        return make_plan(shop, **more)

    worked(served, make)
    best, published = seen
    assert published["plan"] == best
    assert (published["version"], published["run"], published["is_current"]) == (1, run["id"], True)


def test_a_plan_that_holds_already_is_not_published_again(served, planner):
    run = asked(planner).json()
    worked(served)
    for _ in range(2):
        published = planner.post(f"{RUNS}/{run['id']}/publish")
        assert published.json()["version"] == 1
    assert published.headers["ETag"] == planner.get(PLAN).headers["ETag"]


def test_an_earlier_runs_plan_can_be_taken_back_while_nothing_has_changed(served, planner):
    first = asked(planner).json()
    worked(served)
    asked(planner, seed=2)
    worked(served)
    published = planner.post(f"{RUNS}/{first['id']}/publish").json()
    # Where both searches end in the same plan, the second one's holds in the first one's place.
    assert published["run"] == first["id"]
    assert published["version"] == 3
    assert planner.get(PLAN).json() == published


def test_a_plan_made_from_what_has_changed_since_is_refused(served, planner):
    run = asked(planner).json()
    worked(served)
    booked(planner)
    problem = problem_of(planner.post(f"{RUNS}/{run['id']}/publish"), 409, "conflict")
    assert "changed since this run began" in problem["detail"]
    assert planner.get(PLAN).json()["is_current"] is False


def test_a_run_made_stale_while_it_is_planned_says_so_and_another_waits(served, planner):
    run = asked(planner).json()

    def make(shop, **more):
        if more["seconds"]:
            booked(planner)
        return make_plan(shop, **more)

    worked(served, make)
    ended = read(planner, run)
    assert ended["state"] == "stale"
    assert "changed while this was planned" in ended["problems"][0]
    problem_of(planner.post(f"{RUNS}/{run['id']}/publish"), 409, "conflict")
    assert sorted(r["state"] for r in planner.get(RUNS).json()["runs"]) == ["stale", "waiting"]


def test_a_shop_that_cannot_be_planned_says_why(served, planner):
    # Its moulds have 219 pulls left, and no more are said to be coming.
    booked(planner, quantity=1_000)
    run = worked(served)
    ended = planner.get(f"{RUNS}/{run.id}").json()
    assert (ended["state"], ended["plan_version"]) == ("impossible", None)
    assert "stabiliser-pressed has 219 pulls left" in ended["problems"][0]
    (last,) = events(planner, ended)
    assert json.loads(last["data"]) == ended


@pytest.mark.parametrize(
    ("method", "path"),
    [("GET", ""), ("GET", "/plan"), ("GET", "/events"), ("POST", "/cancel"), ("POST", "/publish")],
)
def test_a_run_that_is_not_there_is_not_found(planner, method, path):
    problem_of(planner.request(method, f"{RUNS}/none{path}"), 404, "unknown")
