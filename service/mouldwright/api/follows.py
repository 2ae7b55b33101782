"""What may be asked next of what was just made: the links of the description (OpenAPI, 4.8.20)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from mouldwright.usecases.entries import SINGULAR

_SHOP = "/v1/shops/{shop}"


@dataclass(frozen=True, slots=True)
class Made:
    """An answer that tells where something is.

    Attributes:
        by: Method and path of what makes or changes it.
        status: Status of the answer that tells of it.
        at: Path of it.
        names: For each name in that path but the shop's, where it is found: a place in the
            answer (``#/number``) or in what was asked (``path.key``).
        with_all_below: Whether what lies under that path may be asked next, too.
    """

    by: tuple[str, str]
    status: int
    at: str
    names: dict[str, str]
    with_all_below: bool = True


def _entries() -> Iterator[Made]:
    for kind in SINGULAR:
        at = f"{_SHOP}/{kind}/{{key}}"
        for status in (200, 201):
            yield Made(("put", at), status, at, {"key": "path.key"})


def _runs() -> Iterator[Made]:
    at = f"{_SHOP}/runs/{{run}}"
    for asked in ("", "/one-more", "/moulds", "/try-order"):
        yield Made(("post", f"{_SHOP}/runs{asked}"), 202, at, {"run": "#/id"})


def _quotes() -> Iterator[Made]:
    at = f"{_SHOP}/quotes/{{number}}"
    names = {"number": "#/number", "revision": "#/revision"}
    yield Made(("post", f"{_SHOP}/quotes"), 201, at, names)
    yield Made(("post", f"{at}/revisions"), 201, at, names)
    yield Made(("post", f"{at}/send"), 200, at, names)
    links = f"{at}/links"
    made = {"number": "path.number", "link": "#/link/id"}
    yield Made(("post", links), 201, f"{links}/{{link}}", made)


MADE = (
    # All that a shop can be asked would be most of this description.
    Made(("post", "/v1/shops"), 201, _SHOP, {"shop": "#/key"}, with_all_below=False),
    *_entries(),
    *_quotes(),
    Made(
        ("post", f"{_SHOP}/quotes/{{number}}/accept"),
        200,
        f"{_SHOP}/orders/{{number}}",
        {"number": "#/order/number"},
    ),
    *_runs(),
    Made(("post", f"{_SHOP}/tokens"), 201, f"{_SHOP}/tokens/{{token}}", {"token": "#/token/id"}),
    Made(("post", f"{_SHOP}/feeds"), 201, f"{_SHOP}/feeds/{{feed}}", {"feed": "#/feed/id"}),
    Made(("post", f"{_SHOP}/pins"), 201, f"{_SHOP}/pins/{{pin}}", {"pin": "#/id"}),
    Made(("post", f"{_SHOP}/log"), 201, f"{_SHOP}/log/{{number}}", {"number": "#/number"}),
)


def add_links(schema: dict[str, Any]) -> None:
    """Write into each answer that makes or changes something what may be asked next of it."""
    for made in MADE:
        answer = schema["paths"][made.by[1]][made.by[0]]["responses"][str(made.status)]
        names = {"shop": "path.shop", **made.names}
        for path, operations in schema["paths"].items():
            if path == made.at or (made.with_all_below and path.startswith(f"{made.at}/")):
                for operation in operations.values():
                    sent = _sent(operation, names)
                    if sent is not None:
                        name = operation["operationId"]
                        answer.setdefault("links", {})[name] = {
                            "operationId": name,
                            "parameters": sent,
                        }


def _sent(operation: dict[str, Any], names: dict[str, str]) -> dict[str, str] | None:
    """Return where each parameter is found; None where one that must be sent is not told."""
    sent = {}
    for parameter in operation.get("parameters", ()):
        place, name = parameter["in"], parameter["name"]
        if place == "path" and name in names:
            found = names[name]
            sent[f"path.{name}"] = (
                f"$response.body{found}" if found.startswith("#") else f"$request.{found}"
            )
        elif name == "If-Match":
            sent["header.If-Match"] = "$response.header.ETag"
        elif parameter.get("required") and name != "Idempotency-Key":
            return None
    return sent
