"""Signing in by a one-time link, and the tokens of a shop."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest
from service_bench import OTHER, SHOP, once, problem_of, rows_kept

from mouldwright.usecases.access import promise_sign_in
from mouldwright.usecases.kept import Role

TOKENS = f"/v1/shops/{SHOP}/tokens"
BENCH = {"role": "bench", "label": "tablet at the press"}


def code_for(served, *, shop=None, role=Role.KEEPER) -> str:
    services = served.services
    return promise_sign_in(
        services.units, shop=shop, role=role, minutes=15, now=served.clock(), chance=services.chance
    )


def bearer(secret: str) -> dict[str, str]:
    return {"Authorization": f"Bearer {secret}"}


def test_the_code_of_a_link_signs_in_once_and_no_more(served):
    code, nobody = code_for(served), served.client(None)
    issued = nobody.post("/v1/sign-in", json={"code": code})
    assert issued.status_code == 201
    assert issued.json()["token"]["role"] == "keeper"
    me = nobody.get("/v1/me", headers=bearer(issued.json()["secret"]))
    assert me.json() == issued.json()["token"]
    problem_of(nobody.post("/v1/sign-in", json={"code": code}), 401, "not-signed-in")


def test_a_code_lapses_after_its_minutes(served):
    code = code_for(served)
    served.clock.on(minutes=15)
    problem_of(served.client(None).post("/v1/sign-in", json={"code": code}), 401, "not-signed-in")


def test_nobody_is_told_to_sign_in_with_a_bearer_token(served):
    answer = served.client(None).get("/v1/me")
    problem_of(answer, 401, "not-signed-in")
    assert answer.headers["www-authenticate"] == "Bearer"


@pytest.mark.parametrize("shown", ["Basic dXNlcjpwYXNz", "Bearer", "Bearer wrong", "nonsense"])
def test_a_token_that_is_none_opens_nothing(served, shown):
    answer = served.client(None).get("/v1/me", headers={"Authorization": shown})
    problem_of(answer, 401, "not-signed-in")


def test_a_token_expires(served):
    client = served.client("viewer")
    assert client.get("/v1/me").status_code == 200
    served.clock.on(days=30)
    problem_of(client.get("/v1/me"), 401, "not-signed-in")


def test_a_rotated_token_gives_way_to_the_new_one_at_once(served):
    client = served.client("planner")
    issued = client.post("/v1/me/rotate", headers=once()).json()
    assert issued["token"]["role"] == "planner"
    assert issued["token"]["shop"] == SHOP
    problem_of(client.get("/v1/me"), 401, "not-signed-in")
    assert client.get("/v1/me", headers=bearer(issued["secret"])).status_code == 200


OVERLAP = {"overlap_minutes": 30}


def test_a_rotated_token_holds_on_for_as_long_as_was_said(served):
    client = served.client("planner")
    new = client.post("/v1/me/rotate", params=OVERLAP, headers=once()).json()["secret"]
    served.clock.on(minutes=29)
    assert client.get("/v1/me").status_code == 200
    served.clock.on(minutes=1)
    problem_of(client.get("/v1/me"), 401, "not-signed-in")
    assert client.get("/v1/me", headers=bearer(new)).json()["role"] == "planner"


def test_a_token_that_ends_sooner_is_not_made_to_last_by_an_overlap(served):
    client = served.client("planner")
    # A test's tokens hold for 30 days.
    served.clock.on(days=29, hours=23, minutes=50)
    client.post("/v1/me/rotate", params=OVERLAP, headers=once())
    served.clock.on(minutes=10)
    problem_of(client.get("/v1/me"), 401, "not-signed-in")


def test_rotating_twice_with_one_key_makes_one_token_and_shows_its_secret_once(served):
    client, asking = served.client("planner"), once()
    first, again = (
        client.post("/v1/me/rotate", params=OVERLAP, headers=asking).json() for _ in range(2)
    )
    assert first["token"] == again["token"]
    assert (bool(first["secret"]), again["secret"]) == (True, None)
    other = client.post("/v1/me/rotate", params=OVERLAP, headers=once()).json()
    assert other["token"]["id"] != first["token"]["id"]


def test_of_many_who_rotate_one_token_at_once_one_is_given_a_new_one(served):
    client = served.client("planner")

    def rotate(_: int) -> int:
        return client.post("/v1/me/rotate", headers=once()).status_code

    with ThreadPoolExecutor(6) as pool:
        assert sorted(pool.map(rotate, range(6))) == [201, 401, 401, 401, 401, 401]


@pytest.mark.parametrize(("query", "kind"), [({}, "key-missing"), ({"overlap_minutes": 1441}, "")])
def test_rotating_wants_a_key_and_no_more_than_a_day(served, query, kind):
    client = served.client("planner")
    if kind:
        problem_of(client.post("/v1/me/rotate"), 400, kind)
    else:
        problem_of(client.post("/v1/me/rotate", params=query, headers=once()), 422, "invalid")
    assert client.get("/v1/me").status_code == 200


def test_an_issued_token_opens_its_shop_and_its_secret_is_shown_once(served):
    owner, asking = served.client(), once()
    first = owner.post(TOKENS, json=BENCH, headers=asking)
    again = owner.post(TOKENS, json=BENCH, headers=asking)
    assert (first.status_code, again.status_code) == (201, 201)
    assert first.json()["token"] == again.json()["token"]
    assert again.json()["secret"] is None
    secret = first.json()["secret"]
    assert owner.get(first.headers["location"]).json() == first.json()["token"]
    nobody = served.client(None)
    assert nobody.get("/v1/me", headers=bearer(secret)).json()["role"] == "bench"
    listed = owner.get(TOKENS).json()["tokens"]
    assert first.json()["token"] in listed
    assert "secret" not in listed[0]


def test_a_withdrawn_token_opens_nothing_and_stays_listed(served):
    owner = served.client()
    issued = owner.post(TOKENS, json=BENCH, headers=once()).json()
    address = f"{TOKENS}/{issued['token']['id']}"
    assert owner.delete(address).status_code == 204
    assert owner.delete(address).status_code == 204
    answer = served.client(None).get("/v1/me", headers=bearer(issued["secret"]))
    problem_of(answer, 401, "not-signed-in")
    assert owner.get(address).json()["revoked_at"] == "2027-03-01T08:00:00Z"


def test_a_token_of_another_shop_is_not_found(served):
    issued = (
        served.client("owner", OTHER)
        .post(f"/v1/shops/{OTHER}/tokens", json=BENCH, headers=once())
        .json()
    )
    address = f"{TOKENS}/{issued['token']['id']}"
    problem_of(served.client().get(address), 404, "unknown")
    problem_of(served.client().delete(address), 404, "unknown")


def test_no_token_is_kept_in_clear(served):
    issued = served.client().post(TOKENS, json=BENCH, headers=once()).json()
    kept = "".join(rows_kept(served.url))
    assert issued["token"]["id"] in kept
    assert issued["secret"] not in kept


def test_a_browser_is_known_by_its_session(served):
    client = served.client(None)
    client.cookies.set("mouldwright_session", served.secret("viewer"))
    assert client.get("/v1/me").json()["role"] == "viewer"
