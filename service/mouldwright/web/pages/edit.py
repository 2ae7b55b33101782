"""Writing an entry of the shop in a form: shown, changed, kept, taken out, put back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from fastapi import APIRouter
from starlette.datastructures import FormData
from starlette.responses import RedirectResponse, Response

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.place_titles import family_title
from mouldwright.domain.shop import Shop
from mouldwright.usecases.editing import (
    Change,
    Done,
    Overtaken,
    change_entry,
    shop_with,
    undo_change,
)
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept import Reply, Role
from mouldwright.web.charts import Figure
from mouldwright.web.doing_once import led_to, path_of
from mouldwright.web.draft import Draft, bare_shares, draft_from, draft_of, empty_draft
from mouldwright.web.draft_acts import act
from mouldwright.web.edit_drawings import drawings_of, remarks_of
from mouldwright.web.edit_sections import runs_of
from mouldwright.web.edit_visit import (
    NEW_KEY,
    EditVisit,
    LongForm,
    asked_once,
    edit_visit,
    new_key_of,
    version_of,
)
from mouldwright.web.labels import label_of, path_label
from mouldwright.web.places import shop_path
from mouldwright.web.view_models.edit import (
    FIRST_OF_STEP,
    Difference,
    EditForm,
    Said,
    differences,
    said_beside,
)
from mouldwright.web.view_models.edit_choices import Choices
from mouldwright.web.view_models.next_step import JustKept, onward
from mouldwright.web.visit import InShop, text_of
from mouldwright.wire.model import title_from

router = APIRouter(prefix="/shops/{shop}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What stands around the fields of a form."""

    head: str
    lead: str
    path: str
    back: str
    back_words: str
    section: str
    key: str
    thing: str
    keep_words: str
    is_new: bool
    new_key: str
    may_remove: bool
    text_path: str
    draws: bool
    captions: tuple[str, ...]


@router.get("/add/{section}")
def show_new(visit: InShop, section: str) -> Response:
    """Show an empty form."""
    at = edit_visit(visit, section, is_new=True)
    first = {"moulds": "part", "stock": NEW_KEY}.get(section, "title")
    return _show(at, empty_draft(at.root), focus=first)


@router.get("/edit/{section}")
def show_single(visit: InShop, section: str, changed: int = 0) -> Response:
    """Show the form of a section that is one entry."""
    return _show_kept(edit_visit(visit, section), changed)


@router.get("/edit/{section}/{key}")
def show_entry(visit: InShop, section: str, key: str, changed: int = 0, made: int = 0) -> Response:
    """Show the form of an entry."""
    return _show_kept(edit_visit(visit, section, key), changed, is_made=bool(made))


@router.post("/add/{section}")
def send_new(visit: InShop, section: str, form: LongForm) -> Response:
    """Keep a new entry, or do to the form what was asked."""
    return _sent(edit_visit(visit, section, is_new=True), form)


@router.post("/edit/{section}")
def send_single(visit: InShop, section: str, form: LongForm) -> Response:
    """Keep a section that is one entry."""
    return _sent(edit_visit(visit, section), form)


@router.post("/edit/{section}/{key}")
def send_entry(visit: InShop, section: str, key: str, form: LongForm) -> Response:
    """Keep an entry, take it out, or do to the form what was asked."""
    return _sent(edit_visit(visit, section, key), form)


@router.post("/undo")
def undo(visit: InShop, form: LongForm) -> Response:
    """Put an entry back as it was before a change, unless someone changed it since."""
    at = edit_visit(visit, text_of(form, "section"), text_of(form, "key"))
    change = Change(
        path=at.path, entry=None, read=version_of(form), now=visit.now, by=visit.token.id
    )
    try:
        undo_change(
            visit.services.units,
            visit.services.written,
            visit.shop,
            change,
            asked=asked_once(visit, form),
            reply=lambda _version: led_to(at.address),
        )
    except Overtaken as other:
        was = at.shown(other.was)
        typed = draft_of(at.root, was) if was else empty_draft(at.root)
        return _show(at, typed, overtaken=other, status=409, is_draft=True)
    still = edit_visit(visit, at.section.key, at.key).entry is not None
    where = at.address if still else shop_path(visit.shop, "shop")
    return visit.go(where, say="Put back as it was before.")


