"""The application: every router, and what stands around them all."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any

import anyio.to_thread
from fastapi import FastAPI

from mouldwright import __version__
from mouldwright.api.description import describe
from mouldwright.api.faults import add_faults
from mouldwright.api.guard import BodyCap, Guard
from mouldwright.api.metrics import Metrics
from mouldwright.api.routes import (
    access,
    audit,
    bench_day,
    documents,
    entries,
    feeds,
    health,
    kinds,
    learning,
    ledgers,
    links,
    log,
    mark,
    metrics,
    orders,
    papers,
    pins,
    plan,
    questions,
    quotes,
    runs,
    shops,
    studies,
    tables,
    today,
    tries,
)
from mouldwright.api.trace import Trace
from mouldwright.usecases.services import Services

ROUTERS = (
    health.router,
    metrics.router,
    kinds.router,
    access.router,
    audit.router,
    shops.router,
    mark.router,
    *entries.ROUTERS,
    questions.router,
    quotes.router,
    documents.router,
    links.router,
    orders.router,
    studies.router,
    tries.router,
    runs.router,
    plan.router,
    today.router,
    ledgers.router,
    learning.router,
    *feeds.ROUTERS,
    tables.router,
    papers.router,
    bench_day.router,
    pins.router,
    log.router,
)


def create_app(services: Services) -> FastAPI:
    """Return the service over HTTP.

    Pages hang themselves under it later and get their own answers for what goes wrong;
    what stands around the routes here stands around theirs too.

    Args:
        services: The ports, filled.
    """

    @asynccontextmanager
    async def running(_: FastAPI) -> AsyncIterator[None]:
        # As many threads as there are connections: a request never waits for one in vain.
        anyio.to_thread.current_default_thread_limiter().total_tokens = services.limits.threads
        yield

    app = FastAPI(
        title="mouldwright",
        version=__version__,
        openapi_url="/v1/openapi.json",
        # The pages of the framework would fetch scripts from another host.
        docs_url=None,
        redoc_url=None,
        redirect_slashes=False,
        # What is read and what is answered have one shape: a key that may be left out may be
        # missing in an answer too.
        separate_input_output_schemas=False,
        lifespan=running,
    )
    app.state.services, app.state.metrics = services, Metrics()
    for router in ROUTERS:
        # Their paths are whole already, so the routes themselves are taken over: what walks
        # over them (the description, a test) finds them where it looks.
        app.router.routes.extend(router.routes)
    add_faults(app)

    def described() -> dict[str, Any]:
        return describe(app)

    # The framework's own way to give another description is to put a function in its place.
    app.openapi = described  # type: ignore[method-assign]
    # The last one added stands outermost.
    app.add_middleware(BodyCap, most_bytes=services.limits.body_bytes)
    app.add_middleware(Guard, called=services.called)
    app.add_middleware(Trace, metrics=app.state.metrics)
    return app
