"""An entry's form: its fields as typed, what is wrong beside each, what may be chosen."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from mouldwright.domain.errors import Fault
from mouldwright.domain.shown import lasting
from mouldwright.web.bench_form import SHOWN_AS
from mouldwright.web.draft import Draft, draft_of, empty_draft
from mouldwright.web.fault_words import in_form_words
from mouldwright.web.hints import TICK_HINTS
from mouldwright.web.labels import add_of, choice_of, label_of, path_label, unit_of
from mouldwright.web.view_models.edit_choices import Choices
from mouldwright.wire.forms import FormField

# Lists that are ticked rather than written.
TICKED = ("skills", "made_by", "after")
# What stands open in a step; the rest opens when it is asked for, or says something.
FIRST_OF_STEP = (
    *("name", "per", "work", "takes_min", "takes_each_min"),
    *("people", "skill", "station", "good_rate", "in_room", "room_state"),
)
_DAY = "Such as 08:30-12:30, 13:15-17:15; empty is closed."
# A field that asks only where people are at work.
FOR_HANDS = ("people", "skill", "interruptible", "learning_rate")


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A fault beside its field.

    Attributes:
        name: Of the field, dotted; empty where it is of none in this form.
        label: What the field is called; empty where it is of none.
        sentence: What is wrong and what would be right.
    """

    name: str
    label: str
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One field that two people wrote."""

    label: str
    was: str
    theirs: str
    yours: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EditForm:
    """A form.

    Attributes:
        root: What is filled in.
        draft: As typed.
        faults: All of them, in order.
        focus: Name of the field, or value of the button, to go to.
        choices: What may be chosen.
        currency: Stands in fields of money.
        section: Key of the section that is written.
        runs: The fields in the order in which they are asked, each run with its heading.
    """

    root: FormField
    draft: Draft
    choices: Choices
    currency: str
    section: str = ""
    runs: tuple[tuple[str, tuple[FormField, ...]], ...] = ()
    faults: tuple[Said, ...] = ()
    focus: str = ""

    def fault(self, name: str) -> str:
        """Return what is wrong with a field; empty where nothing is."""
        each = (said.sentence for said in self.faults if said.name == name)
        return " ".join(dict.fromkeys(each))

    def within(self, name: str) -> bool:
        """Return whether a fault, or the focus, is within a group."""
        names = [said.name for said in self.faults]
        names.append(self.focus.rpartition(" ")[2])
        return any(each == name or each.startswith(f"{name}.") for each in names)

    def label(self, each: FormField) -> str:
        """Return what a field is called."""
        if each.name == "rule" and "cox-krenchel" in each.choices:
            return "Stiffness by"
        if each.name == "mass_g" and each.meaning.startswith("What the piece"):
            return "Mass of the piece"
        return label_of(each.name)

    def adds(self, each: FormField) -> str:
        """Return what the button says that adds one more, or what was left out."""
        return add_of(each.name or self.section)

    def unit(self, each: FormField) -> str:
        """Return the unit in a field: its own, or the currency."""
        if each.kind != "money":
            return unit_of(each.name, each.unit)
        return f"{self.currency} {each.unit}".strip()

    def hint(self, each: FormField) -> str:
        """Return what stands below a field; nothing where its label says as much."""
        if each.kind == "tick":
            return TICK_HINTS.get(each.name, "")
        if each.kind == "day":
            return _DAY if each.name == "mon" else ""
        shape = {
            "pairs": "One a line, such as 3: 35.50.",
            "points": "Two numbers a line, as in a coordinate file.",
            "loops": "Two numbers a line, a blank line between holes.",
            "place": "Such as 0.30, 0.02.",
            "range": "Such as 0.8, 1.6.",
        }.get(each.kind, "")
        if each.name == "readings":
            shape = "One reading a line, load then deflection: 0.4 4.40."
        if each.kind == "lines" and each.each is not None and each.each.kind == "text":
            shape = "" if each.name in TICKED or "line" in each.meaning else "One a line."
        if each.kind == "range" and any(sign.isdigit() for sign in each.meaning):
            shape = ""
        if each.is_share and each.default is None:
            shape = "In per cent, such as 55 %."
        return f"{each.meaning} {shape}".replace("Key of the", "The").replace("`", "").strip()

    def lead(self, each: FormField) -> str:
        """Return what stands below the heading of a group; nothing that it says itself."""
        said = f"{label_of(each.name)}.".lower()
        return "" if each.meaning.lower() == said else each.meaning

    def placeholder(self, each: FormField) -> str:
        """Return what holds where a field is left empty."""
        if each.kind in ("number", "whole", "money") and each.default is not None:
            return str(draft_of(each, each.default))
        return ""

    def is_ticked(self, each: FormField) -> bool:
        """Return whether a list is ticked rather than written."""
        return each.kind == "lines" and each.name in TICKED

    def ticks(self, each: FormField, value: str) -> tuple[tuple[str, str], ...]:
        """Return what a list is ticked from; empty for one that is written."""
        return self.choices.ticks(each, value)

    def is_for_hands(self, each: FormField) -> bool:
        """Return whether a field of a step asks only where people are at work."""
        return each.name in FOR_HANDS

    def says_more(self, fields: Sequence[FormField], row: Mapping[str, Draft]) -> bool:
        """Return whether any of these fields holds something other than its default."""
        return any(row.get(f.name, "") not in ("", empty_draft(f)) for f in fields)

    def summary(self, row: Mapping[str, Draft], at: int) -> str:
        """Return a step in a few words."""
        words = [f"{at + 1}. {row.get('name') or 'New step'}"]
        fixed, each = row.get("takes_min", ""), row.get("takes_each_min", "")
        times = [_span(fixed)] if fixed not in ("", "0") else []
        times += [f"{_span(each)} a part"] if each else []
        if times:
            words.append(f"{' + '.join(times)} {choice_of(row.get('work', ''), 'work')}")
        if row.get("per"):
            words.append(f"for each {choice_of(row['per'], 'per')}")
        return ", ".join(words)


def _span(typed: str) -> str:
    return lasting(float(typed)) if typed.isascii() and typed.isdigit() else f"{typed} min"


def said_beside(
    faults: Iterable[Fault], path: Sequence[str], root: FormField, draft: Draft
) -> tuple[Said, ...]:
    """Return each fault with the field of the form that it belongs to.

    Args:
        faults: Of the whole shop.
        path: Where the entry stands in it.
        root: What the form asks for.
        draft: As typed.
    """
    found = []
    for fault in faults:
        if tuple(fault.steps[: len(path)]) != tuple(path):
            found.append(Said(name="", label="", sentence=str(fault)))
            continue
        name = _name(root, draft, fault, len(path))
        found.append(Said(name=name, label=path_label(name), sentence=_sentence(fault, name)))
    return tuple(found)


def _name(root: FormField, draft: Draft, fault: Fault, below: int) -> str:
    names: list[str] = []
    field_, node = root, draft
    steps = list(fault.steps[below:])
    # A key that is not written has no place of its own: its name ends the path that is shown.
    last = re.split(r"[.\]]", fault.path)[-1]
    if last and (not steps or last != steps[-1]):
        steps.append(last)
    for step in steps:
        if isinstance(node, list) and field_.kind in ("tables", "tally"):
            if not isinstance(step, int):
                break
            names.append(str(step))
            node = node[step] if step < len(node) else {}
            field_ = FormField(name="", kind="table", fields=field_.fields)
            continue
        if field_.kind == "map":
            rows = [n for n, (key, _) in enumerate(node) if key == step]
            names += [str(rows[0]), "value"] if rows else []
            break
        if not isinstance(node, dict):
            break
        fields = field_.tables.get(node.get(field_.tag, ""), ()) if field_.tag else field_.fields
        step = SHOWN_AS.get(str(step), step)
        field_ = next((f for f in fields if f.name == step), field_)
        if field_.name != step:
            break
        names.append(str(step))
        node = node.get(str(step))
    return ".".join(names)


def _sentence(fault: Fault, name: str) -> str:
    if fault.problem == "this key is missing.":
        return "This must be filled in."
    if fault.problem == "the operation has no time.":
        return "Write how long it takes."
    if fault.problem.startswith(("the shape is missing", "the kind is missing")):
        return "Choose one."
    remedy = re.sub(r",? in quotes( and)?", "", fault.remedy).replace(", without quotes", "")
    return in_form_words(f"{fault.problem[:1].upper()}{fault.problem[1:]} {remedy}".strip())


def differences(root: FormField, was: Any, theirs: Any, yours: Draft) -> tuple[Difference, ...]:
    """Return what differs between an entry as read, as another left it, and as typed."""
    before = _flat(draft_of(root, was) if was is not None else {})
    now = _flat(draft_of(root, theirs) if theirs is not None else {})
    mine = _flat(yours)
    names = list(dict.fromkeys([*before, *now, *mine]))
    return tuple(
        Difference(
            label=path_label(name),
            was=before.get(name, ""),
            theirs=now.get(name, ""),
            yours=mine.get(name, ""),
        )
        for name in names
        if not before.get(name, "") == now.get(name, "") == mine.get(name, "")
    )


def _flat(draft: Draft, name: str = "") -> dict[str, str]:
    if isinstance(draft, dict):
        items: Iterable[tuple[str, Draft]] = draft.items()
    elif isinstance(draft, list):
        items = ((str(n), each) for n, each in enumerate(draft))
    else:
        return {name: draft}
    return {
        key: text
        for step, below in items
        for key, text in _flat(below, f"{name}.{step}" if name else step).items()
    }
