"""Shops over HTTP: added, read, replaced, handed out; and their entries one by one."""

from __future__ import annotations

import json
import tomllib
from concurrent.futures import ThreadPoolExecutor

import pytest
from promise_bench import DEMO
from service_bench import OTHER, SHOP, if_match, once, problem_of
from written_shop import WHOLE, edited, whole_shop

from mouldwright.scenario.read import read_scenario_text
from mouldwright.usecases.shelf import open_whole

ADDRESS = f"/v1/shops/{SHOP}"
PART = f"{ADDRESS}/parts/stabiliser"
SMALL = """format = 1
[shop]
name = "My bench"
currency = "EUR"
time_zone = "Europe/Lisbon"
[shop.hours]
mon = ["08:30-17:30"]
"""


def as_json(toml: str) -> dict:
    return json.loads(json.dumps(tomllib.loads(toml), default=str))


def shop_of(served, key):
    return open_whole(served.services.units, served.services.written, key).shop


def test_a_shop_sent_as_toml_is_the_shop_of_the_file(served):
    keeper = served.client("keeper")
    made = keeper.post("/v1/shops", json={"key": "new", "scenario_toml": WHOLE}, headers=once())
    assert made.status_code == 201, made.text
    assert (made.headers["location"], made.headers["etag"]) == ("/v1/shops/new", '"1"')
    assert shop_of(served, "new") == whole_shop()


def test_a_shop_sent_as_json_is_the_same_as_sent_as_toml(served):
    keeper = served.client("keeper")
    body = {"key": "new", "scenario": tomllib.loads(SMALL)}
    assert keeper.post("/v1/shops", json=body, headers=once()).status_code == 201
    assert shop_of(served, "new") == read_scenario_text(SMALL).shop


@pytest.mark.parametrize("form", ["json", "toml"])
def test_a_shop_handed_out_and_sent_again_is_equal(served, form):
    out = served.client("viewer").get(f"{ADDRESS}/scenario.{form}")
    assert out.headers["content-type"].startswith(f"application/{form}")
    again = {"scenario": out.json()} if form == "json" else {"scenario_toml": out.text}
    keeper = served.client("keeper")
    made = keeper.post("/v1/shops", json={"key": "again", **again}, headers=once())
    assert made.status_code == 201, made.text
    assert shop_of(served, "again") == DEMO


def test_a_shop_is_read_whole_with_the_version_that_holds(served):
    answer = served.client("viewer").get(ADDRESS)
    assert answer.headers["etag"] == '"1"'
    shown = answer.json()
    assert shown["scenario"] == served.client().get(f"{ADDRESS}/scenario.json").json()
    assert {name: shown[name] for name in ("key", "title", "version", "written_at")} == {
        "key": SHOP,
        "title": DEMO.name,
        "version": 1,
        "written_at": "2027-03-01T08:00:00Z",
    }


def test_what_is_known_already_is_not_sent_again(served):
    client = served.client()
    for address in (ADDRESS, PART, f"{ADDRESS}/parts", f"{ADDRESS}/scenario.toml"):
        for tags in ('"1"', 'W/"1"', '"7", "1"', "*"):
            answer = client.get(address, headers={"If-None-Match": tags})
            assert (answer.status_code, answer.content) == (304, b""), (address, tags)
            assert answer.headers["etag"] == '"1"'
        assert client.get(address, headers={"If-None-Match": '"2"'}).status_code == 200


def test_a_keeper_sees_every_shop_and_others_their_own(served):
    def seen(client):
        return [shop["key"] for shop in client.get("/v1/shops").json()["shops"]]

    assert seen(served.client("keeper")) == [SHOP, OTHER]
    assert seen(served.client("viewer", OTHER)) == [OTHER]


