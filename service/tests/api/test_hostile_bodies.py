"""Bodies that mean harm: refused before they take time or memory, and never a fault of ours."""

from __future__ import annotations

import json
import re

import pytest
from fastapi.routing import APIRoute
from service_bench import SHOP, closing, once, problem_of, service_bench

DEEP = 50_000
KEY = ".".join(["a"] * DEEP)


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    with closing(service_bench(tmp_path_factory.mktemp("hostile"))) as bench:
        yield bench


def send(bench, method: str, path: str, body: bytes):
    headers = {**once(), "Content-Type": "application/json", "If-Match": '"1"'}
    return bench.client("keeper").request(method, path, content=body, headers=headers)


def addresses(bench) -> list[tuple[str, str]]:
    """Return the method and path of every address that takes a body."""
    return [
        (method, re.sub(r"\{\w+(:\w+)?\}", "1", route.path.replace("{shop}", SHOP)))
        for route in bench.app.routes
        if isinstance(route, APIRoute) and route.body_field is not None
        for method in sorted(route.methods or ())
    ]


def test_no_address_takes_what_is_nested_too_deeply(kept):
    asked = addresses(kept)
    assert len(asked) > 25
    for method, path in asked:
        # The second is what a parser still takes, and a walk over it no longer.
        for body in (b"[" * DEEP + b"]" * DEEP, b'{"scenario": ' + b"[" * 900 + b"]" * 900 + b"}"):
            problem_of(send(kept, method, path, body), 400, "not-json")


def test_brackets_within_a_text_are_no_nesting(kept):
    body = json.dumps({"part": "[" * 100 + '\\"' + "{" * 100, "process": "cast"}).encode()
    problem_of(send(kept, "POST", f"/v1/shops/{SHOP}/rate", body), 422, "invalid")


@pytest.mark.parametrize(
    "text",
    [
        f"{KEY} = 1",
        f"[{KEY}]",
        f"[[{KEY}]]",
        f"a = {{{KEY} = 1}}",
        KEY.replace(".", " . ") + " = 1",
        KEY.replace("a", '"a"') + " = 1",
        "a = " + "[" * 200 + "]" * 200,
        "a = " + "[" * DEEP + "]" * DEEP,
    ],
    ids=lambda text: text[:12],
)
def test_a_scenario_nested_too_deeply_is_refused_before_it_takes_the_memory(kept, text):
    body = json.dumps({"key": "harm", "scenario_toml": text}).encode()
    problem_of(send(kept, "POST", "/v1/shops", body), 422, "invalid")
