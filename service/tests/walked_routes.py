"""Every page of a bench, opened by following its links, once for each route and kind of sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from fastapi.routing import APIRoute
from forms_shown import read_page
from service_bench import SHOP
from starlette.routing import Match
from whole_bench import Browser

from mouldwright.web.pages import ROUTERS

ROUTES = [route for router in ROUTERS for route in router.routes if isinstance(route, APIRoute)]
# Where the pages are entered: what has other forms the further it has come is opened in each state.
FIRST = [
    f"/shops/{SHOP}/{page}"
    for page in (
        *("today", "quotes/1", "quotes/2", "quotes/3", "orders/Q1", "try", "try?part=stabiliser"),
        *("log/note/begun", "edit/parts/stabiliser", "day", "board", "learnt", "more"),
    )
]


def route_of(path: str, method: str) -> APIRoute | None:
    """Return the route of the pages that a path leads to."""
    scope = {"type": "http", "method": method, "path": path, "root_path": "", "headers": []}
    return next((r for r in ROUTES if r.matches(scope)[0] == Match.FULL), None)


def a_section(path: str) -> str:
    """Return which of the many sheets at one address a path leads to."""
    parts = path.split("?")[0].split("/")
    if len(parts) > 4 and parts[3] in ("tables", "enquiry", "papers"):
        return parts[4]
    return parts[4] if len(parts) > 4 and parts[3] in ("add", "edit", "log") else ""


def opened(browser: Browser, first: Sequence[str]) -> Iterator[tuple[str, Any]]:
    """Yield each page, file and picture with its path, those first that one begins with."""
    todo, seen = list(first), set()
    for at, path in enumerate(todo):
        route = route_of(path.split("?")[0], "GET")
        if route is None or (at >= len(first) and (route.path, a_section(path)) in seen):
            continue
        seen.add((route.path, a_section(path)))
        answer = browser.get(path)
        yield path, answer
        if "html" in answer.headers.get("content-type", ""):
            todo.extend(sorted(read_page(answer.text, path).links))