def test_every_fault_of_a_scenario_comes_back_with_its_line_or_its_place(served):
    text = edited(
        ('currency = "EUR"', 'currency = "EURO"'),
        ('time_zone = "Europe/Berlin"', 'time_zone = "Berlin"'),
    )
    keeper = served.client("keeper")
    sent = keeper.post("/v1/shops", json={"key": "new", "scenario_toml": text}, headers=once())
    found = problem_of(sent, 422, "invalid")["errors"]
    assert [(fault["path"], fault["pointer"]) for fault in found] == [
        ("shop.currency", "#/scenario_toml"),
        ("shop.time_zone", "#/scenario_toml"),
    ]
    lines = text.splitlines()
    assert [lines[fault["line"] - 1] for fault in found] == [
        'currency = "EURO"',
        'time_zone = "Berlin"',
    ]
    body = {"key": "new", "scenario": as_json(text)}
    found = problem_of(keeper.post("/v1/shops", json=body, headers=once()), 422, "invalid")
    assert [fault["pointer"] for fault in found["errors"]] == [
        "#/scenario/shop/currency",
        "#/scenario/shop/time_zone",
    ]
    assert len(keeper.get("/v1/shops").json()["shops"]) == 2


def test_a_scenario_that_is_sent_names_no_file(served):
    scenario = as_json(WHOLE)
    part = next(iter(scenario["parts"].values()))
    part["section"] = {"shape": "coordinates", "file": "/etc/passwd", "chord_mm": 60}
    body = {"key": "new", "scenario": scenario}
    sent = served.client("keeper").post("/v1/shops", json=body, headers=once())
    found = problem_of(sent, 422, "invalid")["errors"]
    assert any(fault["path"].endswith("section.file") for fault in found)
    assert "root:" not in sent.text


@pytest.mark.parametrize("both", [{}, {"scenario": {}, "scenario_toml": SMALL}])
def test_one_of_the_two_forms_is_sent(served, both):
    sent = served.client("keeper").post("/v1/shops", json={"key": "new", **both}, headers=once())
    assert "one of scenario and scenario_toml" in problem_of(sent, 422, "invalid")["detail"]


@pytest.mark.parametrize("key", ["New", "a b", "-a", "a_b", "über", "a" * 64])
def test_a_shops_key_goes_into_addresses(served, key):
    body = {"key": key, "scenario_toml": SMALL}
    sent = served.client("keeper").post("/v1/shops", json=body, headers=once())
    assert problem_of(sent, 422, "invalid")["errors"][0]["pointer"] == "#/key"


def test_a_key_that_is_taken_is_said(served):
    body = {"key": SHOP, "scenario_toml": SMALL}
    sent = served.client("keeper").post("/v1/shops", json=body, headers=once())
    problem_of(sent, 409, "already-there")
    assert shop_of(served, SHOP) == DEMO


def test_a_shop_is_replaced_over_the_version_that_was_read_and_earlier_ones_stay(served):
    owner = served.client()
    sent = {"scenario_toml": SMALL}
    problem_of(owner.put(ADDRESS, json=sent), 428, "version-missing")
    problem_of(owner.put(ADDRESS, json=sent, headers=if_match(2)), 412, "stale")
    problem_of(owner.put(ADDRESS, json=sent, headers={"If-Match": 'W/"1"'}), 412, "stale")
    done = owner.put(ADDRESS, json=sent, headers=if_match(1))
    assert (done.status_code, done.headers["etag"]) == (200, '"2"'), done.text
    assert shop_of(served, SHOP).name == "My bench"
    problem_of(owner.put(ADDRESS, json=sent, headers=if_match(1)), 412, "stale")
    assert owner.put(ADDRESS, json=sent, headers={"If-Match": "*"}).headers["etag"] == '"3"'
    assert owner.get(ADDRESS, params={"version": 1}).json()["title"] == DEMO.name
    problem_of(owner.get(ADDRESS, params={"version": 4}), 404, "unknown")
    for odd in ("0", "-1", "x", str(2**63)):
        refused = problem_of(owner.get(ADDRESS, params={"version": odd}), 422, "invalid")
        assert refused["errors"][0]["parameter"] == "version"


def test_of_many_who_read_the_same_version_one_changes_it(served):
    part = served.client().get(PART).json()["part"]

    def change(n: int) -> int:
        changed = {**part, "title": f"Stabiliser of writer {n}"}
        return served.client("planner").put(PART, json=changed, headers=if_match(1)).status_code

    with ThreadPoolExecutor(8) as pool:
        ended = sorted(pool.map(change, range(16)))
    assert ended == [200, *[412] * 15]
    assert served.version() == 2


