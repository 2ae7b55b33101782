"""What stands around every request: names, origins, sizes, ids, headers, the log."""

from __future__ import annotations

import json
import logging

import pytest
from service_bench import SHOP, closing, once, problem_of, service_bench

from mouldwright.logs import JsonLines

TOKENS = f"/v1/shops/{SHOP}/tokens"


@pytest.mark.parametrize(
    "host", ["127.0.0.1", "127.0.0.1:8000", "localhost:1", "LOCALHOST", "[::1]:8000"]
)
def test_it_answers_to_a_name_of_its_own_on_any_port(served, host):
    assert served.client(None).get("/v1/health", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "127.0.0.1.evil.example",
        "localhost@evil.example",
        "evil.example:8000",
        "",
        "[::1",
        "127.0.0.1:port",
    ],
)
@pytest.mark.parametrize("path", ["/v1/health", "/v1/me", "/nowhere"])
def test_it_answers_to_no_other_name(served, host, path):
    problem_of(served.client().get(path, headers={"Host": host}), 421, "misdirected")


def test_a_name_can_be_added(tmp_path):
    with closing(service_bench(tmp_path, trusted_hosts="Bench.example, other")) as bench:
        answer = bench.client(None).get("/v1/health", headers={"Host": "bench.example"})
    assert answer.status_code == 200


OURS = "http://127.0.0.1:8000"


@pytest.mark.parametrize(
    ("sent", "passes"),
    [
        ({"Origin": OURS}, True),
        ({"Sec-Fetch-Site": "same-origin"}, True),
        ({}, False),
        ({"Origin": "http://evil.example"}, False),
        ({"Origin": "http://127.0.0.1:9000"}, False),
        ({"Origin": "null"}, False),
        ({"Origin": f"{OURS}.evil.example"}, False),
        ({"Sec-Fetch-Site": "cross-site"}, False),
        ({"Sec-Fetch-Site": "same-site"}, False),
        ({"Origin": "http://evil.example", "Sec-Fetch-Site": "same-origin"}, False),
    ],
)
def test_a_session_changes_things_only_from_a_page_of_our_own(served, sent, passes):
    browser = served.client(None)
    browser.cookies.set("mouldwright_session", served.secret("owner"))
    body = {"role": "bench", "label": "x"}
    answer = browser.post(TOKENS, json=body, headers={**once(), **sent})
    if passes:
        assert answer.status_code == 201
    else:
        problem_of(answer, 403, "other-origin")
        assert len(browser.get(TOKENS).json()["tokens"]) == 1


def test_a_token_needs_no_origin(served):
    body = {"role": "bench", "label": "x"}
    sent = {**once(), "Origin": "http://evil.example"}
    assert served.client().post(TOKENS, json=body, headers=sent).status_code == 201


