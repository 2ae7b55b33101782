"""Who reaches what: every route of the service, walked over, so that none can be forgotten."""

from __future__ import annotations

import re

import pytest
from fastapi.routing import APIRoute
from service_bench import OTHER, SHOP, problem_of, service_bench

from mouldwright.api.app import ROUTERS
from mouldwright.usecases.kept import Role

# What anyone may ask who may speak to the service at all.
OPEN = {"health", "list_problems", "read_problem", "sign_in", "read_calendar", "read_notices"}
# The least role for what each operation does; a new operation is entered here.
LEAST = {
    "who_am_i": Role.VIEWER,
    "rotate": Role.VIEWER,
    "list_tokens": Role.OWNER,
    **dict.fromkeys(("list_audit", "read_audit_csv"), Role.OWNER),
    "list_house_audit": Role.KEEPER,
    "issue_token": Role.OWNER,
    "read_token": Role.OWNER,
    "withdraw_token": Role.OWNER,
    "sign_everyone_out": Role.OWNER,
    "list_shops": Role.VIEWER,
    "add_shop": Role.KEEPER,
    "read_shop": Role.VIEWER,
    "replace_shop": Role.OWNER,
    "read_mark": Role.VIEWER,
    **dict.fromkeys(("put_mark", "take_mark_away"), Role.OWNER),
    "export_json": Role.VIEWER,
    "export_toml": Role.VIEWER,
    "read_metrics": Role.KEEPER,
    **{
        f"list_{many}": Role.VIEWER
        for many in ("parts", "processes", "materials", "moulds", "bench_tests")
    },
    **{
        f"{verb}_{one}": least
        for one in ("part", "process", "material", "mould", "bench_test")
        for verb, least in (
            ("read", Role.VIEWER),
            ("write", Role.PLANNER),
            ("remove", Role.PLANNER),
        )
    },
    **dict.fromkeys(
        (
            "compare",
            "what_changes",
            "price",
            "deflection",
            "rate",
            "read_stiffness",
            "read_hour",
            "buy_list",
            "charge",
            "sample",
        ),
        Role.VIEWER,
    ),
    **dict.fromkeys(
        ("list_quotes", "read_quote", "list_revisions", "read_revision", "compare_revisions"),
        Role.VIEWER,
    ),
    "read_quote_pdf": Role.VIEWER,
    **dict.fromkeys(
        ("make_quote", "revise_quote", "send_quote", "decline_quote", "accept_quote"),
        Role.PLANNER,
    ),
    **dict.fromkeys(("list_quote_links", "make_quote_link", "withdraw_quote_link"), Role.PLANNER),
    **dict.fromkeys(
        ("read_day_sheet_pdf", "read_mould_labels_pdf", "read_buy_list_pdf"), Role.VIEWER
    ),
    **dict.fromkeys(("list_tables", "read_table"), Role.VIEWER),
    **dict.fromkeys(("list_feeds", "make_feed", "withdraw_feed"), Role.PLANNER),
    **dict.fromkeys(("list_orders", "read_order"), Role.VIEWER),
    **dict.fromkeys(("change_order", "cancel_order"), Role.PLANNER),
    "erase_customer": Role.OWNER,
    **dict.fromkeys(("list_runs", "read_run", "read_run_plan", "watch_run"), Role.VIEWER),
    **dict.fromkeys(("ask_for_plan", "cancel_run", "publish_run"), Role.PLANNER),
    **dict.fromkeys(("read_plan", "read_plan_tasks", "read_plan_version"), Role.VIEWER),
    "read_plan_sessions": Role.VIEWER,
    "read_today": Role.VIEWER,
    **dict.fromkeys(("read_tomorrow", "read_handover", "read_order_stage"), Role.VIEWER),
    **dict.fromkeys(
        ("read_mould_ledgers", "read_mould_ledger", "read_stock_ledgers", "read_stock_ledger"),
        Role.VIEWER,
    ),
    **dict.fromkeys(("trace_parts", "trace_part", "read_order_cost"), Role.VIEWER),
    "read_learnt": Role.VIEWER,
    **dict.fromkeys(("take_learnt", "decline_learnt", "show_learnt_again"), Role.PLANNER),
    **dict.fromkeys(("ask_one_more", "ask_moulds", "ask_try_order"), Role.PLANNER),
    **dict.fromkeys(("read_run_answer", "try_order"), Role.VIEWER),
    **dict.fromkeys(("explain_order", "read_plan_resources"), Role.VIEWER),
    **dict.fromkeys(
        ("read_run_changes", "read_plan_changes", "judge_move", "list_pins"), Role.VIEWER
    ),
    **dict.fromkeys(("pin_task", "unpin_task"), Role.PLANNER),
    **dict.fromkeys(("list_log", "read_log_entry"), Role.VIEWER),
    **dict.fromkeys(("note", "take_back"), Role.BENCH),
}
ROUTES = [route for router in ROUTERS for route in router.routes if isinstance(route, APIRoute)]
CLOSED = [route for route in ROUTES if route.operation_id not in OPEN]
IN_SHOPS = [route for route in CLOSED if "{shop}" in route.path]


def named(routes):
    return [pytest.param(route, id=str(route.operation_id)) for route in routes]


@pytest.fixture(scope="module")
def walked(tmp_path_factory):
    bench = service_bench(tmp_path_factory.mktemp("reach"))
    yield bench
    bench.opened.close()


def ask(client, route: APIRoute, shop: str = SHOP):
    """Ask with a body and headers of the right kind, so that only who asks can be wrong."""
    path = re.sub(r"\{shop\}", shop, route.path)
    path = re.sub(r"\{\w+\}", "1", path)
    (method,) = route.methods
    headers = {"If-Match": '"0"', "Idempotency-Key": "walk"}
    body = {"json": {}} if route.body_field is not None else {}
    return client.request(method, path, headers=headers, **body)


def test_every_operation_has_a_name_of_its_own_and_a_least_role():
    names = [route.operation_id for route in ROUTES]
    assert len(names) == len(set(names))
    assert None not in names
    assert set(names) == OPEN | set(LEAST)


@pytest.mark.parametrize("route", named(CLOSED))
def test_nobody_reaches_it_without_a_token(walked, route):
    problem_of(ask(walked.client(None), route), 401, "not-signed-in")


@pytest.mark.parametrize("route", named(IN_SHOPS))
def test_no_one_of_another_shop_learns_that_the_shop_is_there(walked, route):
    there = ask(walked.client("owner", OTHER), route)
    nowhere = ask(walked.client("owner", OTHER), route, shop="no-such-shop")
    said = [problem_of(answer, 404, "unknown")["detail"] for answer in (there, nowhere)]
    assert said[0].replace(SHOP, "no-such-shop") == said[1]


@pytest.mark.parametrize("role", [role for role in Role if role is not Role.KEEPER])
@pytest.mark.parametrize("route", named(CLOSED))
def test_a_role_reaches_as_far_as_it_says(walked, route, role):
    answer = ask(walked.client(role), route)
    reaches = role.reaches(LEAST[route.operation_id])
    if reaches:
        assert answer.status_code not in {401, 403}, answer.text
    else:
        problem_of(answer, 403, "not-allowed")


@pytest.mark.parametrize("route", named(CLOSED))
def test_a_keeper_reaches_everything(walked, route):
    assert ask(walked.client("keeper"), route).status_code not in {401, 403}
