"""Styles and scripts over HTTP."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.exceptions import HTTPException
from starlette.responses import Response

from mouldwright.web.static_files import static_files

router = APIRouter()


@router.get("/static/{mark}/{name}")
def static_file(mark: str, name: str) -> Response:
    """Return a file that pages load; it may be kept for good, since its path goes with its text."""
    found = static_files().get(name)
    if found is None:
        raise HTTPException(404)
    keep = "public, max-age=31536000, immutable" if mark == found.mark else "no-cache"
    return Response(found.text, media_type=found.kind, headers={"cache-control": keep})


@router.get("/day-worker.js")
def day_worker() -> Response:
    """Return what keeps day sheets for when the network is gone; its reach is below its path."""
    found = static_files()["day-worker.js"]
    return Response(found.text, media_type=found.kind, headers={"cache-control": "no-cache"})


@router.get("/favicon.ico")
def favicon() -> Response:
    """Return the mark of the browser's tab."""
    found = static_files()["mark.svg"]
    return Response(found.text, media_type=found.kind)