def _show_kept(at: EditVisit, changed: int, *, is_made: bool = False) -> Response:
    if at.entry is None:
        raise Unknown(kind=at.section.key, key=at.key)
    undoes = changed if changed == at.holds.version and changed > 1 else 0
    draft = draft_of(at.root, at.entry)
    just = None
    if undoes:
        owns = at.visit.may(Role.OWNER)
        on = onward(at.visit.shop, at.shop, at.section.key, at.key, may_own=owns)
        just = JustKept(version=undoes, title=_title(at, draft), is_made=is_made, onward=on)
    return _show(at, draft, just=just)


def _sent(at: EditVisit, form: FormData) -> Response:
    draft, asked = draft_from(at.root, form), text_of(form, "do") or "keep"
    if asked == "remove":
        return _keep(at, form, None, read=version_of(form), draft=draft, say="It is taken out.")
    if asked == "keep":
        return _keep_draft(at, form, draft)
    focus = ""
    if asked != "look":
        draft, focus = act(at.root, draft, asked)
    drawn, faults = _looked_at(at, draft)
    return _show(
        at,
        draft,
        form=form,
        faults=faults if asked == "look" else (),
        focus=focus,
        drawn=drawn,
        is_draft=True,
    )


def _looked_at(at: EditVisit, draft: Draft) -> tuple[Shop | None, tuple[Said, ...]]:
    """Return the shop as it would be with the draft kept, or what is wrong with it."""
    if at.is_new:
        at = replace(at, key="new", is_new=False)
    try:
        written = at.visit.services.written
        shop, _ = shop_with(written, at.holds.document, at.path, at.json_of(draft))
        return shop, ()
    except InvalidInput as wrong:
        return None, said_beside(wrong.faults, at.path, at.root, draft)


def _keep_draft(at: EditVisit, form: FormData, draft: Draft) -> Response:
    named = at
    unclear = tuple(
        Said(name=name, label=path_label(name), sentence=remedy)
        for name, remedy in bare_shares(at.root, draft).items()
    )
    if at.is_new:
        try:
            named = replace(at, key=new_key_of(at, form), is_new=False)
        except InvalidInput as wrong:
            before = _done_before(at, form)
            if before is not None:
                return before
            unclear = (*(_unnamed(fault) for fault in wrong.faults), *unclear)
    if unclear:
        _, faults = _looked_at(at, draft)
        said = [each.name for each in unclear]
        faults = (*unclear, *(each for each in faults if each.name not in said))
        return _show(at, draft, form=form, faults=faults, status=422)
    say = "It is kept." if at.section.is_single else f"{_title(named, draft)} is kept."
    return _keep(
        named, form, named.json_of(draft), read=version_of(form), draft=draft, say=say, shown=at
    )


def _unnamed(fault: Fault) -> Said:
    sentence = f"{fault.problem[:1].upper()}{fault.problem[1:]} {fault.remedy}".strip()
    return Said(name=fault.path, label=path_label(fault.path), sentence=sentence)


def _done_before(at: EditVisit, form: FormData) -> Response | None:
    """Return where a form led that was sent before: its key is taken by itself."""
    with at.visit.services.units.read(at.visit.shop) as unit:
        reply = unit.replies.find(asked_once(at.visit, form))
    return None if reply is None else RedirectResponse(path_of(reply), status_code=303)


def _keep(
    at: EditVisit,
    form: FormData,
    entry: str | None,
    *,
    read: int,
    say: str,
    draft: Draft,
    shown: EditVisit | None = None,
) -> Response:
    """Keep an entry, None for none, and go on; or show the form with what is in the way."""
    visit, shown = at.visit, shown or at
    kept_at = replace(at, is_new=False)

    def leads(version: int) -> Reply:
        if entry is None:
            gone = f"gone={at.section.key}&was={at.key}&changed={version}"
            return led_to(f"{shop_path(visit.shop, 'shop')}?{gone}")
        changed = f"?changed={version}" if version != at.holds.version else ""
        if changed and shown.is_new:
            changed += "&made=1"
        return led_to(f"{kept_at.address}{changed}")

    change = Change(path=at.path, entry=entry, read=read, now=visit.now, by=visit.token.id)
    try:
        done: Done = change_entry(
            visit.services.units,
            visit.services.written,
            visit.shop,
            change,
            asked=asked_once(visit, form),
            reply=leads,
        )
    except InvalidInput as wrong:
        faults = said_beside(wrong.faults, at.path, at.root, draft)
        return _show(shown, draft, form=form, faults=faults, status=422, is_draft=True)
    except Overtaken as other:
        return _show(kept_at, draft, overtaken=other, status=409, is_draft=True)
    path = path_of(done.reply)
    if entry is not None and "?" not in path:
        say = "Nothing was changed: it was so already."
    if "?changed=" in path:
        # The sheet itself says what was kept, and what comes next.
        say = ""
    return visit.go(path, say=" ".join([say, *done.also]).strip())


