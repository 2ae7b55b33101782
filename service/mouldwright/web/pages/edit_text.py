"""An entry written as text, for those who would rather type than fill in."""

from __future__ import annotations

from collections.abc import Sequence

from fastapi import APIRouter
from starlette.responses import Response

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.usecases.editing import Change, Overtaken, change_entry
from mouldwright.web.doing_once import led_to, path_of
from mouldwright.web.edit_visit import EditVisit, LongForm, asked_once, edit_visit, version_of
from mouldwright.web.visit import InShop, text_of

router = APIRouter(prefix="/shops/{shop}/edit")
LONGEST_TEXT = 200_000


@router.get("/{section}/{key}/text")
def show_text(visit: InShop, section: str, key: str) -> Response:
    """Show an entry as text."""
    at = edit_visit(visit, section, key)
    text = visit.services.written.entry_toml(at.holds.document, at.path)
    return _show(at, text, version=at.holds.version)


@router.post("/{section}/{key}/text")
def send_text(visit: InShop, section: str, key: str, form: LongForm) -> Response:
    """Keep an entry as it was written."""
    at = edit_visit(visit, section, key)
    text, read = text_of(form, "text")[:LONGEST_TEXT], version_of(form)
    try:
        done = change_entry(
            visit.services.units,
            visit.services.written,
            visit.shop,
            Change(
                path=at.path,
                entry=visit.services.written.entry_of_toml(text),
                read=read,
                now=visit.now,
                by=visit.token.id,
            ),
            asked=asked_once(visit, form),
            reply=lambda version: led_to(
                at.address + (f"?changed={version}" if version != at.holds.version else "")
            ),
        )
    except InvalidInput as wrong:
        return _show(at, text, version=read, faults=wrong.faults, status=422)
    except Overtaken as other:
        theirs = visit.services.written.entry_toml(at.holds.document, at.path)
        return _show(at, text, version=other.holds_version, theirs=theirs, status=409)
    return visit.go(path_of(done.reply), say=" ".join(["It is kept.", *done.also]))


def _show(
    at: EditVisit,
    text: str,
    *,
    version: int,
    faults: Sequence[Fault] = (),
    theirs: str = "",
    status: int = 200,
) -> Response:
    return at.visit.show(
        "edit_text.html",
        title=f"{at.key} as text",
        shop_name=at.shop.name,
        place=at.section.place,
        status=status,
        text=text,
        key=at.key,
        path=f"{at.address}/text",
        back=at.address,
        version=version,
        once=at.visit.services.chance(),
        faults=faults,
        theirs=theirs,
    )
