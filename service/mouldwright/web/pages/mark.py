"""The shop's own mark: shown, brought by its owner, taken off again."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, Response

from mouldwright.domain.mark import NoMark, mark_of
from mouldwright.usecases.kept import Role
from mouldwright.usecases.shelf import open_kept
from mouldwright.usecases.shop_mark import keep_mark
from mouldwright.web.edit_visit import LongForm, version_of
from mouldwright.web.places import shop_path
from mouldwright.web.visit import InShop, Visit, text_of

router = APIRouter(prefix="/shops/{shop}")
_LARGEST_FILE = 200_000


def mark_response(mark: str) -> Response:
    """Return a mark as a picture. Raises HTTPException 404 where there is none."""
    if not mark:
        raise HTTPException(404)
    headers = {"content-security-policy": "default-src 'none'; img-src data:; sandbox"}
    return Response(mark, media_type="image/svg+xml", headers=headers)


@router.get("/mark.svg")
def picture(visit: InShop, version: int | None = None) -> Response:
    """Return the mark, of an earlier version of the shop where one is named."""
    services = visit.services
    kept = open_kept(services.units, services.written, visit.shop, version=version)
    return mark_response(kept.shop.mark)


@router.get("/mark")
def show_mark(visit: InShop) -> HTMLResponse:
    """Show the mark and how to bring one."""
    return _show(visit)


@router.post("/mark")
def bring_mark(visit: InShop, form: LongForm) -> Response:
    """Keep a mark with the shop, or take it off; the version before can be put back."""
    visit.must(Role.OWNER)
    taken_off = bool(text_of(form, "none"))
    try:
        mark = "" if taken_off else mark_of(_file(form))
    except NoMark as no:
        return _show(visit, fault=str(no), status=422)
    services = visit.services
    keep_mark(services, visit.shop, mark, read=version_of(form), now=visit.now, by=visit.token.id)
    said = (
        "The mark is taken off." if taken_off else "The mark is kept: quotes show it from now on."
    )
    return visit.go(shop_path(visit.shop, "mark"), say=said)


def _file(form: FormData) -> bytes:
    given = form.get("file")
    if not isinstance(given, UploadFile):
        raise NoMark("no file was chosen.", "Choose an SVG or a PNG.")
    read = given.file.read(_LARGEST_FILE + 1)
    if len(read) > _LARGEST_FILE:
        raise NoMark("the file is too large.", f"Keep to {_LARGEST_FILE // 1000} kB.")
    return read


def _show(visit: Visit, *, fault: str = "", status: int = 200) -> HTMLResponse:
    kept = open_kept(visit.services.units, visit.services.written, visit.shop)
    return visit.show(
        "mark.html",
        title="The shop’s mark",
        shop_name=kept.shop.name,
        place="shop",
        status=status,
        has_mark=bool(kept.shop.mark),
        version=kept.version.version,
        fault=fault,
        may_own=visit.may(Role.OWNER),
    )
