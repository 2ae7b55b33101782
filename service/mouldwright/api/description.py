"""The description of the service (OpenAPI): what a route can end in is read off the route."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from fastapi import FastAPI
from fastapi.dependencies.models import Dependant
from fastapi.openapi.utils import get_openapi
from fastapi.routing import APIRoute
from pydantic.fields import FieldInfo

from mouldwright.api.body import json_body
from mouldwright.api.faults import MEDIA_TYPE
from mouldwright.api.follows import add_links
from mouldwright.api.guard import SAFE
from mouldwright.api.kinds import KINDS
from mouldwright.wire.service.problem import Problem

_ALWAYS = frozenset({421, 500, 503, 507})
# Left optional for the framework, so that leaving them out has an answer of its own.
_MUST_BE_SENT = {"If-Match", "Idempotency-Key"}
_ABOUT = (
    "Prices, plans and promises of a small bench that works in moulds. Send a token as "
    "`Authorization: Bearer ...`. Every error is a problem (RFC 9457) with a kind that "
    "`/v1/problems/{kind}` explains. Money is text with the currency's decimals, instants are "
    "ISO 8601 with their offset. What creates wants an `Idempotency-Key`; what changes wants "
    "the `ETag` that was read as `If-Match`."
)


def describe(app: FastAPI) -> dict[str, Any]:
    """Return the description of an application's routes, made once."""
    if app.openapi_schema is None:
        routes = [route for route in app.routes if isinstance(route, APIRoute)]
        schema = get_openapi(
            title=app.title, version=app.version, description=_ABOUT, routes=routes
        )
        _add_problem(schema)
        for route in routes:
            for method in route.methods or ():
                operation = schema["paths"].get(route.path_format, {}).get(method.lower())
                if operation is not None:
                    _complete(operation, route)
        add_links(schema)
        app.openapi_schema = schema
    return app.openapi_schema


def problems_of(route: APIRoute) -> frozenset[int]:
    """Return every status of a problem that a route can end in."""
    found = set(_ALWAYS)
    for dependant in _all(route.dependant):
        if dependant.call is json_body and route.body_field is None:
            continue
        found |= getattr(dependant.call, "problems", frozenset())
        named = [*dependant.path_params, *dependant.header_params]
        if dependant.query_params or any(_can_be_wrong(field.field_info) for field in named):
            found.add(422)
    if not (route.methods or set()) <= SAFE:
        # A page of another site may have sent a signed-in browser here.
        found.add(KINDS["other-origin"].status)
    found |= {int(status) for status in route.responses if int(status) >= 400}
    return frozenset(found)


def _can_be_wrong(info: FieldInfo) -> bool:
    """Return whether some text is no value of a parameter; of a plain text, any is one."""
    return bool(info.metadata) or info.annotation not in (str, str | None)


def _all(dependant: Dependant) -> Iterator[Dependant]:
    yield dependant
    for below in dependant.dependencies:
        yield from _all(below)


def _add_problem(schema: dict[str, Any]) -> None:
    made = Problem.model_json_schema(ref_template="#/components/schemas/{model}")
    items = made.pop("$defs", {})
    schemas = schema.setdefault("components", {}).setdefault("schemas", {})
    for name in ("HTTPValidationError", "ValidationError"):
        schemas.pop(name, None)
    schemas |= {**items, "Problem": made}


def _complete(operation: dict[str, Any], route: APIRoute) -> None:
    responses = operation["responses"]
    for media in operation.get("requestBody", {}).get("content", {}).values():
        name = media["schema"].pop("x-model", None)
        if name is not None:
            media["schema"] = {"$ref": f"#/components/schemas/{name}"}
    responses.pop("422", None)
    for status in sorted(problems_of(route)):
        titles = [kind.title for kind in KINDS.values() if kind.status == status]
        responses[str(status)] = {
            "description": "; or: ".join(titles) or "A problem",
            "content": {MEDIA_TYPE: {"schema": {"$ref": "#/components/schemas/Problem"}}},
        }
    for parameter in operation.get("parameters", ()):
        if parameter["name"] in _MUST_BE_SENT:
            parameter["required"] = True
            parameter["schema"] = {"type": "string", **_only_text(parameter["schema"])}
        if parameter["name"] == "If-None-Match":
            responses["304"] = {"description": "You have it already"}


def _only_text(schema: dict[str, Any]) -> dict[str, Any]:
    """Return what is said of a text that may be left out, without the leaving out."""
    texts = [option for option in schema.get("anyOf", ()) if option.get("type") == "string"]
    kept = {key: value for key, value in schema.items() if key not in {"anyOf", "default"}}
    return {**kept, **(texts[0] if texts else {}), "minLength": 1}
