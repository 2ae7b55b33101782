"""Customers' links over HTTP: made once, listed without secrets, withdrawn."""

from __future__ import annotations

import pytest
from quoting import QUOTES, made
from service_bench import OTHER, SHOP, once, problem_of, rows_kept
from test_reach import CLOSED, ask, named

LINKS = f"{QUOTES}/1/links"


@pytest.fixture
def planner(served):
    client = served.client("planner")
    made(client)
    return client


def test_a_link_is_made_once_and_its_path_shown_once(planner):
    key = once()
    first = planner.post(LINKS, json={"days": 14}, headers=key)
    assert first.status_code == 201, first.text
    assert first.json()["path"].startswith("/q/")
    assert len(first.json()["path"]) > 40
    again = planner.post(LINKS, json={"days": 14}, headers=key)
    assert again.json() == first.json() | {"path": None}
    (listed,) = planner.get(LINKS).json()["links"]
    assert listed == first.json()["link"]
    # Fourteen days from the bench's clock, 1 March 2027 at 8.
    assert listed["expires_at"] == "2027-03-15T08:00:00Z"


def test_a_link_holds_for_thirty_days_where_nothing_is_said(planner):
    link = planner.post(LINKS, headers=once()).json()["link"]
    assert (link["expires_at"], link["may_answer"]) == ("2027-03-31T08:00:00Z", True)


@pytest.mark.parametrize("days", [0, 366, -1])
def test_a_link_holds_for_one_to_365_days(planner, days):
    problem_of(planner.post(LINKS, json={"days": days}, headers=once()), 422, "invalid")


def test_what_is_kept_of_a_link_opens_nothing(served, planner):
    secret = planner.post(LINKS, headers=once()).json()["path"].removeprefix("/q/")
    kept = rows_kept(served.url)
    assert len(kept) > 5
    assert not [row for row in kept if secret in row]


def test_a_link_of_another_quote_or_shop_is_not_there(served, planner):
    made(planner)
    link = planner.post(LINKS, headers=once()).json()["link"]["id"]
    problem_of(planner.delete(f"{QUOTES}/2/links/{link}"), 404, "unknown")
    other = served.client("owner", OTHER)
    for path in (LINKS, f"{LINKS}/{link}".replace(SHOP, OTHER)):
        assert other.delete(f"{path}/{link}").status_code in {404, 405}
    problem_of(planner.get(f"{QUOTES}/9/links"), 404, "unknown")
    problem_of(planner.post(f"{QUOTES}/9/links", headers=once()), 404, "unknown")
    assert planner.get(LINKS).json()["links"][0]["revoked_at"] is None


def test_a_link_is_withdrawn_for_good(planner):
    link = planner.post(LINKS, headers=once()).json()["link"]["id"]
    for _ in range(2):
        assert planner.delete(f"{LINKS}/{link}").status_code == 204
    assert planner.get(LINKS).json()["links"][0]["revoked_at"] is not None


@pytest.fixture(scope="module")
def bearer(tmp_path_factory):
    from service_bench import service_bench

    bench = service_bench(tmp_path_factory.mktemp("links"))
    made(bench.client("planner"))
    answer = bench.client("planner").post(LINKS, headers=once())
    client = bench.client(None)
    client.headers["Authorization"] = f"Bearer {answer.json()['path'].removeprefix('/q/')}"
    yield client
    bench.opened.close()


@pytest.mark.parametrize("route", named(CLOSED))
def test_the_secret_of_a_link_opens_no_address_of_the_service(bearer, route):
    problem_of(ask(bearer, route), 401, "not-signed-in")
