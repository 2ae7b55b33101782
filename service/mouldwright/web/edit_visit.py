"""A visit to a form: which entry, in which version of the shop, and what was sent of it."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import AsyncIterator
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import Depends, Request
from starlette.datastructures import FormData

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.shop import Shop
from mouldwright.usecases.editing import Path, entry_at
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept import Asked, Role, ShopVersion
from mouldwright.usecases.session import FORM_KEY
from mouldwright.usecases.shelf import open_kept
from mouldwright.web.bench_form import as_kept, as_shown
from mouldwright.web.doing_once import LONGEST_KEY, ONCE
from mouldwright.web.draft import Draft, entry_of
from mouldwright.web.edit_sections import SECTIONS, Section, path_of, root_of
from mouldwright.web.form_values import whole_of
from mouldwright.web.places import shop_path
from mouldwright.web.visit import Visit, posted, text_of
from mouldwright.wire.forms import FormField
from mouldwright.wire.json_text import json_text

NEW_KEY = "new-key"
_MOST_FIELDS = 8_000
_WAGES = ("shop", "people", "hours")


async def long_form(request: Request) -> AsyncIterator[FormData]:
    """Give a form with as many fields as a long process has. Raises FormNotOurs."""
    async with request.form(max_files=1, max_fields=_MOST_FIELDS) as form:
        yield posted(request, form)


LongForm = Annotated[FormData, Depends(long_form)]


@dataclass(frozen=True, slots=True, kw_only=True)
class EditVisit:
    """Someone at the form of an entry.

    Attributes:
        key: Of the entry; empty for one that is new or the only one.
        holds: The version of the shop that holds.
        shop: As it says.
    """

    visit: Visit
    section: Section
    key: str
    holds: ShopVersion
    shop: Shop
    is_new: bool = False

    @property
    def path(self) -> Path:
        """Return where the entry stands in the shop's document."""
        return path_of(self.section, self.key)

    @property
    def root(self) -> FormField:
        """Return what is filled in."""
        return root_of(self.section)

    @property
    def entry(self) -> Any:
        """Return the entry as its form shows it, None where there is none."""
        return self.shown(entry_at(self.holds.document, self.path))

    def shown(self, entry: Any) -> Any:
        """Return a kept entry of this path as its form shows it; None stays None."""
        return as_shown(entry, self.root, self.key)

    @property
    def address(self) -> str:
        """Return the path of the form."""
        if self.is_new:
            return shop_path(self.visit.shop, f"add/{self.section.key}")
        below = "" if self.section.is_single else f"/{self.key}"
        return shop_path(self.visit.shop, f"edit/{self.section.key}{below}")

    def json_of(self, draft: Draft) -> str:
        """Return a draft as the entry's JSON; a shop's own hours stay as they are."""
        value = as_kept(entry_of(self.root, draft))
        if self.section.key == "shop":
            hours = entry_at(self.holds.document, ("shop", "hours"))
            value = {**value, "hours": hours}
        return json_text(value)


def edit_visit(visit: Visit, section: str, key: str = "", *, is_new: bool = False) -> EditVisit:
    """Return the visit to an entry's form.

    Raises:
        Unknown: if there is no such section.
        NotAllowed: if the visitor may not change it.
    """
    found = SECTIONS.get(section)
    if found is None or found.is_single == bool(key or is_new):
        raise Unknown(kind="sheet", key=section)
    # Wages, prices and hours are the owner's to change; how things are made is the planner's.
    visit.must(Role.OWNER if section in _WAGES else Role.PLANNER)
    kept = open_kept(visit.services.units, visit.services.written, visit.shop)
    return EditVisit(
        visit=visit, section=found, key=key, holds=kept.version, shop=kept.shop, is_new=is_new
    )


def asked_once(visit: Visit, form: FormData) -> Asked:
    """Return who asks for what: the same form sent twice is one ask, another text another."""
    fields = sorted((k, str(v)) for k, v in form.multi_items() if k not in (FORM_KEY, ONCE))
    said = hashlib.sha256(repr((visit.request.url.path, fields)).encode()).hexdigest()
    once = text_of(form, ONCE)[:LONGEST_KEY]
    return Asked(caller=visit.token.id, key=f"page {once} {said[:16]}", fingerprint=said)


def version_of(form: FormData) -> int:
    """Return the version a form was shown from. Raises InvalidInput."""
    return whole_of(form, "version")


def _numbered_test(at: EditVisit, form: FormData) -> str:
    """Return the first free name of a test of that part and process; empty where one lacks."""
    part, process = text_of(form, "part"), text_of(form, "process")
    taken = json.loads(at.holds.document).get(at.section.key, {})
    if not part or not process:
        return ""
    return next(
        name
        for number in range(1, len(taken) + 2)
        if (name := f"{part}-{process}-{number}") not in taken
    )


def _is_uncounted(at: EditVisit, entry: dict[str, object]) -> bool:
    """Return whether an entry is moulds that were noted by themselves and wait to be counted."""
    if at.section.key != "moulds" or entry.get("count"):
        return False
    return entry.get("cost") is None and entry.get("life_pulls") is None


def new_key_of(at: EditVisit, form: FormData) -> str:
    """Return the key of a new entry: as typed, else made from the name.

    Raises:
        InvalidInput: if there is none, it is none, or it is taken.
    """
    typed = text_of(form, NEW_KEY)
    name, at_fault = "", NEW_KEY
    if at.section.is_named_by_title:
        name, at_fault = text_of(form, "title"), "title"
    elif at.section.key == "moulds":
        name = f"{text_of(form, 'part')} {text_of(form, 'process')}".strip()
        at_fault = "process" if text_of(form, "part") else "part"
    elif at.section.key == "bench_tests":
        name, at_fault = _numbered_test(at, form), "process" if text_of(form, "part") else "part"
    key = typed or re.sub(r"[^\w]+", "-", name.lower()).strip("-_")
    taken = json.loads(at.holds.document).get(at.section.key, {})
    problem, remedy = "", ""
    if not key:
        remedy = "Write a name." if at_fault == "title" else "Choose one."
    elif not re.fullmatch(r"\w[\w-]*", key) or len(key) > 100:
        problem = "a key is made of letters, digits, hyphens and underscores."
        remedy = f"Write {re.sub(r'[^0-9A-Za-z_-]+', '-', key).strip('-')[:100] or 'a-key'}."
    elif key in taken and not _is_uncounted(at, taken[key]):
        problem = "there is one of that name already."
        remedy = "Change that one, or give this another name or key."
    if remedy:
        path = NEW_KEY if typed else at_fault
        fault = Fault(path=path, value=typed, problem=problem, remedy=remedy)
        raise InvalidInput([fault])
    return key
