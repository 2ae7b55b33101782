"""Traces: taken from who asks, told to whoever listens, carried to the run and its worker."""

from __future__ import annotations

import json
import logging
import re

import pytest
from service_bench import SHOP, closing, once, service_bench
from working import worked

from mouldwright import tracing
from mouldwright.logs import JsonLines

# The examples of W3C Trace Context (Recommendation, 23 November 2021), section 3.2.2 and 3.2.5.
SAMPLED = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01"
NOT_SAMPLED = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-00"
TRACE, PARENT = SAMPLED.split("-")[1:3]


@pytest.fixture
def spans():
    """Everything told of while a test lasts."""
    told: list[tracing.Span] = []
    end = tracing.listen(told.append)
    yield told
    end()


@pytest.fixture
def served(spans, tmp_path):
    with closing(service_bench(tmp_path)) as bench:
        spans.clear()
        yield bench


@pytest.mark.parametrize("text", [SAMPLED, NOT_SAMPLED])
def test_a_traceparent_is_read_and_written_as_the_standard_has_it(text):
    place = tracing.read_traceparent(text)
    assert (place.trace, place.span) == (TRACE, PARENT)
    assert place.traceparent == text


@pytest.mark.parametrize(
    "text",
    [
        "",
        f"ff-{TRACE}-{PARENT}-01",  # section 3.2.2.1: version ff is invalid
        f"00-{'0' * 32}-{PARENT}-01",  # 3.2.2.3: all zeros is no trace
        f"00-{TRACE}-{'0' * 16}-01",  # 3.2.2.4: nor a parent
        SAMPLED.upper(),  # 3.2.2: hexadecimal digits are small letters
        f"{SAMPLED}-more",  # 3.2.2.2: version 00 ends with its flags
        f"00-{TRACE[:-1]}-{PARENT}-01",
        "x" * 10_000,
    ],
)
def test_what_is_no_traceparent_is_left_out_of_account(text):
    assert tracing.read_traceparent(text) is None


def test_a_later_version_is_read_as_far_as_it_is_known():
    """Section 3.2.4: what is known of a higher version is read, whatever follows it."""
    assert tracing.read_traceparent(f"01-{TRACE}-{PARENT}-01-what-follows").trace == TRACE


def test_from_request_to_run_to_worker_it_is_one_trace(served, spans):
    asked = served.client("planner").post(
        f"/v1/shops/{SHOP}/runs",
        json={"seconds": 0.1},
        headers={**once(), "traceparent": SAMPLED, "X-Request-Id": "asked-for-a-run"},
    )
    assert asked.status_code == 202, asked.text
    (request,) = (span for span in spans if span.what == "request")
    assert (request.at.trace, request.parent) == (TRACE, PARENT)
    assert request.facts["request"] == "asked-for-a-run"
    assert (request.facts["status"], request.facts["route"]) == (202, "/v1/shops/{shop}/runs")
    statements = [span for span in spans if span.what == "statement"]
    assert {(span.at.trace, span.parent) for span in statements} == {(TRACE, request.at.span)}
    assert any(span.facts["statement"].startswith("INSERT INTO run ") for span in statements)

    spans.clear()
    assert worked(served).state == "done"
    (run,) = (span for span in spans if span.what == "run")
    assert (run.at.trace, run.parent) == (TRACE, request.at.span)
    assert (run.facts["run"], run.facts["state"]) == (asked.json()["id"], "done")
    within = [span for span in spans if span.what == "statement"]
    assert {(span.at.trace, span.parent) for span in within} == {(TRACE, run.at.span)}


def test_without_a_traceparent_each_request_begins_a_trace_of_its_own(served, spans):
    client = served.client("viewer")
    for given in ("", "nonsense"):
        client.get(f"/v1/shops/{SHOP}", headers={"traceparent": given})
    requests = [span for span in spans if span.what == "request"]
    assert [span.parent for span in requests] == ["", ""]
    assert len({span.at.trace for span in requests}) == 2


def test_no_value_of_a_statement_is_told(served, spans):
    body = {"part": "stabiliser", "process": "pressed", "quantity": 3, "customer": "Tern club"}
    answer = served.client("planner").post(f"/v1/shops/{SHOP}/quotes", json=body, headers=once())
    assert answer.status_code == 201
    assert any("quote" in str(span.facts) for span in spans)
    assert "Tern club" not in str(spans)
    assert served.client("owner").headers["Authorization"].split()[-1] not in str(spans)


def test_each_line_of_the_log_names_its_trace(served, caplog):
    caplog.set_level(logging.INFO, logger="mouldwright")
    caplog.handler.setFormatter(JsonLines())
    served.client("viewer").get(f"/v1/shops/{SHOP}", headers={"traceparent": SAMPLED})
    lines = [json.loads(line) for line in caplog.text.splitlines() if line.startswith("{")]
    (line,) = (line for line in lines if line["said"] == "request")
    assert line["trace"] == TRACE
    assert re.fullmatch(r"[0-9a-f]{16}", line["span"])
    assert line["span"] != PARENT


def test_a_hook_that_fails_breaks_nothing(served, caplog):
    def broken(span):
        raise RuntimeError("never mind")

    end = tracing.listen(broken)
    try:
        assert served.client("viewer").get(f"/v1/shops/{SHOP}").status_code == 200
    finally:
        end()
    assert "a hook failed" in caplog.text


def test_a_request_that_breaks_is_told_with_the_kind_of_its_error(served, spans, monkeypatch):
    with pytest.raises(KeyError), tracing.span("request"):
        raise KeyError("a name that must not be told")
    assert spans[-1].error == "KeyError"
    assert "must not be told" not in str(spans[-1])


def test_where_nobody_listens_nothing_is_told_and_nothing_kept(tmp_path):
    assert not tracing.is_on()
    with closing(service_bench(tmp_path)) as bench:
        asked = bench.client("planner").post(
            f"/v1/shops/{SHOP}/runs",
            json={"seconds": 0.1},
            headers={**once(), "traceparent": SAMPLED},
        )
        assert asked.status_code == 202
        with bench.services.units.read(SHOP) as unit:
            assert unit.runs.by_id(asked.json()["id"]).traceparent == ""


def test_a_setting_that_names_no_hook_is_refused_in_words():
    for wrong in ("nonsense", "json:no_such_function", "no.such.module:at_all"):
        with pytest.raises(ValueError, match="module:function"):
            tracing.begin(wrong)
    assert not tracing.is_on()
