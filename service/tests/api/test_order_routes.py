"""Orders over HTTP: changed by who read them, paid for where begun, called off."""

from __future__ import annotations

from decimal import Decimal

import pytest
from quoting import ORDERS, QUOTES, RUNS, booked, match
from service_bench import SHOP, if_match, problem_of


@pytest.fixture
def planner(served):
    return served.client("planner")


def read(client, number: str = "Q1"):
    return client.get(f"{ORDERS}/{number}")


def changed(client, number: str = "Q1", **what):
    return client.patch(f"{ORDERS}/{number}", json=what, headers=match(read(client, number)))


def cancelled(client, by: str = "customer"):
    return client.post(f"{ORDERS}/Q1/cancel", json={"by": by}, headers=match(read(client)))


def whys(client) -> list[str]:
    return [run["why"] for run in client.get(RUNS).json()["runs"]]


def test_orders_are_listed_page_by_page_with_those_written_in_the_shop_first(planner):
    for quantity in (1, 2, 3):
        booked(planner, quantity=quantity)
    first = planner.get(ORDERS, params={"limit": 2}).json()
    rest = planner.get(ORDERS, params={"limit": 2, "cursor": first["next"]}).json()
    assert [o["number"] for o in (*first["orders"], *rest["orders"])] == ["Q1", "Q2", "Q3"]
    assert len(first["written"]) == 6
    assert (rest["written"], rest["next"]) == ([], None)


def test_only_open_orders_where_that_is_asked(planner):
    booked(planner)
    booked(planner)
    assert cancelled(planner).status_code == 200
    listed = planner.get(ORDERS, params={"open": True}).json()["orders"]
    assert [order["number"] for order in listed] == ["Q2"]
    assert len(planner.get(ORDERS).json()["orders"]) == 2


def test_another_quantity_is_priced_anew_as_a_further_revision(planner):
    booked(planner)
    answer = changed(planner, quantity=20)
    assert answer.status_code == 200, answer.text
    order = answer.json()
    assert (order["quantity"], order["revision"], order["version"]) == (20, 2, 2)
    assert answer.headers["ETag"] == '"2"'
    assert read(planner).json() == order
    quote = planner.get(f"{QUOTES}/1").json()
    asked = planner.post(
        f"/v1/shops/{SHOP}/price",
        json={"part": "stabiliser", "process": "pressed", "quantity": 20},
    ).json()
    assert (quote["state"], quote["quote"]["net"]) == ("accepted", asked["net"])


def test_date_and_weight_leave_the_price_as_it_was_and_are_planned_anew(planner):
    booked(planner)
    order = changed(planner, due="2027-05-03T12:00:00+02:00", weight=5).json()
    assert (order["due"], order["weight"]) == ("2027-05-03T11:00:00+01:00", 5)
    assert (order["revision"], order["version"]) == (1, 2)
    # The run that waits since the acceptance will do.
    assert whys(planner) == ["quote 1 was accepted"]


def test_a_weight_stays_when_the_quantity_changes(planner):
    booked(planner)
    changed(planner, weight=5)
    assert changed(planner, quantity=20).json()["weight"] == 5


def test_everything_may_change_at_once_but_what_is_begun(planner):
    booked(planner)
    order = changed(planner, quantity=20, due="2027-05-03T12:00:00Z", weight=3).json()
    assert (order["quantity"], order["due"], order["weight"]) == (
        20,
        "2027-05-03T13:00:00+01:00",
        3,
    )
    refused = problem_of(changed(planner, quantity=3, begun=5), 422, "invalid")
    assert refused["errors"][0]["pointer"] == "#/begun"


def test_a_change_of_nothing_changes_nothing(planner):
    booked(planner)
    assert changed(planner, quantity=12, weight=1).json()["version"] == 1


def test_fewer_than_are_begun_are_paid_for_or_refused(planner):
    booked(planner)
    changed(planner, begun=5)
    told = problem_of(changed(planner, quantity=3), 409, "conflict")["detail"]
    assert "5 parts are begun" in told
    order = changed(planner, quantity=3, pay_for_begun=True).json()
    assert (order["quantity"], order["begun"]) == (3, 5)
    quote = planner.get(f"{QUOTES}/1").json()
    assert quote["given_up"] == 2
    kinds = {line["kind"]: line for line in quote["quote"]["lines"]}
    assert kinds["cancellation"]["quantity"] == "2"
    amounts = [Decimal(line["amount"]) for line in quote["quote"]["lines"]]
    assert sum(amounts) == Decimal(quote["quote"]["net"])


def test_an_order_is_changed_only_by_who_read_it_last(planner):
    booked(planner)
    problem_of(planner.patch(f"{ORDERS}/Q1", json={"weight": 2}), 428, "version-missing")
    assert changed(planner, weight=2).status_code == 200
    stale = planner.patch(f"{ORDERS}/Q1", json={"weight": 3}, headers=if_match(1))
    problem_of(stale, 412, "stale")
    problem_of(
        planner.post(f"{ORDERS}/Q1/cancel", json={"by": "shop"}, headers=if_match(1)), 412, "stale"
    )
    assert read(planner).json()["weight"] == 2


def test_called_off_by_the_customer_the_deposit_covers_what_is_begun(planner):
    booked(planner)
    quote = planner.get(f"{QUOTES}/1").json()["quote"]
    changed(planner, begun=3)
    told = cancelled(planner).json()
    work = 3 * Decimal(quote["unit_cost"])
    assert Decimal(told["work_done"]) == work
    assert told["deposit"] == quote["deposit"]
    assert Decimal(told["kept"]) == work
    assert Decimal(told["refunded"]) == Decimal(quote["deposit"]) - work
    assert (told["order"]["state"], told["owed"]) == ("cancelled", "0.00")
    problem_of(cancelled(planner), 409, "conflict")
    problem_of(changed(planner, quantity=4), 409, "conflict")


def test_called_off_by_the_shop_the_whole_deposit_goes_back(planner):
    booked(planner)
    changed(planner, begun=3)
    told = cancelled(planner, by="shop").json()
    assert (told["kept"], told["refunded"]) == ("0.00", told["deposit"])


@pytest.mark.parametrize(
    ("what", "pointer"),
    [
        ({"quantity": 0}, "#/quantity"),
        ({"weight": -1}, "#/weight"),
        ({"due": "tomorrow"}, "#/due"),
        ({"begun": 1.5}, "#/begun"),
        ({"price": "1.00"}, "#/price"),
    ],
)
def test_what_cannot_be_right_is_pointed_at(planner, what, pointer):
    booked(planner)
    (item,) = problem_of(changed(planner, **what), 422, "invalid")["errors"]
    assert item["pointer"] == pointer


def test_fewer_begun_than_before_are_refused(planner):
    booked(planner)
    changed(planner, begun=3)
    problem_of(changed(planner, begun=2), 409, "conflict")


def test_an_order_that_is_not_there_is_not_found(planner):
    headers = if_match(1)
    problem_of(read(planner, "Q9"), 404, "unknown")
    problem_of(planner.patch(f"{ORDERS}/Q9", json={}, headers=headers), 404, "unknown")
    cancel = planner.post(f"{ORDERS}/Q9/cancel", json={"by": "shop"}, headers=headers)
    problem_of(cancel, 404, "unknown")
