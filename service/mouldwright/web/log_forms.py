"""The forms in which something is noted: which fields each happening asks for, and what it says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.place_titles import place_title
from mouldwright.domain.shop import Shop
from mouldwright.usecases.log_numbers import numbers_in

Choices = Sequence[tuple[str, str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteField:
    """A field of a form.

    Attributes:
        kind: Of the input; "choice" for a list to choose from, "words" for one with proposals.
        choices: Value and words of each.
    """

    name: str
    label: str
    kind: str = "text"
    unit: str = ""
    hint: str = ""
    choices: Choices = ()
    is_needed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteForm:
    """A form.

    Attributes:
        key: In its address.
        what: The word of the log.
        title: What happened, in the bench's words.
        fields: Names of those it asks for, besides when it happened and a note.
    """

    key: str
    what: str
    title: str
    button: str
    fields: tuple[str, ...]


_HANDS = ("started", "finished", "stopped")
FORMS: tuple[NoteForm, ...] = (
    NoteForm(key="begun", what="started", title="Work was begun otherwise than planned",
             button="Note that it was begun",
             fields=("order", "pulls", "parts", "work!", "mould", "people")),
    NoteForm(key="done", what="finished", title="Work was done otherwise than planned",
             button="Note that it is done",
             fields=("order", "pulls", "parts", "work!", "mould", "people")),
    NoteForm(key="scrapped", what="scrapped", title="Something is scrap", button="Note the scrap",
             fields=("order", "pulls", "parts", "work", "cause")),
    NoteForm(key="second", what="second", title="A part is a second", button="Note the second",
             fields=("order", "pulls", "parts", "work")),
    NoteForm(key="reworked", what="reworked", title="A part is reworked", button="Note the rework",
             fields=("order", "pulls", "parts", "work")),
    NoteForm(key="stopped", what="stopped", title="Work stopped: a cure failed, the power went",
             button="Note that it stopped",
             fields=("order", "pulls", "parts", "work!", "mould", "cause")),
    NoteForm(key="mould-lost", what="mould lost", title="A mould is lost", button="Note the loss",
             fields=("mould!", "cause")),
    NoteForm(key="mould-retired", what="mould retired", title="A mould is retired",
             button="Retire the mould", fields=("mould!", "cause")),
    NoteForm(key="counted", what="stock counted", title="Stock was counted",
             button="Note the count", fields=("material", "lot", "amount")),
    NoteForm(key="received", what="received", title="A delivery came", button="Note what came",
             fields=("material", "amount", "lot", "best_before", "supplier", "paid")),
    NoteForm(key="late", what="delivery late", title="A delivery is late",
             button="Note the delay", fields=("material", "supplier", "until")),
    NoteForm(key="away", what="person away", title="Someone is away", button="Note who is away",
             fields=("people", "until", "cause")),
    NoteForm(key="weighed", what="weighed", title="Parts were weighed", button="Note the weight",
             fields=("order", "parts", "mass_g")),
    NoteForm(key="cup", what="weighed", title="A cup was weighed when it was done with",
             button="Note what stayed behind", fields=("mix", "mass_g")),
    NoteForm(key="returned", what="returned", title="A part came back", button="Note its return",
             fields=("order", "parts", "hours_used", "cause")),
)  # fmt: skip
BY_KEY = {form.key: form for form in FORMS}
# Said often enough to be proposed; any other words will do.
CAUSES = {
    "returned": ("crash", "joint released", "broke", "warped"),
    "scrapped": ("void", "short shot", "stuck in the mould", "out of shape", "dropped"),
    "stopped": ("the cure failed", "the power went", "ran out of material"),
    "mould lost": ("broken at demoulding", "dropped", "stuck"),
    "mould retired": ("worn", "scratched"),
    "person away": ("ill", "holiday", "elsewhere"),
}
_NUMBERS = ("amount", "mass_g", "hours_used")
_LONGEST = 500


def fields_of(form: NoteForm, shop: Shop) -> tuple[NoteField, ...]:
    """Return the fields of a form, with what a shop has to choose from."""
    found = [
        _field(name.rstrip("!"), form, shop, is_needed=name.endswith("!")) for name in form.fields
    ]
    at = "From when" if form.what == "person away" else "When it happened"
    found.append(NoteField(name="at", label=at, kind="datetime-local", hint="left empty, now"))
    found.append(NoteField(name="note", label="Anything else", hint="no customer’s name"))
    return tuple(found)


def _field(name: str, form: NoteForm, shop: Shop, *, is_needed: bool) -> NoteField:
    match name:
        case "order":
            orders = [(o.number, f"{o.number}, {_title(shop, o.part)}") for o in shop.orders]
            # What comes back may be of an order that is long gone.
            kind = "words" if form.what in ("returned", "weighed") else "choice"
            return NoteField(name=name, label="Order", kind=kind, choices=orders)
        case "pulls":
            return NoteField(name=name, label="Pulls", hint="such as 3, or 3 4 5, or 3-5")
        case "parts":
            return NoteField(name=name, label="Parts", hint="such as 7, or 7 8, or 7-9")
        case "work":
            label = "At which step" if is_needed else "Where it showed, if that is known"
            return NoteField(
                name=name, label=label, kind="choice", choices=_works(shop), is_needed=is_needed
            )
        case "mould":
            names = [f.name(m) for f in shop.moulds.values() for m in f.moulds]
            moulds = [(each, place_title(shop, each)) for each in names]
            return NoteField(
                name=name, label="Mould", kind="choice", choices=moulds, is_needed=is_needed
            )
        case "material":
            materials = [(m.key, m.title) for m in shop.materials.values() if m.mix is None]
            return NoteField(
                name=name, label="Material", kind="choice", choices=materials, is_needed=True
            )
        case "mass_g" if form.key == "cup":
            label = "Left in cup and brush"
            return NoteField(name=name, label=label, unit="g", hint="without the empty cup")
        case "mix":
            mixes = [(m.key, m.title) for m in shop.materials.values() if m.mix is not None]
            return NoteField(
                name="material", label="Mix", kind="choice", choices=mixes, is_needed=True
            )
        case "supplier":
            suppliers = [(key, each.title) for key, each in shop.suppliers.items()]
            return NoteField(name=name, label="Supplier", kind="choice", choices=suppliers)
        case "people":
            people = [(key, each.title) for key, each in shop.people.items()]
            needed = form.what == "person away"
            return NoteField(
                name=name, label="Who", kind="choice", choices=people, is_needed=needed
            )
        case "cause":
            causes = [(each, each) for each in CAUSES.get(form.what, ())]
            return NoteField(name=name, label="Why", kind="words", choices=causes)
        case "until":
            label = "Until when" if form.what == "person away" else "Expected now"
            return NoteField(name=name, label=label, kind="datetime-local", is_needed=True)
    return _PLAIN[name]


_PLAIN = {
    "lot": NoteField(name="lot", label="Lot", hint="as it stands on the pack"),
    "amount": NoteField(
        name="amount", label="How much", unit="g or m", hint="metres of what comes by the metre"
    ),
    "best_before": NoteField(name="best_before", label="Best before", kind="date"),
    "paid": NoteField(name="paid", label="Paid for it", hint="shipping left out"),
    "mass_g": NoteField(name="mass_g", label="Each weighs", unit="g"),
    "hours_used": NoteField(name="hours_used", label="It was used for", unit="h"),
}


def _title(shop: Shop, part: str) -> str:
    found = shop.parts.get(part) or shop.sets.get(part)
    return found.title if found is not None else part


def _works(shop: Shop) -> Choices:
    """Return every step of what is on order: process, part and operation, and its words."""
    made: dict[tuple[str, str], None] = {}
    for order in shop.orders:
        if order.part in shop.sets:
            made.update(dict.fromkeys((p.process, p.part) for p in shop.sets[order.part].parts))
            made[(order.part, order.part)] = None
        elif order.process is not None:
            made[(order.process, order.part)] = None
    found = []
    for process, part in made:
        operations = (
            shop.sets[process].operations if process in shop.sets
            else shop.processes[process].operations if process in shop.processes
            else ()
        )  # fmt: skip
        for operation in operations:
            value = "|".join((process, part, operation.name))
            found.append((value, f"{operation.name.capitalize()}, {_title(shop, part)}"))
    return found


def written(form: NoteForm, given: Mapping[str, str]) -> dict[str, Any]:
    """Return what a form says as it would be sent to be noted.

    Raises:
        InvalidInput: if a number or a list of numbers is none, each fault by its field.
    """
    faults: list[Fault] = []

    def ids(name: str) -> list[int]:
        try:
            return numbers_in(given.get(name, ""))
        except ValueError:
            remedy = "Write 3, or 3 4 5, or 3-5."
            faults.append(_wrong(name, given[name], "these are no numbers.", remedy))
            return []

    found: dict[str, Any] = {"what": form.what}
    names = _names(form)
    for name in (*names, "at", "note"):
        value = given.get(name, "")[:_LONGEST]
        if not value or name in ("order", "pulls", "parts", "work", "people"):
            continue
        found[name] = value
        if name in _NUMBERS:
            try:
                found[name] = Decimal(value.replace(",", "."))
            except InvalidOperation:
                faults.append(_wrong(name, value, "this is no number.", "Write one such as 12.5."))
        elif name == "paid":
            found[name] = value.replace(",", ".")
    if given.get("people"):
        found["people"] = [given["people"]]
    members = []
    if "order" in names and given.get("order"):
        members = [{"order": given["order"], "pulls": ids("pulls"), "parts": ids("parts")}]
    elif "order" in names:
        faults.append(_wrong("order", "", "no order is chosen.", "Choose one."))
    if given.get("work"):
        process, part, operation = [*given["work"].split("|"), "", ""][:3]
        found["task"] = {
            "process": process, "part": part, "operation": operation, "members": members,
        }  # fmt: skip
        if form.what in _HANDS and found.get("mould"):
            found["task"]["mould"] = found.pop("mould")
    if members and form.what not in _HANDS:
        found["members"] = members
    if form.what in _HANDS:
        found.pop("mould", None)
    if faults:
        raise InvalidInput(faults)
    return found


def _names(form: NoteForm) -> list[str]:
    """Return the fields of a form as the log names them: a mix is a material there."""
    plain = [name.rstrip("!") for name in form.fields]
    return ["material" if name == "mix" else name for name in plain]


def _wrong(path: str, value: str, problem: str, remedy: str) -> Fault:
    return Fault(path=path, value=value, problem=problem, remedy=remedy)


def field_at_fault(path: str, form: NoteForm) -> str:
    """Return the field that a fault of an entry belongs to; empty where to none."""
    names = [*_names(form), "at", "note"]
    for piece in reversed(path.replace("]", "").replace("[", ".").split(".")):
        if piece in names:
            return piece
        if piece in ("operation", "process", "part", "task") and "work" in names:
            return "work"
        if piece == "members":
            return "parts" if "pulls" not in names else "pulls"
    return ""
