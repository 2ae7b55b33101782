"""The description of the service says what the service does."""

from __future__ import annotations

import re

import pytest
from fastapi.routing import APIRoute
from service_bench import once, problem_of, service_bench

from mouldwright.api.app import ROUTERS
from mouldwright.api.kinds import BY_ERROR, KINDS
from mouldwright.domain.errors import MouldwrightError

PROBLEM = {"$ref": "#/components/schemas/Problem"}


@pytest.fixture(scope="module")
def described(tmp_path_factory):
    bench = service_bench(tmp_path_factory.mktemp("described"))
    answer = bench.client(None).get("/v1/openapi.json")
    bench.opened.close()
    assert answer.status_code == 200
    return answer.json()


def operations(described):
    return {
        operation["operationId"]: operation
        for methods in described["paths"].values()
        for operation in methods.values()
    }


def references(value):
    if isinstance(value, dict):
        yield from ([value["$ref"]] if isinstance(value.get("$ref"), str) else [])
        for inside in value.values():
            yield from references(inside)
    elif isinstance(value, list):
        for inside in value:
            yield from references(inside)


def test_every_route_is_described_and_every_reference_leads_somewhere(described):
    routes = {r.operation_id for router in ROUTERS for r in router.routes}
    assert set(operations(described)) == routes
    schemas = described["components"]["schemas"]
    named = {reference.rpartition("/")[2] for reference in references(described)}
    assert named <= set(schemas)
    assert "HTTPValidationError" not in schemas


def test_every_problem_of_every_operation_is_a_problem(described):
    for name, operation in operations(described).items():
        for status, response in operation["responses"].items():
            if int(status) >= 400:
                content = {"application/problem+json": {"schema": PROBLEM}}
                assert response["content"] == content, (name, status)
                assert response["description"]


@pytest.mark.parametrize(
    ("operation", "statuses"),
    [
        ("health", {"421", "500", "503", "507"}),
        ("list_shops", {"401", "421", "500", "503", "507"}),
        ("read_part", {"401", "403", "404", "422", "421", "500", "503", "507"}),
        (
            "write_part",
            {
                *("400", "401", "403", "404", "412", "413"),
                *("415", "421", "422", "428", "500", "503", "507"),
            },
        ),
        (
            "add_shop",
            {"400", "401", "403", "409", "413", "415", "421", "422", "500", "503", "507"},
        ),
    ],
)
def test_an_operation_names_what_it_can_end_in(described, operation, statuses):
    responses = operations(described)[operation]["responses"]
    assert {status for status in responses if int(status) >= 400} == statuses


def test_what_must_be_sent_is_said_to_be(described):
    def parameters(name):
        return {
            p["name"]: (p["in"], p["required"]) for p in operations(described)[name]["parameters"]
        }

    assert parameters("write_part")["If-Match"] == ("header", True)
    assert parameters("add_shop")["Idempotency-Key"] == ("header", True)
    assert parameters("read_part")["If-None-Match"] == ("header", False)
    assert "304" in operations(described)["read_part"]["responses"]


def test_what_is_closed_says_how_to_sign_in(described):
    for name, operation in operations(described).items():
        is_open = name in {
            "health",
            "list_problems",
            "read_problem",
            "sign_in",
            "read_calendar",
            "read_notices",
        }
        ways = [set(way) for way in operation.get("security", [])]
        assert ways == ([] if is_open else [{"token"}, {"session"}]), name


def test_an_entry_is_described_by_its_model(described):
    body = operations(described)["write_process"]["requestBody"]
    schema = body["content"]["application/json"]["schema"]
    assert schema == {"$ref": "#/components/schemas/Process"}
    assert "operations" in described["components"]["schemas"]["Process"]["properties"]


def test_the_examples_of_a_shop_and_a_token_work(described, served):
    schemas = described["components"]["schemas"]
    (shop,) = schemas["ShopAdd"]["examples"]
    made = served.client("keeper").post("/v1/shops", json=shop, headers=once())
    assert made.status_code == 201, made.text
    (token,) = schemas["TokenAsk"]["examples"]
    address = f"{made.headers['location']}/tokens"
    issued = served.client("keeper").post(address, json=token, headers=once())
    assert issued.status_code == 201, issued.text


def test_what_every_kind_means_can_be_read(served):
    nobody = served.client(None)
    listed = nobody.get("/v1/problems").json()["problems"]
    assert [kind["type"] for kind in listed] == [kind.address for kind in KINDS.values()]
    for kind in listed:
        assert nobody.get(kind["type"]).json() == kind
    problem_of(nobody.get("/v1/problems/none-such"), 404, "unknown")


def below(error):
    for each in error.__subclasses__():
        yield each
        yield from below(each)


def test_every_error_of_ours_has_a_kind_besides_that_something_failed():
    ours = [e for e in below(MouldwrightError) if e.__module__.startswith("mouldwright")]
    meant = {e: next(BY_ERROR[c] for c in e.__mro__ if c in BY_ERROR) for e in ours}
    inside = re.compile(r"mouldwright\.(domain|usecases|api)\.")
    failed = [e.__name__ for e, kind in meant.items() if kind is KINDS["failed"]]
    assert [e.__name__ for e in ours if e.__name__ in failed and inside.match(e.__module__)] == []


def test_routes_only_parse_ask_and_show():
    """A route that is asynchronous would hold everyone up while it waits for the database."""
    import inspect

    streams = {
        route.operation_id
        for router in ROUTERS
        for route in router.routes
        if isinstance(route, APIRoute)
        and (
            inspect.iscoroutinefunction(route.endpoint)
            or inspect.isasyncgenfunction(route.endpoint)
        )
    }
    assert streams <= {"watch_run"}