SECTIONS = {"parts": "part", "processes": "process", "materials": "material", "moulds": "mould"}


@pytest.mark.parametrize("section", SECTIONS)
def test_an_entry_read_is_an_entry_that_can_be_written(served, section):
    planner, one = served.client("planner"), SECTIONS[section]
    listed = planner.get(f"{ADDRESS}/{section}").json()[section]
    scenario = planner.get(f"{ADDRESS}/scenario.json").json()
    assert {entry["key"]: entry[one] for entry in listed} == scenario[section]
    for place, entry in enumerate(listed):
        address = f"{ADDRESS}/{section}/{entry['key']}"
        assert planner.get(address).json() == entry
        put = planner.put(address, json=entry[one], headers=if_match(place + 1))
        assert (put.status_code, put.json()) == (200, entry), put.text
        assert put.headers["etag"] == f'"{place + 2}"'
    assert shop_of(served, SHOP) == DEMO


def test_an_entry_is_added_and_taken_out_again(served):
    planner = served.client("planner")
    material = planner.get(f"{ADDRESS}/materials").json()["materials"][0]["material"]
    address = f"{ADDRESS}/materials/spare-material"
    problem_of(planner.get(address), 404, "unknown")
    problem_of(planner.delete(address, headers=if_match(1)), 404, "unknown")
    assert planner.put(address, json=material, headers=if_match(1)).status_code == 201
    assert planner.get(address).headers["etag"] == '"2"'
    assert planner.delete(address, headers=if_match(2)).status_code == 204
    problem_of(planner.get(address), 404, "unknown")
    assert shop_of(served, SHOP) == DEMO


def test_every_fault_of_an_entry_points_into_what_was_sent(served):
    planner = served.client("planner")
    part = planner.get(PART).json()["part"]
    wrong = {**part, "span_mm": -3, "colour/tone": "red"}
    found = problem_of(planner.put(PART, json=wrong, headers=if_match(1)), 422, "invalid")
    assert {fault["pointer"] for fault in found["errors"]} == {
        "#/span_mm",
        "#/colour~1tone",
    }
    lost = {**part, "made_by": ["pressed", "nothing"]}
    found = problem_of(planner.put(PART, json=lost, headers=if_match(1)), 422, "invalid")
    # What stands elsewhere in the shop and no longer fits was not sent, so nothing points to it.
    assert [fault["pointer"] for fault in found["errors"] if fault["pointer"]] == ["#/made_by/1"]
    assert served.version() == 1


def test_what_another_entry_names_is_not_taken_out(served):
    refused = served.client("planner").delete(f"{ADDRESS}/processes/pressed", headers=if_match(1))
    found = problem_of(refused, 422, "invalid")["errors"]
    assert any(fault["path"].startswith("parts.stabiliser.made_by") for fault in found)
    assert all(fault["pointer"] is None for fault in found)
    assert served.version() == 1


@pytest.mark.parametrize("body", [[], "text", 1, None])
def test_an_entry_is_a_table_of_keys(served, body):
    sent = {**if_match(1), "Content-Type": "application/json"}
    refused = served.client("planner").put(PART, content=json.dumps(body), headers=sent)
    problem_of(refused, 422, "invalid")


def test_a_decimal_comes_back_with_the_digits_it_was_sent_with(served):
    # No binary number is a tenth; what is counted and paid is kept in decimal.
    planner, address = served.client("planner"), f"{ADDRESS}/processes/pressed"
    process = planner.get(address).json()["process"]
    operation = {**process["operations"][0], "good_rate": 0.9999999999999999}
    changed = {**process, "operations": [operation, *process["operations"][1:]]}
    answer = planner.put(address, json=changed, headers=if_match(1))
    assert answer.json()["process"]["operations"][0]["good_rate"] == 0.9999999999999999
    assert '"good_rate": 0.9999999999999999' in planner.get(f"{ADDRESS}/scenario.json").text