def _title(at: EditVisit, draft: Draft) -> str:
    name = draft.get("title", "") if isinstance(draft, dict) else ""
    family = at.shop.moulds.get(at.key) if at.section.key == "moulds" else None
    stocked = at.shop.materials.get(at.key) if at.section.key == "stock" else None
    if family is not None and not name:
        return family_title(at.shop, family)
    return name or (stocked.title if stocked else title_from(at.key) if at.key else "")


def _show(
    at: EditVisit,
    draft: Draft,
    *,
    form: FormData | None = None,
    faults: Sequence[Said] = (),
    focus: str = "",
    status: int = 200,
    just: JustKept | None = None,
    drawn: Shop | None = None,
    overtaken: Overtaken | None = None,
    is_draft: bool = False,
) -> Response:
    visit = at.visit
    first = next((said.name for said in faults if said.name), "")
    both: tuple[Difference, ...] = ()
    version = at.holds.version if form is None else version_of(form)
    if overtaken is not None:
        both = differences(at.root, at.shown(overtaken.was), at.shown(overtaken.theirs), draft)
        version = overtaken.holds_version
    edit_form = EditForm(
        root=at.root,
        draft=draft,
        choices=Choices(shop=at.shop, root=at.root, draft=draft, key=at.key),
        section=at.section.key,
        runs=runs_of(at.section, at.root),
        currency=at.shop.currency.code,
        faults=tuple(faults),
        focus=focus or first,
    )
    drawings: tuple[Figure, ...] = drawings_of(drawn or at.shop, at.section.key, at.key)
    sheet = _sheet(at, draft, form)
    return visit.show(
        "edit.html",
        title=sheet.head,
        shop_name=at.shop.name,
        place=at.section.place,
        status=status,
        it=sheet,
        form=edit_form,
        version=version,
        once=visit.services.chance(),
        just=just,
        differences=both,
        is_gone=overtaken is not None and overtaken.theirs is None,
        is_draft=is_draft or bool(faults),
        is_drawn_as_typed=drawn is not None,
        drawings=drawings,
        first_of_step=[
            name for name in FIRST_OF_STEP if at.shop.rooms or name not in ("in_room", "room_state")
        ],
        remarks=remarks_of(drawn or at.shop, at.section.key, at.key),
    )


def _sheet(at: EditVisit, draft: Draft, form: FormData | None) -> Sheet:
    section, visit = at.section, at.visit
    back, words = shop_path(visit.shop, "shop"), "The shop"
    if section.read_at and not at.is_new and at.entry is not None:
        back, words = shop_path(visit.shop, f"{section.read_at}/{at.key}"), "The sheet of it"
    elif section.place != "shop":
        back = shop_path(visit.shop, section.place)
        words = label_of(section.place)
    head = section.new if at.is_new else section.title
    if at.key and not at.is_new:
        head = _title(at, draft)
    return Sheet(
        head=head,
        lead=at.root.meaning if section.key != "shop" else "Money, time, and how it counts.",
        path=at.address,
        back=back,
        back_words=words,
        section=section.key,
        key=at.key,
        thing=section.thing,
        keep_words=f"Keep {section.thing}" if at.is_new else "Keep",
        is_new=at.is_new,
        new_key=text_of(form, NEW_KEY) if form is not None else "",
        may_remove=not section.is_single and not at.is_new,
        text_path=f"{at.address}/text" if _has_text(at) else "",
        draws=bool(section.captions),
        captions=section.captions,
    )


def _has_text(at: EditVisit) -> bool:
    kinds: tuple[Any, ...] = ("table",)
    return at.root.kind in kinds and not at.section.is_single and not at.is_new
