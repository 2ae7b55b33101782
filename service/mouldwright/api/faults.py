"""What each error means over HTTP, and the one shape all of them have (RFC 9457)."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import Any

from fastapi import FastAPI, Request
from fastapi.dependencies.utils import get_flat_params
from fastapi.exceptions import RequestValidationError
from fastapi.routing import APIRoute
from starlette.exceptions import HTTPException
from starlette.responses import Response

from mouldwright.api.kinds import BY_ERROR, BY_STATUS, KINDS, Kind
from mouldwright.domain.errors import Fault, InvalidInput, MouldwrightError
from mouldwright.usecases.errors import TooManyTries
from mouldwright.wire.service.problem import Problem, ProblemItem

MEDIA_TYPE = "application/problem+json"
_LONGEST_VALUE = 80


class InBody(InvalidInput):
    """Faults in a document that came in the body, or in a part of it.

    Attributes:
        under: Keys of the body that lead to the document.
        below: Keys of the document that lead to what was sent, where that was only a part.
        as_text: Whether the document came as one text, so that a line says where.
    """

    def __init__(
        self,
        faults: Sequence[Fault],
        *,
        under: tuple[str, ...],
        below: tuple[str, ...],
        as_text: bool,
    ) -> None:
        """Keep the faults and where the document stands."""
        super().__init__(faults)
        self.under, self.below, self.as_text = under, below, as_text


@contextmanager
def in_body(*under: str, below: tuple[str, ...] = (), as_text: bool = False) -> Iterator[None]:
    """Say of every fault found within where in the body it stands.

    Args:
        under: Keys of the body that lead to the document.
        below: Keys of the document that lead to what was sent, where that is only a part of it.
        as_text: Whether the document came as one text.
    """
    try:
        yield
    except InvalidInput as error:
        raise InBody(error.faults, under=under, below=below, as_text=as_text) from error


@dataclass(frozen=True, slots=True)
class _Route:
    """What the route that was asked takes."""

    parameters: frozenset[str]
    body_keys: frozenset[str]

    @classmethod
    def of(cls, request: Request) -> _Route:
        route = request.scope.get("route")
        if not isinstance(route, APIRoute):
            return cls(frozenset(), frozenset())
        taken = get_flat_params(route.dependant)
        model = route.body_field.field_info.annotation if route.body_field else None
        return cls(
            frozenset(field.alias for field in taken),
            frozenset(getattr(model, "model_fields", ())),
        )


def problem_response(
    kind: Kind,
    detail: str,
    *,
    errors: Sequence[ProblemItem] = (),
    headers: Mapping[str, str] | None = None,
) -> Response:
    """Return the answer that tells of a problem."""
    problem = Problem(
        type=kind.address, title=kind.title, status=kind.status, detail=detail, errors=list(errors)
    )
    more = {**kind.headers, **(headers or {})}
    return Response(
        problem.model_dump_json(), status_code=kind.status, media_type=MEDIA_TYPE, headers=more
    )


def add_faults(app: FastAPI) -> None:
    """Let every error under this application answer with a problem."""
    app.add_exception_handler(MouldwrightError, _of_ours)
    app.add_exception_handler(RequestValidationError, _of_what_was_sent)
    app.add_exception_handler(HTTPException, _of_http)


def _of_ours(request: Request, error: Exception) -> Response:
    kind = next(BY_ERROR[c] for c in type(error).__mro__ if c in BY_ERROR)
    if isinstance(error, TooManyTries):
        return problem_response(kind, str(error), headers={"Retry-After": str(error.wait_s)})
    if not isinstance(error, InvalidInput):
        return problem_response(kind, str(error))
    if not isinstance(error, InBody):
        # The questions name what they were asked as the command line writes it.
        plain = (replace(fault, path=fault.path.removeprefix("--")) for fault in error.faults)
        error = InvalidInput(plain)
    return problem_response(kind, _summary(error.faults), errors=_items(error, _Route.of(request)))


def _of_what_was_sent(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    found = list(error.errors())
    if any(details["type"] == "json_invalid" for details in found):
        said = str(found[0].get("ctx", {}).get("error", "")) or "it cannot be read"
        return problem_response(KINDS["not-json"], f"The body is not JSON: {said}.")
    items = [_item_of_sent(details) for details in found]
    faults = [
        Fault(path=item.path, value=item.value, problem=item.detail, remedy=item.remedy)
        for item in items
    ]
    return problem_response(KINDS["invalid"], _summary(faults), errors=items)


def _of_http(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    kind = BY_STATUS.get(error.status_code, KINDS["failed"])
    headers = dict(error.headers or {})
    return problem_response(kind, kind.meaning, headers=headers)


def _summary(faults: Sequence[Fault]) -> str:
    if len(faults) == 1:
        return str(faults[0])
    return f"{len(faults)} things are wrong; the first: {faults[0]}" if faults else ""


def _items(error: InvalidInput, route: _Route) -> list[ProblemItem]:
    return [
        ProblemItem(
            detail=fault.problem,
            remedy=fault.remedy,
            value=fault.value,
            path=fault.path,
            pointer=_pointer(error, fault, route),
            parameter=fault.path if fault.path in route.parameters else None,
            line=fault.line or None,
        )
        for fault in error.faults
    ]


def _pointer(error: InvalidInput, fault: Fault, route: _Route) -> str | None:
    if isinstance(error, InBody):
        if error.as_text:
            return pointer(error.under)
        depth = len(error.below)
        # What was sent can be at odds with what stands elsewhere and was not sent.
        if fault.steps[:depth] != error.below:
            return None
        return pointer((*error.under, *fault.steps[depth:]))
    first = fault.path.split(".")[0].split("[")[0]
    if first in route.parameters or first not in route.body_keys:
        return None
    return pointer(tuple(fault.path.split(".")) if "[" not in fault.path else (first,))


def pointer(steps: Sequence[str | int]) -> str:
    """Return a JSON pointer (RFC 6901) as a fragment."""
    escaped = (str(step).replace("~", "~0").replace("/", "~1") for step in steps)
    return "#" + "".join(f"/{step}" for step in escaped)


def _item_of_sent(details: Mapping[str, Any]) -> ProblemItem:
    where, *steps = details["loc"]
    said, remedy = _said(details)
    shown = "" if details["type"] == "missing" else _shown(details.get("input"))
    context = details.get("ctx", {})
    if context.get("key"):
        steps.append(context["key"])
    in_the_body = where == "body"
    return ProblemItem(
        detail=said,
        remedy=remedy,
        value=shown,
        path=".".join(str(step) for step in steps) or str(where),
        pointer=pointer(steps) if in_the_body else None,
        parameter=None if in_the_body else ".".join(str(step) for step in steps),
        line=None,
    )


def _said(details: Mapping[str, Any]) -> tuple[str, str]:
    context = details.get("ctx", {})
    match details["type"]:
        case "wrong":
            return str(context["problem"]), str(context["remedy"])
        case "missing":
            return "this is missing.", "Send it."
        case "extra_forbidden":
            return "there is no such key here.", "Leave it out, or look at how it is spelt."
        case "literal_error" | "enum":
            return "this is not one of the words known here.", f"Send {context['expected']}."
    said = str(details["msg"]).replace("Input", "this")
    return f"{said[:1].lower()}{said[1:]}.", "Send what the description of this address says."


def _shown(value: Any) -> str:
    try:
        text = json.dumps(value, ensure_ascii=False)
    except (TypeError, ValueError, RecursionError):
        text = str(type(value).__name__)
    text = text.encode("utf-8", "replace").decode("utf-8")
    return text if len(text) <= _LONGEST_VALUE else text[: _LONGEST_VALUE - 3] + "..."
