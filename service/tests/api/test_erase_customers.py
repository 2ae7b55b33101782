"""A customer erased: the name goes from all that is kept, every figure stays."""

from __future__ import annotations

import pytest
from promise_bench import DEMO
from quoting import ORDERS, QUOTES, booked, made
from service_bench import SHOP, once, problem_of

ERASE = f"/v1/shops/{SHOP}/customers/erase"


@pytest.fixture
def planner(served):
    return served.client("planner")


def test_a_customer_is_erased_everywhere_and_every_figure_stays(served, planner):
    name = 'Würfel & Söhne "Süd"'
    key = once()
    body = {"part": "stabiliser", "process": "pressed", "quantity": 2, "customer": name}
    first = planner.post(QUOTES, json=body, headers=key)
    booked(planner, customer=name)
    other = made(planner).json()
    before = planner.get(f"{QUOTES}/2").json()
    owner = served.client("owner")
    answer = owner.post(ERASE, json={"customer": name})
    # Two quotes and one order.
    assert answer.json() == {"places": 3}
    assert planner.get(f"{QUOTES}/2").json() == before | {"customer": ""}
    assert planner.get(f"{ORDERS}/Q2").json()["customer"] == ""
    assert planner.get(f"{QUOTES}/3").json() == other
    # Nor does it come back with a reply that was kept.
    again = planner.post(QUOTES, json=body, headers=key)
    assert again.json() == first.json() | {"customer": ""}
    assert owner.post(ERASE, json={"customer": name}).json() == {"places": 0}


def test_what_was_known_with_a_name_is_not_known_without(served, planner):
    draft = made(planner)
    served.client("owner").post(ERASE, json={"customer": draft.json()["customer"]})
    answer = planner.get(f"{QUOTES}/1", headers={"If-None-Match": draft.headers["ETag"]})
    assert (answer.status_code, answer.json()["customer"]) == (200, "")


def test_nobody_without_a_name_is_erased(served):
    for name in ("", "  "):
        problem_of(served.client("owner").post(ERASE, json={"customer": name}), 422, "invalid")


def test_the_name_goes_from_orders_written_in_every_version_of_the_shop(served):
    owner, at = served.client("owner"), f"/v1/shops/{SHOP}"
    name = DEMO.orders[0].customer
    shop = owner.get(at)
    again = owner.put(
        at, json={"scenario": shop.json()["scenario"]}, headers={"If-Match": shop.headers["ETag"]}
    )
    assert again.status_code == 200, again.text
    assert owner.post(ERASE, json={"customer": name}).json() == {"places": 2}
    for version in (1, 2):
        answer = owner.get(at, params={"version": version})
        assert f'"{name}"' not in answer.text
        orders = answer.json()["scenario"]["orders"]
        assert [o["quantity"] for o in orders] == [o.quantity for o in DEMO.orders]


def test_another_shops_customer_of_that_name_stays(served):
    name = DEMO.orders[0].customer
    keeper = served.client("keeper")
    other = "/v1/shops/copy"
    body = {"key": "copy", "scenario": keeper.get(f"/v1/shops/{SHOP}").json()["scenario"]}
    assert keeper.post("/v1/shops", json=body, headers=once()).status_code == 201
    keeper.post(ERASE, json={"customer": name})
    assert f'"{name}"' in keeper.get(other).text


@pytest.mark.parametrize("what", ["", "/scenario.json", "/scenario.toml", "?version=1"])
def test_a_copy_of_the_shop_with_the_name_is_not_said_to_hold(served, what):
    name = DEMO.orders[0].customer
    owner, at = served.client("owner"), f"/v1/shops/{SHOP}{what}"
    copy = owner.get(at)
    assert name in copy.text
    known = {"If-None-Match": copy.headers["ETag"]}
    assert owner.get(at, headers=known).status_code == 304
    owner.post(ERASE, json={"customer": name})
    answer = owner.get(at, headers=known)
    assert answer.status_code == 200
    assert name not in answer.text
    assert owner.get(at, headers={"If-None-Match": answer.headers["ETag"]}).status_code == 304


def test_who_read_the_shop_before_cannot_write_the_name_back(served):
    name = DEMO.orders[0].customer
    owner, at = served.client("owner"), f"/v1/shops/{SHOP}"
    read = owner.get(at)
    owner.post(ERASE, json={"customer": name})
    body = {"scenario": read.json()["scenario"]}
    late = owner.put(at, json=body, headers={"If-Match": read.headers["ETag"]})
    problem_of(late, 412, "stale")
    now = owner.get(at)
    again = owner.put(
        at,
        json={"scenario": now.json()["scenario"]},
        headers={"If-Match": now.headers["ETag"]},
    )
    assert again.status_code == 200, again.text
    # The version after has the tag that a read gives.
    assert owner.get(at).headers["ETag"] == again.headers["ETag"]


def test_an_entry_has_the_shops_tag_then_too_and_is_changed_with_it(served):
    owner, at = served.client("owner"), f"/v1/shops/{SHOP}"
    before = owner.get(f"{at}/parts/stabiliser")
    owner.post(ERASE, json={"customer": DEMO.orders[0].customer})
    tag = owner.get(f"{at}/parts/stabiliser").headers["ETag"]
    assert tag == owner.get(at).headers["ETag"] != before.headers["ETag"]
    body = before.json()["part"]
    put = owner.put(f"{at}/parts/stabiliser", json=body, headers={"If-Match": tag})
    assert put.status_code == 200, put.text
    assert put.headers["ETag"] == owner.get(at).headers["ETag"]
    late = owner.put(f"{at}/parts/stabiliser", json=body, headers={"If-Match": tag})
    problem_of(late, 412, "stale")
