"""An entry's form: its fields as typed, what is wrong beside each, what may be chosen."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any
from zoneinfo import available_timezones

from mouldwright.domain.errors import Fault
from mouldwright.domain.shop import Shop
from mouldwright.web.draft import Draft, draft_of, empty_draft
from mouldwright.web.labels import choice_of, label_of, path_label, unit_of
from mouldwright.web.words import span
from mouldwright.wire.forms import FormField

# The fields that name an entry of another section.
_NAMES = {
    **dict.fromkeys(("material", "fibre", "matrix"), "materials"),
    "station": "stations",
    "in_room": "rooms",
    "part": "parts",
    "process": "processes",
    "made_by": "processes",
}
_OF_STEPS = ("from", "to", "pot_life_until")
# What stands open in a step; the rest opens when it is asked for, or says something.
FIRST_OF_STEP = (
    *("name", "per", "attended_min", "attended_each_min"),
    *("unattended_min", "unattended_each_min", "people", "skill", "station"),
    *("in_room", "room_state"),
)


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
        shop: As it is kept, for what may be chosen.
        currency: Stands in fields of money.
    """

    root: FormField
    draft: Draft
    shop: Shop
    currency: str
    faults: tuple[Said, ...] = ()
    focus: str = ""
    _known: dict[str, tuple[tuple[str, str], ...]] = field(default_factory=dict)

    def fault(self, name: str) -> str:
        """Return what is wrong with a field; empty where nothing is."""
        return " ".join(said.sentence for said in self.faults if said.name == name)

    def within(self, name: str) -> bool:
        """Return whether a fault, or the focus, is within a group."""
        names = [said.name for said in self.faults]
        names.append(self.focus.rpartition(" ")[2])
        return any(each == name or each.startswith(f"{name}.") for each in names)

    def label(self, each: FormField) -> str:
        """Return what a field is called."""
        if each.name == "rule" and "cox-krenchel" in each.choices:
            return "Stiffness by"
        return label_of(each.name)

    def unit(self, each: FormField) -> str:
        """Return the unit in a field: its own, or the currency."""
        if each.kind != "money":
            return unit_of(each.name, each.unit)
        return f"{self.currency} {each.unit}".strip()

    def hint(self, each: FormField) -> str:
        """Return what stands below a field; nothing where its label says as much."""
        if each.kind == "tick" or each.name == "made_by":
            return ""
        if each.name == "title":
            return "As people read it."
        share = " A share: 0.24, or 24 %." if each.is_share else ""
        shape = {
            "day": " Such as 08:30-12:30, 13:15-17:15; empty is closed.",
            "pairs": " One a line, such as 3: 35.50.",
            "points": " Two numbers a line, as in a coordinate file.",
            "loops": " Two numbers a line, a blank line between holes.",
            "place": " Such as 0.30, 0.02.",
            "range": " Such as 0.8, 1.6.",
        }.get(each.kind, "")
        if each.kind == "lines":
            whole = each.each is not None and each.each.kind == "whole"
            shape = " Such as 4, 2, 1." if whole else " One a line."
        if each.kind == "day":
            return shape.strip() if each.name == "mon" else ""
        meaning = "" if each.meaning.startswith("What it is") else each.meaning
        return f"{meaning}{share}{shape}".replace("Key of the", "The").strip()

    def lead(self, each: FormField) -> str:
        """Return what stands below the heading of a group; nothing that it says itself."""
        said = f"{label_of(each.name)}.".lower()
        return "" if each.meaning.lower() in (said, "its cross-section.") else each.meaning

    def placeholder(self, each: FormField) -> str:
        """Return what holds where a field is left empty."""
        if each.kind in ("number", "whole", "money") and each.default is not None:
            return str(draft_of(each, each.default))
        return ""

    def choices(self, each: FormField, value: str) -> tuple[tuple[str, str], ...]:
        """Return the words and entries a field is chosen from, its own value among them."""
        found = [(word, choice_of(word)) for word in each.choices or tuple(each.tables)]
        if not found:
            found = list(self.named(each.name))
        if value and value not in dict(found):
            found.append((value, value))
        return tuple(found)

    def named(self, name: str) -> tuple[tuple[str, str], ...]:
        """Return the entries that a field may name, each with its title."""
        if name not in self._known:
            self._known[name] = self._named(name)
        return self._known[name]

    def ways(self, value: str) -> tuple[tuple[str, str], ...]:
        """Return the processes to tick, those that are ticked first and in their order."""
        titles = dict(self.named("made_by"))
        ticked = [key for key in value.split("\n") if key]
        return tuple((key, titles.get(key, key)) for key in dict.fromkeys([*ticked, *titles]))

    def _named(self, name: str) -> tuple[tuple[str, str], ...]:
        shop = self.shop
        if name == "resource":
            stations = ((key, each.title) for key, each in shop.stations.items())
            return (("mould", "The mould"), *stations)
        section = _NAMES.get(name)
        if section is None:
            return ()
        tables: dict[str, Mapping[str, Any]] = {
            "materials": shop.materials,
            "stations": shop.stations,
            "rooms": shop.rooms,
            "parts": shop.parts,
            "processes": shop.processes,
        }
        found = [(key, each.title) for key, each in tables[section].items()]
        if name == "part" and self.root.kind == "tables":
            found += [(key, each.title) for key, each in shop.sets.items()]
        return tuple(found)

    def suggestions(self, each: FormField) -> str:
        """Return the id of the list that suggests what to type; empty where there is none."""
        if each.name in _OF_STEPS:
            return "steps"
        return {"skill": "skills", "time_zone": "zones"}.get(each.name, "")

    def lists(self) -> dict[str, tuple[str, ...]]:
        """Return what is suggested, by the id of its list."""
        lists: dict[str, tuple[str, ...]] = {}
        names = [each.name for each in self.root.fields]
        if "operations" in names:
            steps = self.draft.get("operations", [])
            lists["steps"] = tuple(dict.fromkeys(s["name"] for s in steps if s["name"]))
            skills = {skill for person in self.shop.people.values() for skill in person.skills}
            lists["skills"] = tuple(sorted(skills))
        if "time_zone" in names:
            lists["zones"] = tuple(sorted(available_timezones()))
        return lists

    def says_more(self, fields: Sequence[FormField], row: Mapping[str, Draft]) -> bool:
        """Return whether any of these fields holds something other than its default."""
        return any(row.get(f.name, "") not in ("", empty_draft(f)) for f in fields)

    def summary(self, row: Mapping[str, Draft], at: int) -> str:
        """Return a step in a few words."""
        words = [f"{at + 1}. {row.get('name') or 'New step'}"]
        for kind, word in (("attended", "hands on"), ("unattended", "on its own")):
            fixed, each = row.get(f"{kind}_min", ""), row.get(f"{kind}_each_min", "")
            times = [_span(fixed)] if fixed not in ("", "0") else []
            times += [f"{_span(each)} each"] if each else []
            if times:
                words.append(f"{' + '.join(times)} {word}")
        if row.get("per"):
            words.append(f"per {row['per']}")
        return ", ".join(words)


def _span(typed: str) -> str:
    return span(float(typed)) if typed.isascii() and typed.isdigit() else f"{typed} min"


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
        field_ = next((f for f in fields if f.name == step), field_)
        if field_.name != step:
            break
        names.append(str(step))
        node = node.get(str(step))
    return ".".join(names)


def _sentence(fault: Fault, name: str) -> str:
    if fault.problem == "this key is missing.":
        return "This must be filled in."
    if fault.problem.startswith(("the shape is missing", "the kind is missing")):
        return "Choose one."
    remedy = re.sub(r",? in quotes( and)?", "", fault.remedy).replace(", without quotes", "")
    sentence = f"{fault.problem[:1].upper()}{fault.problem[1:]} {remedy}".strip()
    # Keys of the format read as what stands above their fields.
    return re.sub(
        r"\b[a-z]+(?:_[a-z0-9]+)+\b", lambda key: f"“{label_of(key[0]).lower()}”", sentence
    )


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
