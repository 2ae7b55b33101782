"""Hanging the pages under an application that has routes of its own already."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from fastapi import FastAPI
from starlette.routing import Match, Mount
from starlette.types import Scope

from mouldwright.domain.shop import Shop
from mouldwright.usecases.services import Services
from mouldwright.web.faults import add_fault_pages
from mouldwright.web.headers import PageHeaders
from mouldwright.web.pages import ROUTERS

# What is not ours: there an unknown path is the service's to answer.
NOT_OURS = ("/v1", "/docs", "/openapi.json", "/metrics")


class _Pages(Mount):
    """A mount at the root that leaves the service's paths alone, unknown ones included."""

    def matches(self, scope: Scope) -> tuple[Match, Scope]:
        """Return no match for paths that are not pages."""
        path = scope.get("path", "")
        if any(path == other or path.startswith(f"{other}/") for other in NOT_OURS):
            return Match.NONE, {}
        return super().matches(scope)


def add_pages(
    app: FastAPI, services: Services, *, demos: Mapping[str, Callable[[], Shop]] | None = None
) -> None:
    """Hang every page under the application; its own routes come first.

    Args:
        app: Its middleware (request ids, Host and Origin checks, size of bodies) runs over
            the pages too.
        services: The ports, filled.
        demos: Each gives a demo bench, by its key; None where there is none to load.
    """
    pages = FastAPI(openapi_url=None, docs_url=None, redoc_url=None)
    pages.state.services, pages.state.demos = services, demos or {}
    for router in ROUTERS:
        pages.include_router(router)
    add_fault_pages(pages)
    app.router.routes.append(_Pages("/", app=PageHeaders(pages), name="pages"))
