"""Asked twice, made once: what creates something takes a key of the caller's own."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest
from service_bench import SHOP, once, problem_of

TOKENS = f"/v1/shops/{SHOP}/tokens"
BODY = {"role": "bench", "label": "tablet"}


def labels(served):
    return [token["label"] for token in served.client().get(TOKENS).json()["tokens"]]


def test_the_same_request_gives_the_same_reply_and_makes_one_thing(served):
    owner, asking = served.client(), once()
    replies = [owner.post(TOKENS, json=BODY, headers=asking) for _ in range(3)]
    assert {reply.json()["token"]["id"] for reply in replies} == {replies[0].json()["token"]["id"]}
    assert {reply.headers["location"] for reply in replies} == {replies[0].headers["location"]}
    assert labels(served).count("tablet") == 1


def test_a_key_belongs_to_one_request(served):
    owner, asking = served.client(), once()
    assert owner.post(TOKENS, json=BODY, headers=asking).status_code == 201
    other = owner.post(TOKENS, json={**BODY, "label": "phone"}, headers=asking)
    problem_of(other, 422, "key-reused")
    assert "phone" not in labels(served)


def test_a_key_belongs_to_one_caller(served):
    asking = once()
    ids = {
        served.client().post(TOKENS, json=BODY, headers=asking).json()["token"]["id"]
        for _ in range(2)
    }
    assert len(ids) == 2


@pytest.mark.parametrize("key", ["", '""', "x" * 201, "a\tb"])
def test_without_a_key_nothing_is_made(served, key):
    owner = served.client()
    problem_of(owner.post(TOKENS, json=BODY), 400, "key-missing")
    answer = owner.post(TOKENS, json=BODY, headers={"Idempotency-Key": key})
    problem_of(answer, 400, "key-missing")
    assert "tablet" not in labels(served)


def test_a_key_may_come_in_quotes(served):
    owner = served.client()
    first = owner.post(TOKENS, json=BODY, headers={"Idempotency-Key": '"seven"'}).json()
    again = owner.post(TOKENS, json=BODY, headers={"Idempotency-Key": "seven"}).json()
    assert first["token"] == again["token"]


def test_many_who_ask_at_once_with_one_key_make_one_thing(served):
    owner, asking = served.client(), once()

    def ask(_: int) -> str:
        return owner.post(TOKENS, json=BODY, headers=asking).json()["token"]["id"]

    with ThreadPoolExecutor(8) as pool:
        ids = set(pool.map(ask, range(16)))
    assert len(ids) == 1
    assert labels(served).count("tablet") == 1


def test_a_request_that_was_refused_may_be_mended_under_the_same_key(served):
    owner, asking = served.client(), once()
    problem_of(owner.post(TOKENS, json={"role": "king"}, headers=asking), 422, "invalid")
    assert owner.post(TOKENS, json=BODY, headers=asking).status_code == 201