def chunks(total: int):
    for _ in range(total // 1000):
        yield b" " * 1000


def test_a_body_that_is_too_long_is_refused_however_its_length_is_given(tmp_path):
    with closing(service_bench(tmp_path, largest_body_bytes=5_000)) as bench:
        client = bench.client("keeper")
        sent = {**once(), "Content-Type": "application/json"}
        said = client.post("/v1/shops", content=b" " * 5_001, headers=sent)
        problem = problem_of(said, 413, "too-large")
        assert "5,000 bytes" in problem["detail"]
        problem_of(client.post("/v1/shops", content=chunks(6_000), headers=sent), 413, "too-large")
        # One of just the right length is read, and found to be no JSON.
        read = client.post("/v1/shops", content=b" " * 5_000, headers=sent)
        problem_of(read, 400, "not-json")


@pytest.mark.parametrize(
    "body",
    [b"{", b"nonsense", b'{"role": }', b"\xff\xfe", b"[" * 100_000, b'{"days": ' + b"1" * 5000],
)
def test_what_is_not_json_cannot_be_read(served, body):
    sent = {**once(), "Content-Type": "application/json"}
    problem_of(served.client().post(TOKENS, content=body, headers=sent), 400, "not-json")


@pytest.mark.parametrize("said", ["text/plain", "application/toml", "multipart/form-data", ""])
def test_a_body_of_another_type_is_not_read(served, said):
    sent = {**once(), "Content-Type": said}
    body = b'{"role": "bench", "label": "x"}'
    problem_of(served.client().post(TOKENS, content=body, headers=sent), 415, "not-the-type")


def test_json_may_be_said_with_a_charset_or_a_suffix(served):
    for said in ("application/json; charset=utf-8", "application/merge-patch+json"):
        sent = {**once(), "Content-Type": said}
        body = b'{"role": "bench", "label": "x"}'
        assert served.client().post(TOKENS, content=body, headers=sent).status_code == 201


@pytest.mark.parametrize("text", [r"a\u0000b", r"\ud83d", r"\uDC00 x"])
def test_text_that_no_database_keeps_is_refused_with_its_place(served, text):
    sent = {**once(), "Content-Type": "application/json"}
    body = f'{{"role": "bench", "label": "{text}"}}'
    problem = problem_of(served.client().post(TOKENS, content=body, headers=sent), 422, "invalid")
    assert [fault["pointer"] for fault in problem["errors"]] == ["#/label"]


def test_a_whole_character_beyond_the_first_plane_is_kept(served):
    sent = {**once(), "Content-Type": "application/json"}
    answer = served.client().post(
        TOKENS, content=r'{"role": "bench", "label": "\ud83d\ude00"}', headers=sent
    )
    assert answer.json()["token"]["label"] == "\N{GRINNING FACE}"


@pytest.mark.parametrize("path", ["/v1/shops/a%00b", f"{TOKENS}/%00", "/v1/me?x=%00"])
def test_a_nul_in_an_address_leads_nowhere(served, path):
    problem_of(served.client("keeper").get(path), 404, "no-such-address")


@pytest.mark.parametrize("path", ["/v1/health", "/nowhere", "/v1/me", f"{TOKENS}/x"])
def test_every_answer_has_an_id_and_keeps_browsers_careful(served, path):
    answer = served.client(None).get(path)
    assert len(answer.headers["x-request-id"]) == 16
    assert answer.headers["x-content-type-options"] == "nosniff"
    # A page tells its own service where it was called from, and nobody else.
    assert answer.headers["referrer-policy"] in {"no-referrer", "same-origin"}
    assert "default-src 'none'" in answer.headers["content-security-policy"]
    assert "server" not in answer.headers


def test_an_id_of_the_callers_own_is_kept_where_it_is_plain(served):
    client = served.client(None)
    kept = client.get("/v1/health", headers={"X-Request-Id": "bench-7.2027_03"})
    assert kept.headers["x-request-id"] == "bench-7.2027_03"
    for odd in ("short", "a b c d e f g", "x" * 65, '"quoted-id"'):
        answer = client.get("/v1/health", headers={"X-Request-Id": odd})
        assert answer.headers["x-request-id"] != odd


def test_an_unknown_address_and_a_wrong_method_are_problems_too(served):
    client = served.client()
    problem_of(client.get("/v1/nowhere"), 404, "no-such-address")
    problem_of(client.get("/v1/me/"), 404, "no-such-address")
    refused = client.delete("/v1/health")
    problem_of(refused, 405, "no-such-method")
    assert refused.headers["allow"] == "GET"


def test_what_breaks_inside_is_a_problem_without_a_word_of_it(served, monkeypatch, caplog):
    def broken(*_):
        raise RuntimeError("the customer is Tern survey club")

    monkeypatch.setattr("mouldwright.api.routes.access._answer", broken)
    with caplog.at_level(logging.INFO, logger="mouldwright"):
        answer = served.client().get("/v1/me")
    problem_of(answer, 500, "failed")
    assert "Tern" not in answer.text
    lines = [JsonLines().format(record) for record in caplog.records]
    assert "Tern" not in "".join(lines)
    failed = next(json.loads(line) for line in lines if '"failed"' in line)
    assert failed["request"] == answer.headers["x-request-id"]
    assert failed["error"] == "RuntimeError"
    assert "test_guard.py" in failed["frames"][-1]


def test_a_store_that_is_away_is_said_by_the_health(tmp_path):
    with closing(service_bench(tmp_path)) as bench:
        bench.app.state.services = type(bench.services)(
            **{
                **{name: getattr(bench.services, name) for name in bench.services.__slots__},
                "alive": lambda: 1 / 0,
            }
        )
        answer = bench.client(None).get("/v1/health")
    problem_of(answer, 503, "store-away")
    assert answer.headers["retry-after"] == "5"
