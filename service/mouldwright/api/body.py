"""What a body must be before anything reads it: JSON, said so, of characters that exist."""

from __future__ import annotations

import json
import math
import re
from collections import Counter
from email.message import Message
from typing import Any

from fastapi import Request
from fastapi.routing import APIRoute
from starlette.exceptions import HTTPException

from mouldwright.api.kinds import may_answer
from mouldwright.domain.errors import Fault, InvalidInput

# What is nested a hundred times can be parsed, and breaks what walks over it afterwards.
_DEEPEST = 60
_BRACKET_OR_TEXT = re.compile(rb'"(?:[^"\\]|\\.)*+"|[\[\]{}]', re.S)


@may_answer(400, 413, 415, 422)
async def json_body(request: Request) -> None:
    """Refuse a body that is not JSON, or that nothing can keep as it was meant.

    Raises:
        HTTPException: 415 where the type is another, 400 where it is no JSON by RFC 8259.
        InvalidInput: if a key stands twice in it, a number is beyond what a computer holds, or
            a text holds half a character or a NUL.
    """
    route = request.scope.get("route")
    if not isinstance(route, APIRoute) or route.body_field is None:
        return
    body = await request.body()
    if not body:
        return
    if not _is_json(request.headers.get("content-type", "")):
        raise HTTPException(415)
    if _is_too_deep(body):
        raise HTTPException(400)
    read = _read(body)
    # Only an escape can bring them in, so most bodies need not be walked over.
    if b"\\u0000" in body or b"\\ud" in body.lower():
        found = _unkept(read, ())
        if found is not None:
            raise InvalidInput([found])


def _read(body: bytes) -> Any:
    """Return what a body says, read more strictly than the reader of the standard library does.

    That one takes NaN and Infinity, UTF-16, and of two values under one key the last, where
    another reader may take the first.

    Raises:
        HTTPException: 400 where it is no JSON in UTF-8.
        InvalidInput: if a key stands twice, or a number is beyond what a computer holds.
    """
    try:
        return json.loads(
            body.decode("utf-8-sig"),
            object_pairs_hook=_once_each,
            parse_constant=_no_number,
            parse_float=_held,
        )
    except ValueError:
        raise HTTPException(400) from None


def _once_each(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    read = dict(pairs)
    if len(read) < len(pairs):
        twice, _ = Counter(key for key, _ in pairs).most_common(1)[0]
        shown = twice.encode("utf-8", "replace").decode()
        problem = f'the key "{shown}" stands twice in one object.'
        raise InvalidInput([Fault(path="", value="", problem=problem, remedy="Send it once.")])
    return read


def _no_number(name: str) -> float:
    raise ValueError(name)


def _held(digits: str) -> float:
    number = float(digits)
    if math.isinf(number):
        problem = "this number is beyond what a computer holds."
        remedy = "Send one below 1e308."
        raise InvalidInput([Fault(path="", value=digits, problem=problem, remedy=remedy)])
    return number


def _is_too_deep(body: bytes) -> bool:
    """Return whether lists and objects stand in each other more often than anything here needs."""
    depth = 0
    for found in _BRACKET_OR_TEXT.finditer(body):
        opens = found[0] in (b"[", b"{")
        depth += opens - (found[0] in (b"]", b"}"))
        if opens and depth > _DEEPEST:
            return True
    return False


def _is_json(content_type: str) -> bool:
    message = Message()
    message["content-type"] = content_type
    if message.get_content_maintype() != "application":
        return False
    subtype = message.get_content_subtype()
    return subtype == "json" or subtype.endswith("+json")


def _unkept(value: Any, path: tuple[str, ...]) -> Fault | None:
    """Return a fault for the first text that cannot be kept."""
    inside: list[tuple[str, Any]] = []
    if isinstance(value, dict):
        inside = [(str(key), item) for key, item in value.items()]
        inside += [(str(key), str(key)) for key in value]
    elif isinstance(value, list):
        inside = [(str(place), item) for place, item in enumerate(value)]
    elif isinstance(value, str) and ("\x00" in value or not _is_text(value)):
        return Fault(
            path=".".join(path).encode("utf-8", "replace").decode(),
            value="",
            problem="this text holds a NUL, or half of a character.",
            remedy="Send whole characters.",
        )
    return next((f for key, item in inside if (f := _unkept(item, (*path, key)))), None)


def _is_text(text: str) -> bool:
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True
