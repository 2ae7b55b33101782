"""The ledgers over HTTP: what was logged moves moulds and stock, and leads from part to lot."""

from __future__ import annotations

import pytest
from bench_log import done, entry, logged, members, work
from quoting import QUOTES, RUNS, booked
from service_bench import SHOP, once, problem_of
from working import worked

from mouldwright.domain.record.log import Happening

HERE = f"/v1/shops/{SHOP}"
MOULD = "stabiliser-pressed 3"


def step(operation, *, mould=MOULD, **more):
    return work(operation, mould=mould, order="1001", part="stabiliser", **more)


@pytest.fixture
def noted(served):
    """The demo shop with one pull logged from mixing to the scale."""
    with served.services.units.write(SHOP) as unit:
        unit.log.bring(
            logged(
                *done(9, step("mix", mould=None, pulls=[1])),
                *done(9.5, step("load", pulls=[1]), temperature_c=18),
                *done(33, step("cure", pulls=[1]), began=9.6),
                *done(34, step("demould", pulls=[1]), people=("tomas",)),
                entry(Happening.WEIGHED, 35, members=members("1001", parts=[1]), mass_g="110"),
            )
        )
        unit.commit()
    served.clock.on(hours=40)
    return served.client("viewer")


def test_a_mould_stands_as_the_log_left_it(noted):
    every = {each["name"]: each for each in noted.get(f"{HERE}/ledgers/moulds").json()["moulds"]}
    # 12 pulls are written for number 3 of the demo, of a life of 60.
    assert (every[MOULD]["pulls"], every[MOULD]["life_left"]) == (13, 47)
    assert every[MOULD]["pulled_by"] == {"tomas": 1}
    one = noted.get(f"{HERE}/ledgers/moulds/{MOULD}").json()
    assert one["mould"] == every[MOULD]
    assert [(m["what"], m["pull"], m["parts"]) for m in one["moves"]] == [
        ("pull", "1001 pull 1", [1])
    ]


def test_stock_stands_to_the_gram_and_says_what_the_plan_will_take(noted, served):
    planner = served.client("planner")
    planner.post(RUNS, json={"seconds": 0.05}, headers=once())
    worked(served)
    every = {m["material"]: m for m in noted.get(f"{HERE}/ledgers/stock").json()["materials"]}
    # One pull takes 54.66 g of mix; 60 g is the least: 46.2 and 13.8 at 100 : 30.
    assert (every["epoxy-resin"]["used"], every["epoxy-resin"]["left"]) == ("46.2", "413.8")
    assert float(every["epoxy-resin"]["reserved"]) > 0
    one = noted.get(f"{HERE}/ledgers/stock/epoxy-resin").json()
    assert one["material"] == every["epoxy-resin"]
    assert [(line["what"], line["amount"]) for line in one["lines"]] == [
        ("opening", "460"),
        ("used", "-46.2"),
    ]
    taken = sum(float(each["amount"]) for each in one["reservations"])
    assert taken == pytest.approx(float(one["material"]["reserved"]))


def test_a_serial_leads_to_the_lot_and_the_lot_back_to_the_serial(noted):
    part = noted.get(f"{HERE}/trace/1001-1").json()
    assert (part["mould"], part["customer"], part["stands"]) == (
        MOULD,
        "A trimaran club",
        "in work",
    )
    assert (part["cures"][0]["temperature_c"], part["weight"]["state"]) == ("18", "heavy")
    assert part["trend"]["words"].startswith("Too few: 1")
    lots = {(lot["material"], lot["lot"]) for mix in part["mixes"] for lot in mix["lots"]}
    assert ("epoxy-hardener", "1") in lots
    for asked in (
        {"order": "1001"},
        {"mould": MOULD},
        {"material": "epoxy-hardener", "lot": "1"},
        {"mix": part["mixes"][0]["entry"]},
    ):
        found = noted.get(f"{HERE}/trace", params=asked).json()["parts"]
        assert [each["serial"] for each in found] == ["1001-1"], asked
    none = noted.get(f"{HERE}/trace", params={"order": "1001", "mould": "main-foil-pressed 1"})
    assert none.json() == {"parts": []}


def test_an_order_says_what_it_really_cost_beside_what_it_was_reckoned_to(noted):
    cost = noted.get(f"{HERE}/orders/1001/cost").json()
    assert (cost["begun"], cost["in_work"], cost["whole"]) == (1, 1, False)
    groups = {group["kind"]: group for group in cost["groups"]}
    assert groups["tooling"]["really"] == "0.77"  # one pull of 46.00 / 60
    assert (cost["seconds"], cost["seconds_income"], cost["really_each_after"]) == (0, "0.00", None)
    assert sum(float(g["really"]) for g in groups.values()) == pytest.approx(
        float(cost["really"]), abs=0.05
    )


def test_what_nobody_knows_is_not_found_and_a_lot_wants_its_material(noted):
    for path in ("ledgers/moulds/none", "ledgers/stock/none", "trace/1001-99", "orders/9/cost"):
        problem_of(noted.get(f"{HERE}/{path}"), 404, "unknown")
    problem_of(noted.get(f"{HERE}/trace/1001"), 422, "invalid")
    problem_of(noted.get(f"{HERE}/trace", params={"lot": "1"}), 422, "invalid")


def test_a_shop_without_a_log_or_plan_answers_all_the_same(served):
    viewer = served.client("viewer")
    moulds = viewer.get(f"{HERE}/ledgers/moulds").json()["moulds"]
    assert {each["ahead"]["planned_pulls"] for each in moulds} == {0}
    assert viewer.get(f"{HERE}/trace").json() == {"parts": []}
    assert viewer.get(f"{HERE}/orders/1001/cost").json()["begun"] == 0


def test_an_order_from_a_quote_says_what_the_quote_leaves(served):
    planner = served.client("planner")
    order = booked(planner, quantity=2)
    net = planner.get(f"{QUOTES}/{order['quote']}").json()["quote"]["net"]
    cost = planner.get(f"{HERE}/orders/{order['number']}/cost").json()
    # Nothing was spent on it yet.
    assert (cost["quoted_net"], cost["earned"]) == (net, net)
    assert planner.get(f"{HERE}/orders/1001/cost").json()["quoted_net"] is None
