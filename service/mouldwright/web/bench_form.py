"""The fields of an entry as people fill them in, where that is not how a scenario writes them.

A step says once whether it takes hands, and its minutes; a scenario has a key for each of the
four. A name that a key stands for is shown as if it had been written.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from mouldwright.web.hints import hint_of
from mouldwright.wire.forms import FormField
from mouldwright.wire.model import title_from

HANDS, ALONE = "hands", "alone"
_KINDS = {HANDS: "attended", ALONE: "unattended"}
_TIMES = ("takes_min", "takes_each_min")
# Where a fault of the format's key is said in the form.
SHOWN_AS = {
    f"{kind}{time.removeprefix('takes')}": time for kind in _KINDS.values() for time in _TIMES
}
# Only people have a skill, and only people pause.
_OF_HANDS = ("skill", "people", "interruptible", "learning_rate")


def bench_form(root: FormField, section: str) -> FormField:
    """Return the fields of a section with the bench's own hints, steps with one kind of time."""
    return _within(root, section)


def _within(field: FormField, path: str) -> FormField:
    fields = tuple(_within(each, f"{path}.{each.name}") for each in _steps(field.fields))
    tables = {
        word: tuple(_within(each, f"{path}.{each.name}") for each in below)
        for word, below in field.tables.items()
    }
    hint = hint_of(path)
    meaning = field.meaning if hint is None else hint
    return replace(field, fields=fields, tables=tables, meaning=meaning)


def _steps(fields: tuple[FormField, ...]) -> tuple[FormField, ...]:
    if not any(each.name == "attended_min" for each in fields):
        return fields
    found: list[FormField] = []
    for each in fields:
        if each.name == "attended_min":
            found.append(
                FormField(
                    name="work",
                    kind="choice",
                    choices=(HANDS, ALONE),
                    default=HANDS,
                    is_needed=True,
                )
            )
        shown = SHOWN_AS.get(each.name)
        if shown is None:
            found.append(each)
        elif each.name.startswith("attended"):
            found.append(replace(each, name=shown))
    return tuple(found)


def as_shown(entry: Any, root: FormField, key: str) -> Any:
    """Return a kept entry as its form shows it; None stays None.

    Args:
        entry: As it is kept.
        root: What its form asks for.
        key: Of the entry; empty for one that has none.
    """
    if not isinstance(entry, Mapping):
        return entry
    shown = dict(entry)
    names = [each.name for each in root.fields]
    # Moulds are named after part and process, not after their key.
    if key and not shown.get("title") and "title" in names and "cavities" not in names:
        shown["title"] = title_from(key)
    if isinstance(shown.get("operations"), list):
        shown["operations"] = [_step_shown(step) for step in shown["operations"]]
    return shown


def _step_shown(step: Mapping[str, Any]) -> dict[str, Any]:
    times = ("unattended_min", "unattended_each_min", "heat")
    alone = any(step.get(name) is not None for name in times)
    work = ALONE if alone else HANDS
    shown = {name: value for name, value in step.items() if name not in SHOWN_AS}
    shown["work"] = work
    for time in _TIMES:
        shown[time] = step.get(f"{_KINDS[work]}{time.removeprefix('takes')}")
    return shown


def as_kept(entry: Any) -> Any:
    """Return what a form holds as a scenario writes it."""
    if not isinstance(entry, Mapping) or not isinstance(entry.get("operations"), list):
        return entry
    return {**entry, "operations": [_step_kept(step) for step in entry["operations"]]}


def _step_kept(step: Mapping[str, Any]) -> dict[str, Any]:
    work = step.get("work", HANDS)
    kept = {name: value for name, value in step.items() if name not in ("work", *_TIMES)}
    if work == ALONE:
        kept = {name: value for name, value in kept.items() if name not in _OF_HANDS}
    for time in _TIMES:
        if step.get(time) is not None:
            kept[f"{_KINDS.get(work, 'attended')}{time.removeprefix('takes')}"] = step[time]
    return kept
