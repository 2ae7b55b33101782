"""A whole shop taken out and put in elsewhere: the same plan to the minute, the same cents."""

from __future__ import annotations

import pytest
from house import ROOT
from quoting import QUOTES, made
from service_bench import SHOP, once

from mouldwright.domain.errors import MouldwrightError
from mouldwright.domain.hours.opening import minute_of
from mouldwright.planning.run import make_plan
from mouldwright.scenario.demo import demo_names, demo_path
from mouldwright.scenario.kept import KeptScenarios
from mouldwright.scenario.read import read_scenario
from mouldwright.usecases.enquiry import finish_by_rate
from mouldwright.usecases.quoting import quote

WRITTEN = KeptScenarios()
FOLDERS = {
    **{path.parent.name: path.parent for path in (ROOT / "scenarios").glob("*/shop.toml")},
    **{name: demo_path(name) for name in demo_names()},
}
KEEPER = "keeper"


def plan_of(shop):
    assert shop.start is not None
    return make_plan(shop, now=minute_of(shop.start), seconds=0.0, seed=1)


def cents(shop, quantity=7):
    """Return what each part costs and is sold at by each of its processes, and each set."""
    sold = [(part.key, way) for part in shop.parts.values() for way in part.made_by]
    found = {}
    for key, process in (*sold, *((key, None) for key in shop.sets)):
        try:
            priced = quote(
                shop, key, process, quantity, now=minute_of(shop.start), finish=finish_by_rate
            )
        except MouldwrightError as refused:
            found[key, process] = str(refused)
        else:
            found[key, process] = (priced.price.cost_each, priced.price.gross, priced.lines)
    return found


@pytest.mark.parametrize("name", sorted(FOLDERS))
def test_every_scenario_goes_through_a_service_to_the_same_plan_and_the_same_cents(served, name):
    shop = read_scenario(FOLDERS[name]).shop
    keeper = served.client(KEEPER, None)
    added = keeper.post(
        "/v1/shops",
        json={"key": "brought", "scenario_toml": WRITTEN.toml(shop)},
        headers=once(),
    )
    assert added.status_code == 201, added.text
    for way, read in (("toml", WRITTEN.read_toml), ("json", WRITTEN.read)):
        again = read(keeper.get(f"/v1/shops/brought/scenario.{way}").text)
        assert again == shop
        assert cents(again) == cents(shop)
    assert plan_of(again) == plan_of(shop)


def test_what_was_booked_goes_along_where_it_is_asked_for(served):
    planner = served.client("planner")
    made(planner)
    tag = {"If-Match": planner.get(f"{QUOTES}/1").headers["etag"]}
    sent = planner.post(f"{QUOTES}/1/send", json={"revision": 1}, headers=tag)
    tag = {"If-Match": sent.headers["etag"], **once()}
    assert planner.post(f"{QUOTES}/1/accept", json={"revision": 1}, headers=tag).status_code == 200
    here = f"/v1/shops/{SHOP}"
    bare = WRITTEN.read_toml(planner.get(f"{here}/scenario.toml").text)
    first = planner.get(f"{here}/scenario.toml?booked=true")
    whole = WRITTEN.read_toml(first.text)
    assert [o.number for o in whole.orders] == [*(o.number for o in bare.orders), "Q1"]
    assert WRITTEN.read(planner.get(f"{here}/scenario.json?booked=true").text) == whole
    from mouldwright.usecases.booked_shop import read_booked

    kept = read_booked(served.services.units, SHOP, served.services.written).without()
    assert plan_of(whole) == plan_of(kept)
    assert cents(whole) == cents(kept)
    # What is booked since is another answer.
    known = {"If-None-Match": first.headers["etag"]}
    assert planner.get(f"{here}/scenario.toml?booked=true", headers=known).status_code == 304
    assert planner.get(f"{here}/scenario.toml", headers=known).status_code == 200
