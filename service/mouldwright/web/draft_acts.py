"""What a form's own buttons do to a draft before it is kept: rows added, moved, taken out."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

from mouldwright.web.draft import Draft, draft_of, empty_draft, empty_row
from mouldwright.wire.forms import FormField

_WORKDAYS = ("tue", "wed", "thu", "fri")


def act(field: FormField, draft: Draft, asked: str) -> tuple[Draft, str]:
    """Return a draft with one thing done to it, and the name of what to go to.

    Args:
        field: What the draft is of.
        draft: It is changed.
        asked: A verb and a dotted name: "add operations", "up operations.3", "open mix".
    """
    verb, _, name = asked.partition(" ")
    do = _ACTS.get(verb)
    steps = [step for step in name.split(".") if step]
    if do is None:
        return draft, ""
    root = [draft]
    try:
        where = do(field, root, steps)
    except (KeyError, IndexError, ValueError, TypeError, AttributeError):
        # A button of another version of the form: nothing is done, nothing is lost.
        return draft, ""
    return root[0], where


def _walk(field: FormField, root: list[Any], steps: list[str]) -> tuple[FormField, Any, Any]:
    """Return the field at a name, and the place in the draft where it stands."""
    holder: Any = root
    key: Any = 0
    for step in steps:
        node = holder[key]
        if isinstance(node, list):
            field = FormField(name="", kind="table", fields=field.fields)
            holder, key = node, int(step)
            continue
        fields = field.tables[node[field.tag]] if field.kind == "kinds" else field.fields
        field = next(f for f in fields if f.name == step)
        holder, key = node, step
    return field, holder, key


def _add(field: FormField, root: list[Any], steps: list[str]) -> str:
    here, holder, key = _walk(field, root, steps)
    row = ["", ""] if here.kind == "map" else empty_row(here)
    holder[key].append(row)
    first = "key" if here.kind == "map" else here.fields[0].name
    return ".".join([*steps, str(len(holder[key]) - 1), first])


def _rows(root: list[Any], field: FormField, steps: list[str]) -> tuple[list[Any], int]:
    _, holder, key = _walk(field, root, steps[:-1])
    at = int(steps[-1])
    if not 0 <= at < len(holder[key]):
        raise IndexError(at)
    return holder[key], at


def _drop(field: FormField, root: list[Any], steps: list[str]) -> str:
    rows, at = _rows(root, field, steps)
    del rows[at]
    return "add " + ".".join(steps[:-1])


def _copy(field: FormField, root: list[Any], steps: list[str]) -> str:
    rows, at = _rows(root, field, steps)
    rows.insert(at + 1, copy.deepcopy(rows[at]))
    here, _, _ = _walk(field, root, steps[:-1])
    return ".".join([*steps[:-1], str(at + 1), here.fields[0].name])


def _move(by: int) -> Callable[[FormField, list[Any], list[str]], str]:
    def move(field: FormField, root: list[Any], steps: list[str]) -> str:
        rows, at = _rows(root, field, steps)
        to = min(max(at + by, 0), len(rows) - 1)
        rows.insert(to, rows.pop(at))
        verb = "up" if by < 0 else "down"
        if (to == 0 and by < 0) or (to == len(rows) - 1 and by > 0):
            verb = "down" if by < 0 else "up"
        return f"{verb} " + ".".join([*steps[:-1], str(to)])

    return move


def _open(field: FormField, root: list[Any], steps: list[str]) -> str:
    here, holder, key = _walk(field, root, steps)
    holder[key] = empty_draft(here)
    first = here.tag if here.kind == "kinds" else here.fields[0].name
    return ".".join([*steps, first])


def _close(field: FormField, root: list[Any], steps: list[str]) -> str:
    _, holder, key = _walk(field, root, steps)
    holder.pop(key)
    return "open " + ".".join(steps)


def _kind(field: FormField, root: list[Any], steps: list[str]) -> str:
    """Fill in the fields of the kind that was chosen; what both kinds have is kept."""
    here, holder, key = _walk(field, root, steps)
    word = holder[key][here.tag]
    fresh = {f.name: empty_draft(f) for f in here.tables.get(word, ()) if f.name != here.tag}
    kept = {name: text for name, text in holder[key].items() if name in fresh and text}
    holder[key] = {here.tag: word, **fresh, **kept}
    return ".".join([*steps, here.tag])


def _list(field: FormField, root: list[Any], steps: list[str]) -> str:
    """Turn a count into a list with a row for each."""
    here, holder, key = _walk(field, root, steps)
    text = holder[key]
    count = min(int(text), 200) if str(text).isdigit() else 1
    holder[key] = [
        {**empty_row(here), here.fields[0].name: draft_of(here.fields[0], str(n + 1))}
        for n in range(count)
    ]
    return ".".join([*steps, "0", here.fields[0].name])


def _count(field: FormField, root: list[Any], steps: list[str]) -> str:
    """Turn such a list into the count of its rows."""
    _, holder, key = _walk(field, root, steps)
    holder[key] = str(len(holder[key]))
    return ".".join(steps)


def _days(field: FormField, root: list[Any], steps: list[str]) -> str:
    """Let the working days be as Monday is."""
    _, holder, key = _walk(field, root, steps)
    for day in _WORKDAYS:
        holder[key][day] = holder[key]["mon"]
    return ".".join([*steps, "tue"])


_ACTS = {
    "add": _add,
    "drop": _drop,
    "copy": _copy,
    "up": _move(-1),
    "down": _move(1),
    "open": _open,
    "close": _close,
    "kind": _kind,
    "list": _list,
    "count": _count,
    "days": _days,
}
