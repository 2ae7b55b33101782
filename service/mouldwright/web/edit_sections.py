"""The sections of a shop that are written in forms, and where each is read."""

from __future__ import annotations

from dataclasses import dataclass, replace

from mouldwright.usecases.editing import Path
from mouldwright.wire.forms import FormField, form_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One section.

    Attributes:
        key: As a scenario writes it; "hours" stands within the shop.
        title: Of the whole section.
        thing: What one entry is called, with its article.
        place: The sheet at the head that it belongs to.
        read_at: Path below the shop where an entry is read; empty where it is in its form.
        is_single: Whether the section is one entry.
        captions: Of the drawings of an entry.
        is_named_by_title: Whether a key may be made from the name.
    """

    key: str
    title: str
    thing: str
    place: str = "shop"
    read_at: str = ""
    is_single: bool = False
    captions: tuple[str, ...] = ()
    is_named_by_title: bool = True


SECTIONS: dict[str, Section] = {
    each.key: each
    for each in (
        Section(key="shop", title="Prices and policies", thing="the shop", is_single=True),
        Section(key="hours", title="Hours", thing="the hours", is_single=True),
        Section(key="people", title="People", thing="this person"),
        Section(key="stations", title="Stations", thing="this station"),
        Section(key="rooms", title="Rooms", thing="this room"),
        Section(key="sessions", title="Sessions", thing="this session"),
        Section(
            key="materials",
            title="Materials",
            thing="this material",
            place="materials",
            read_at="materials",
        ),
        Section(key="suppliers", title="Suppliers", thing="this supplier"),
        Section(key="stock", title="Stock", thing="this stock", is_named_by_title=False),
        Section(
            key="processes",
            title="Processes",
            thing="this process",
            place="processes",
            read_at="processes",
            captions=("Once through",),
        ),
        Section(
            key="parts",
            title="Parts",
            thing="this part",
            place="parts",
            read_at="parts",
            captions=("From above", "Section at the root"),
        ),
        Section(
            key="moulds",
            title="Moulds",
            thing="these moulds",
            place="moulds",
            is_named_by_title=False,
        ),
        Section(key="sets", title="Sets", thing="this set"),
        Section(
            key="orders",
            title="Orders in the shop’s own file",
            thing="these orders",
            place="orders",
            is_single=True,
        ),
    )
}


# Of a process, what one comes for.
_FIRST = ("title", "operations", "holds", "structure")


def path_of(section: Section, key: str) -> Path:
    """Return where an entry stands in a scenario."""
    if section.key == "hours":
        return ("shop", "hours")
    return (section.key,) if section.is_single else (section.key, key)


def root_of(section: Section) -> FormField:
    """Return what is filled in; the hours have a form of their own."""
    if section.key == "hours":
        return form_of("shop").below("hours")
    found = form_of(section.key)
    if section.key == "processes":
        first = [each for name in _FIRST for each in found.fields if each.name == name]
        rest = [each for each in found.fields if each.name not in _FIRST]
        return replace(found, fields=(*first, *rest))
    if section.key != "shop":
        return found
    fields = tuple(each for each in found.fields if each.name != "hours")
    return FormField(name="", kind="table", meaning=found.meaning, fields=fields)
