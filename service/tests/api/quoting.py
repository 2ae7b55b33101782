"""Quotes and orders over HTTP in few words, for tests of them and of what follows from them."""

from __future__ import annotations

from typing import Any

from fastapi.testclient import TestClient
from service_bench import SHOP, once

QUOTES = f"/v1/shops/{SHOP}/quotes"
ORDERS = f"/v1/shops/{SHOP}/orders"
RUNS = f"/v1/shops/{SHOP}/runs"
PLAN = f"/v1/shops/{SHOP}/plan"
ASKED = {
    "part": "stabiliser",
    "process": "pressed",
    "quantity": 12,
    "customer": "Tern survey club",
}


def match(answer: Any) -> dict[str, str]:
    """Return the header that says what an answer told was read."""
    return {"If-Match": answer.headers["ETag"]}


def made(client: TestClient, **changes: Any) -> Any:
    answer = client.post(QUOTES, json=ASKED | changes, headers=once())
    assert answer.status_code == 201, answer.text
    return answer


def moved(client: TestClient, quote: Any, verb: str) -> Any:
    """Send, decline or accept a quote as it was read."""
    number = quote.json()["number"]
    return client.post(f"{QUOTES}/{number}/{verb}", headers=match(quote) | once())


def sent(client: TestClient, **changes: Any) -> Any:
    answer = moved(client, made(client, **changes), "send")
    assert answer.status_code == 200, answer.text
    return answer


def booked(client: TestClient, **changes: Any) -> dict[str, Any]:
    """Return the order of a quote made, sent and accepted."""
    answer = moved(client, sent(client, **changes), "accept")
    assert answer.status_code == 200, answer.text
    order: dict[str, Any] = answer.json()["order"]
    return order
