"""Values that no field means: refused in words at every address, and never a fault of ours."""

from __future__ import annotations

import json
import re
from typing import Any
from zlib import crc32

import pytest
from fastapi.routing import APIRoute
from service_bench import SHOP, closing, once, problem_of, service_bench

from mouldwright.api.app import ROUTERS

TAKES_A_BODY = [
    (method, route)
    for router in ROUTERS
    for route in router.routes
    if isinstance(route, APIRoute) and route.body_field is not None
    for method in sorted(route.methods or ())
]
NAMED = [pytest.param(*at, id=str(at[1].operation_id)) for at in TAKES_A_BODY]

# What is no JSON at all (RFC 8259, sections 6 and 8.1), as the whole of a value.
NO_JSON = ["NaN", "Infinity", "-Infinity", "0x1F", "01", "+1", "'text'"]
# What is JSON, and that nothing here can hold: beyond a double of IEEE 754, NUL, half a character.
NEVER_HELD = ["1e400", "-1e400", r'"a\u0000b"', r'"\ud83d"', r'"\udc00\ud83d"', r'{"\ud83d": 1}']
# What may be right in one field and is wrong in another: never a fault of ours.
ODD = [
    *("9" * 400, "-" + "9" * 400, "1e308", "5e-324", "-0.0", "true", "null", "[]", "{}", '""'),
    *(json.dumps(text) for text in ("\u202emirrored\u202c", "\u200b\ufeff\u2060", "e\u0301" * 90)),
    *(json.dumps(text) for text in ("9" * 5_000, "1e999999", "NaN", "\uff15", "\u0665", "٣/٤")),
]


def some_of(values: list[str], many: int, route: APIRoute, field: str) -> list[str]:
    """Return so many of the values, others for each field, the same ones every time."""
    first = crc32(f"{route.operation_id} {field}".encode())
    return [values[(first + n) % len(values)] for n in range(many)]


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    with closing(service_bench(tmp_path_factory.mktemp("values"))) as bench:
        yield bench.client("keeper")


def send(client, method: str, route: APIRoute, body: bytes):
    path = re.sub(r"\{\w+(:\w+)?\}", "1", route.path.replace("{shop}", SHOP))
    headers = {**once(), "Content-Type": "application/json", "If-Match": '"1"'}
    return client.request(method, path, content=body, headers=headers)


def fields_of(route: APIRoute) -> list[str]:
    """Return every key that a body of this route may have."""
    asked = route.body_field.field_info.annotation
    return list(asked.model_fields) if hasattr(asked, "model_fields") else ["any"]


def example_of(route: APIRoute) -> dict[str, Any]:
    """Return a body as the description shows it, nothing where it shows none."""
    extra = getattr(route.body_field.field_info.annotation, "model_config", {})
    shown = (extra.get("json_schema_extra") or {}).get("examples") or [{}]
    return dict(shown[0])


def with_value(route: APIRoute, field: str, value: str) -> bytes:
    """Return the example's body with a value in a field, as it is written."""
    rest = {key: held for key, held in example_of(route).items() if key != field}
    begun = json.dumps(rest)[1:-1]
    return f'{{{begun}{", " if begun else ""}"{field}": {value}}}'.encode()


def test_every_address_with_a_body_is_walked():
    assert len(TAKES_A_BODY) > 25
    assert sum(len(fields_of(route)) for _, route in TAKES_A_BODY) > 60


@pytest.mark.parametrize(("method", "route"), NAMED)
def test_what_is_no_json_is_refused_as_such_in_every_field(kept, method, route):
    for field in fields_of(route):
        for value in some_of(NO_JSON, 2, route, field):
            answer = send(kept, method, route, with_value(route, field, value))
            problem_of(answer, 400, "not-json")


@pytest.mark.parametrize(("method", "route"), NAMED)
def test_what_nothing_can_hold_is_refused_in_every_field(kept, method, route):
    for field in fields_of(route):
        for value in some_of(NEVER_HELD, 2, route, field):
            answer = send(kept, method, route, with_value(route, field, value))
            assert problem_of(answer, 422, "invalid")["errors"], (field, value)


@pytest.mark.parametrize(("method", "route"), NAMED)
def test_what_is_odd_is_taken_or_refused_in_words_in_every_field(kept, method, route):
    for field in fields_of(route):
        for value in some_of(ODD, 4, route, field):
            answer = send(kept, method, route, with_value(route, field, value))
            assert answer.status_code < 500, (field, value[:40], answer.text)
            if answer.status_code >= 400:
                assert answer.json()["detail"], (field, value[:40])


@pytest.mark.parametrize(("method", "route"), NAMED)
def test_a_key_that_stands_twice_is_refused_and_named(kept, method, route):
    """Two readers of one body could each take another of the two (RFC 8259, section 4)."""
    for field in fields_of(route):
        body = f'{{"{field}": 1, "x": 2, "{field}": 1}}'.encode()
        problem = problem_of(send(kept, method, route, body), 422, "invalid")
        assert f'"{field}"' in problem["errors"][0]["detail"]


def test_a_key_that_stands_twice_is_found_however_deep(kept):
    body = b'{"part": "x", "process": [{"a": {"b": 1}}, {"a": {"b": 1, "b": 2}}]}'
    for method, route in TAKES_A_BODY[:2]:
        assert '"b"' in problem_of(send(kept, method, route, body), 422, "invalid")["detail"]


@pytest.mark.parametrize(
    "body",
    [
        '{"label": "x"}'.encode("utf-16"),
        '{"label": "x"}'.encode("utf-16-le"),
        '{"label": "x"}'.encode("utf-32"),
        b'{"label": "\xed\xa0\xbd"}',  # half a character, written as if it were one
        b'{"label": "\xc0\x80"}',  # NUL, written longer than it is
        b'{"label": "a\x00b"}',
    ],
    ids=["utf-16", "utf-16 without mark", "utf-32", "surrogate", "overlong", "NUL"],
)
@pytest.mark.parametrize(("method", "route"), NAMED[:3] + NAMED[-3:])
def test_a_body_in_another_encoding_is_no_json(kept, method, route, body):
    """JSON between programs is UTF-8 (RFC 8259, section 8.1)."""
    problem_of(send(kept, method, route, body), 400, "not-json")
