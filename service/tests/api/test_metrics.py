"""Figures on the service itself."""

from __future__ import annotations

import re
from datetime import timedelta

from service_bench import OTHER, SHOP, once

from mouldwright.api.metrics import MEDIA_TYPE
from mouldwright.store.engine import make_engine
from mouldwright.store.run_queue import StoreRunQueue


def figure(text: str, name: str) -> float:
    found = re.search(rf"^{re.escape(name)} (\S+)$", text, re.M)
    assert found, f"{name} is not in\n{text}"
    return float(found[1])


def test_requests_are_counted_by_pattern_and_never_by_address(served):
    client = served.client()
    for key in ("stabiliser", "main-foil", "Tern-survey-club"):
        client.get(f"/v1/shops/{SHOP}/parts/{key}")
    answer = served.client("keeper").get("/metrics")
    assert answer.headers["content-type"] == MEDIA_TYPE
    labels = 'method="GET",route="/v1/shops/{shop}/parts/{key}"'
    assert figure(answer.text, f'mouldwright_requests_total{{{labels},status="200"}}') == 2
    assert figure(answer.text, f'mouldwright_requests_total{{{labels},status="404"}}') == 1
    seconds = 'mouldwright_request_seconds_count{route="/v1/shops/{shop}/parts/{key}"}'
    assert figure(answer.text, seconds) == 3
    # The one that asks is the one that is open.
    assert figure(answer.text, "mouldwright_requests_open") == 1
    assert "Tern" not in answer.text
    assert SHOP not in answer.text


def test_a_method_of_the_callers_own_invention_adds_no_line_of_its_own(served):
    client = served.client("keeper")
    for n in range(5):
        client.request(f"ODD{n}", "/v1/health")
    text = client.get("/metrics").text
    labels = 'method="other",route="/v1/health",status="405"'
    assert figure(text, f"mouldwright_requests_total{{{labels}}}") == 5


def test_two_services_in_one_process_count_apart(served, tmp_path_factory):
    from service_bench import closing, service_bench

    with closing(service_bench(tmp_path_factory.mktemp("other"))) as other:
        other.client(None).get("/v1/health")
        text = served.client("keeper").get("/metrics").text
    assert "/v1/health" not in text


def test_the_runs_that_wait_are_counted_over_all_shops_and_the_longest_wait_is_told(served):
    def told() -> tuple[float, float]:
        text = served.client("keeper").get("/metrics").text
        names = ("mouldwright_runs_waiting", "mouldwright_runs_waiting_longest_seconds")
        return tuple(figure(text, name) for name in names)

    assert told() == (0, 0)
    first = served.client("planner").post(f"/v1/shops/{SHOP}/runs", json={}, headers=once())
    served.clock.on(seconds=40)
    other = f"/v1/shops/{OTHER}/runs"
    assert served.client("planner", OTHER).post(other, json={}, headers=once()).status_code == 202
    served.clock.on(seconds=2)
    # The first was asked for 40 s + 2 s ago.
    assert told() == (2, 42)
    served.client("planner").post(f"{first.headers['Location']}/cancel")
    assert told() == (1, 2)


def test_runs_that_wait_run_are_left_behind_or_set_aside_are_counted_apart(served):
    def told() -> list[float]:
        text = served.client("keeper").get("/metrics").text
        return [
            figure(text, f"mouldwright_runs_{name}")
            for name in ("waiting", "running", "lapsed", "set_aside")
        ]

    assert told() == [0, 0, 0, 0]
    path = f"/v1/shops/{SHOP}/runs"
    served.client("planner").post(path, json={}, headers=once())
    engine = make_engine(served.url)
    try:
        queue = StoreRunQueue(engine)
        run = queue.claim("a worker", served.clock(), timedelta(seconds=30))
        assert told() == [0, 1, 0, 0]
        # Its lease is over a second after the thirtieth.
        served.clock.on(seconds=31)
        assert told() == [0, 0, 1, 0]
        queue.set_aside(run, problem="It failed.", now=served.clock())
    finally:
        engine.dispose()
    assert told() == [0, 0, 0, 1]
    served.client("planner").post(path, json={}, headers=once())
    assert told() == [1, 0, 0, 1]
