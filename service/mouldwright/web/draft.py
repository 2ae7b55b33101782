"""What stands in a form while an entry is written: every field as it was typed.

A draft is a text for a single field, a dictionary of drafts for a table, a list of them for a
list of tables, and a list of [key, text] rows for a map. A table that may be left out and is
left out is not in it.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from starlette.datastructures import FormData

from mouldwright.wire.forms import FormField

Draft = Any
# Said by a form for a table, a list or a map that is there, however empty.
HERE = "~"
_MOST_ROWS = 400
_NUMBER = re.compile(r"-?[0-9]+([.,][0-9]+)?")
# A kept time of the shop's clock: the offset is the one its zone has then anyway.
_LOCAL = re.compile(r"(\d{4}-\d\d-\d\d)T(\d\d:\d\d)(?::00)?(?:[+-]\d\d:\d\d)?")
# Lists of short names, which people part with commas as soon as with lines.
_PARTED = ("skills",)


def empty_draft(field: FormField) -> Draft:
    """Return a field nobody has filled in: what holds by default, one row where one is needed."""
    if field.kind == "table":
        return {f.name: empty_draft(f) for f in field.fields if _is_shown_at_first(f)}
    if field.kind == "kinds":
        word = _first_kind(field)
        return {field.tag: word, **_table_of(field.tables[word], field.tag)}
    if field.kind == "tables":
        return [empty_row(field)] if field.is_needed else []
    if field.kind == "map":
        return [["", ""]] if field.is_needed else []
    return draft_of(field, field.default)


def empty_row(field: FormField) -> Draft:
    """Return one more row of a list of tables."""
    return _table_of(field.fields)


def _table_of(fields: tuple[FormField, ...], tag: str = "") -> dict[str, Draft]:
    return {f.name: empty_draft(f) for f in fields if f.name != tag and _is_shown_at_first(f)}


def _is_shown_at_first(field: FormField) -> bool:
    return field.is_needed or field.kind not in ("table", "kinds") or field.default is not None


def _first_kind(field: FormField) -> str:
    words = tuple(field.tables)
    return next((word for word in ("naca4", "mix") if word in words), words[0])


def draft_of(field: FormField, value: Any) -> Draft:
    """Return a kept value as it would be typed."""
    if field.kind == "table":
        known = value or {}
        return _known(field.fields, known)
    if field.kind == "kinds":
        word = (value or {}).get(field.tag, "")
        return {field.tag: word, **_known(field.tables.get(word, ()), value or {}, field.tag)}
    if field.kind == "tables" or (field.kind == "tally" and isinstance(value, list)):
        return [_known(field.fields, row) for row in value or []]
    if field.kind == "map":
        each = field.each
        assert each is not None
        return [[str(key), draft_of(each, below)] for key, below in (value or {}).items()]
    if value is None:
        return ""
    if field.kind == "tick":
        return "yes" if value else ""
    if field.kind == "lines":
        return "\n".join(_plain(item) for item in value)
    if field.kind == "day":
        return ", ".join(value)
    if field.kind == "pairs":
        return "\n".join(f"{packs}: {price}" for packs, price in value)
    if field.kind == "points":
        return "\n".join(" ".join(_plain(n) for n in point) for point in value)
    if field.kind == "loops":
        return "\n\n".join(
            "\n".join(" ".join(_plain(n) for n in point) for point in loop) for loop in value
        )
    if field.kind in ("place", "range"):
        return ", ".join(_plain(n) for n in value)
    if field.words == "local time" and (at := _LOCAL.fullmatch(str(value))):
        return f"{at[1]} {at[2]}"
    if field.is_share and _NUMBER.fullmatch(_plain(value)):
        return f"{_plain(Decimal(_plain(value)) * 100)} %"
    return _plain(value)


def _known(fields: tuple[FormField, ...], value: dict[str, Any], tag: str = "") -> dict[str, Draft]:
    found = {}
    for field in fields:
        if field.name == tag:
            continue
        below = value.get(field.name)
        if below is None and field.kind in ("table", "kinds"):
            continue
        found[field.name] = draft_of(field, below)
    return found


def _plain(value: Any) -> str:
    if isinstance(value, float):
        value = Decimal(repr(value))
    if isinstance(value, Decimal):
        text = f"{value:f}"
        return text.rstrip("0").rstrip(".") if "." in text else text
    return str(value)


def draft_from(field: FormField, form: FormData, name: str = "") -> Draft:
    """Return what was typed into a form.

    Args:
        field: What the form asks for.
        form: As it was sent.
        name: Of the field within it, dotted.
    """
    if field.kind == "table":
        return _typed(field.fields, form, name)
    if field.kind == "kinds":
        word = _text(form, _at(name, field.tag))
        return {field.tag: word, **_typed(field.tables.get(word, ()), form, name, field.tag)}
    if field.kind == "tables" or (field.kind == "tally" and _at(name, HERE) in form):
        return [_typed(field.fields, form, _at(name, str(n))) for n in range(_rows(form, name))]
    if field.kind == "map":
        return [
            [_text(form, _at(name, f"{n}.key")), _text(form, _at(name, f"{n}.value"))]
            for n in range(_rows(form, name))
        ]
    if field.kind == "lines":
        text = "\n".join(str(item) for item in form.getlist(name)).replace("\r", "")
        return _parted(text) if field.name in _PARTED else text
    return _text(form, name)


def _parted(text: str) -> str:
    """Return each name once, a line for each."""
    names = (" ".join(name.split()) for name in re.split(r"[,;\n]", text))
    return "\n".join(dict.fromkeys(name for name in names if name))


def _typed(
    fields: tuple[FormField, ...], form: FormData, name: str, tag: str = ""
) -> dict[str, Draft]:
    return {
        f.name: draft_from(f, form, _at(name, f.name))
        for f in fields
        if f.name != tag
        and (f.kind not in ("table", "kinds") or _at(_at(name, f.name), HERE) in form)
    }


def _at(name: str, below: str) -> str:
    return f"{name}.{below}" if name else below


def _text(form: FormData, name: str) -> str:
    value = form.get(name, "")
    return value.replace("\r", "").strip() if isinstance(value, str) else ""


def _rows(form: FormData, name: str) -> int:
    said = _text(form, _at(name, HERE))
    return min(int(said), _MOST_ROWS) if said.isascii() and said.isdigit() else 0


def entry_of(field: FormField, draft: Draft) -> Any:
    """Return a draft as it is written in a document; None for a key that is left out.

    What cannot be read is handed on as text, for the contract to refuse it in its own words.
    """
    match field.kind:
        case "table":
            return _entry(field.fields, draft)
        case "kinds":
            word = draft.get(field.tag, "")
            return {field.tag: word, **_entry(field.tables.get(word, ()), draft)}
        case "tables":
            return [_entry(field.fields, row) for row in draft]
        case "map":
            assert field.each is not None
            return {
                key: entry_of(field.each, text) if text else _nothing(field.each)
                for key, text in draft
                if key or text
            }
        case "tally":
            if isinstance(draft, list):
                return [_entry(field.fields, row) for row in draft]
            return _number(draft)
        case "tick":
            return bool(draft)
    return _list(field, draft) if field.kind in _LISTS else _single(field, draft)


_LISTS = ("lines", "day", "pairs", "points", "loops", "place", "range")


# From here on a bare number in a field for a share is taken as per cent: nobody's share is tenfold.
PER_CENT_FROM = 10


def bare_shares(field: FormField, draft: Draft, name: str = "") -> dict[str, str]:
    """Return what would be right for each share that is written as a number above one, by name.

    1.5 in a field for a share may mean 1.5 % or one and a half times: it is asked, never guessed.
    From 10 on only per cent can be meant.
    """
    if field.kind in ("table", "kinds") and isinstance(draft, dict):
        fields = field.tables.get(draft.get(field.tag, ""), ()) if field.tag else field.fields
        below = [(f, draft[f.name], _at(name, f.name)) for f in fields if f.name in draft]
    elif field.kind in ("tables", "tally") and isinstance(draft, list):
        row = FormField(name="", kind="table", fields=field.fields)
        below = [(row, each, _at(name, str(n))) for n, each in enumerate(draft)]
    else:
        number = str(draft).replace(",", ".")
        if not (field.is_share and _NUMBER.fullmatch(number)):
            return {}
        if not 1 < Decimal(number) < PER_CENT_FROM:
            return {}
        either = f"{_plain(Decimal(number))} % or {_plain(Decimal(number) * 100)} %"
        return {name: f"Write it in per cent: {either}."}
    return {
        at: remedy
        for each, text, path in below
        for at, remedy in bare_shares(each, text, path).items()
    }


def _nothing(field: FormField) -> Any:
    return [] if field.kind in _LISTS else ""


def _entry(fields: tuple[FormField, ...], draft: dict[str, Draft]) -> dict[str, Any]:
    found = {f.name: entry_of(f, draft[f.name]) for f in fields if f.name in draft}
    return {name: value for name, value in found.items() if value is not None}


def _single(field: FormField, text: str) -> Any:
    if not text:
        return None
    if field.kind in ("number", "whole"):
        return _number(text, is_share=field.is_share)
    if field.kind == "money":
        return text.replace(",", ".")
    return text


def _number(text: str, *, is_share: bool = False) -> Any:
    percent = is_share and text.endswith("%")
    bare = text.removesuffix("%").strip() if percent else text
    if not text or not _NUMBER.fullmatch(bare):
        return text or None
    if percent or (is_share and Decimal(bare.replace(",", ".")) >= PER_CENT_FROM):
        return Decimal(bare.replace(",", ".")) / 100
    return Decimal(bare.replace(",", ".")) if re.search("[.,]", bare) else int(bare)


def _list(field: FormField, text: str) -> Any:
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if field.kind == "lines":
        each = field.each
        assert each is not None
        if each.kind == "whole":
            return [_number(item) for item in re.split(r"[\s,;]+", text) if item]
        return lines
    if field.kind == "day":
        return [item.strip() for item in re.split(r"[,;\n]", text) if item.strip()]
    if field.kind == "pairs":
        return [_pair(line) for line in lines]
    if field.kind == "loops":
        blocks = [block for block in re.split(r"\n\s*\n", text) if block.strip()]
        return [[_numbers(line) for line in block.splitlines() if line.strip()] for block in blocks]
    if field.kind == "points":
        # A coordinate file begins with the section's name.
        begins = 1 if lines and not re.search(r"^[-+.\d]", lines[0]) else 0
        return [_numbers(line) for line in lines[begins:]] or None
    return _numbers(text) if text.strip() else None


def _pair(line: str) -> list[Any]:
    packs, _, price = line.partition(":") if ":" in line else line.partition(" ")
    return [_number(packs.strip()), price.strip().replace(",", ".")]


def _numbers(line: str) -> list[Any]:
    """Return the numbers of a line; a comma parts them where blanks do not."""
    words = line.split() if len(line.split()) > 1 else re.split(r"[,;]", line)
    return [_number(re.sub(r"^([-+]?)\.", r"\g<1>0.", w.strip(" ,;")).lstrip("+")) for w in words]
