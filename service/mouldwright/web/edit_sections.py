"""The sections of a shop that are written in forms, and where each is read."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from mouldwright.usecases.editing import Path
from mouldwright.web.bench_form import bench_form
from mouldwright.wire.forms import FormField, form_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One section.

    Attributes:
        key: As a scenario writes it; "hours" stands within the shop.
        title: Of the whole section.
        thing: What one entry is called, with its article.
        new: Heads the form of a new one.
        place: The sheet at the head that it belongs to.
        read_at: Path below the shop where an entry is read; empty where it is in its form.
        is_single: Whether the section is one entry.
        captions: Of the drawings of an entry.
        is_named_by_title: Whether a key may be made from the name.
    """

    key: str
    title: str
    thing: str
    new: str = ""
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
        Section(key="people", title="People", thing="this person", new="New person"),
        Section(key="stations", title="Stations", thing="this station", new="New station"),
        Section(key="rooms", title="Rooms", thing="this room", new="New room"),
        Section(key="sessions", title="Sessions", thing="this session", new="New session"),
        Section(
            key="materials",
            title="Materials",
            thing="this material",
            new="New material",
            place="materials",
            read_at="materials",
        ),
        Section(key="suppliers", title="Suppliers", thing="this supplier", new="New supplier"),
        Section(
            key="stock",
            title="Stock",
            thing="this stock",
            new="New stock",
            is_named_by_title=False,
        ),
        Section(
            key="processes",
            title="Processes",
            thing="this process",
            new="New process",
            place="processes",
            read_at="processes",
            captions=("Once through",),
        ),
        Section(
            key="parts",
            title="Parts",
            thing="this part",
            new="New part",
            place="parts",
            read_at="parts",
            captions=("From above", "Section at the root"),
        ),
        Section(
            key="moulds",
            title="Moulds",
            thing="these moulds",
            new="New moulds",
            place="moulds",
            is_named_by_title=False,
        ),
        Section(key="sets", title="Sets", thing="this set", new="New set"),
        Section(
            key="bench_tests",
            title="Bench tests",
            thing="this test",
            new="New bench test",
            place="tests",
            captions=("Readings and line",),
            is_named_by_title=False,
        ),
        Section(
            key="orders",
            title="Orders in the shop’s own file",
            thing="these orders",
            place="orders",
            is_single=True,
        ),
    )
}


Runs = tuple[tuple[str, tuple[str, ...]], ...]
# In which order a form asks, in runs with a heading of their own where they need one. A key
# that no run names comes last.
_ORDER: dict[str, Runs] = {
    "shop": (
        ("", ("name", "currency", "time_zone")),
        ("", ("price",)),
        ("On quotes", ("address", "contact", "tax_number")),
        ("", ("odds",)),
        ("On every hour and part", ("overhead_per_hour", "unbillable_share", "packaging_per_part")),
        ("", ("outbound",)),
        (
            "How it counts",
            (
                *(
                    "service_level",
                    "tooling",
                    "materials_charged",
                    "materials_planned",
                    "theory_factor",
                ),
                *("scale_step_g", "start"),
            ),
        ),
    ),
    "materials": (
        ("", ("title", "density_kg_m3", "modulus_gpa", "cost_per_kg", "cost_per_m")),
        ("", ("shelf_life_days", "cautions")),
        ("", ("mix",)),
        ("", ("fibre",)),
        ("", ("rod",)),
        ("Across the fibre", ("transverse_modulus_gpa", "shear_modulus_gpa", "poisson_ratio")),
    ),
    "processes": (
        ("", ("title",)),
        ("", ("operations",)),
        ("", ("holds",)),
        ("", ("structure",)),
        ("Lost on the way", ("squeeze_out", "waste_share", "weight_window")),
        ("", ("consumables",)),
        ("Selling and cautions", ("fit_to_sell", "cautions")),
    ),
    "parts": (
        ("", ("title", "span_mm")),
        ("", ("section",)),
        ("How it is made", ("made_by",)),
        ("", ("requirement",)),
        ("", ("bears_load",)),
    ),
    "moulds": (("", ("title", "part", "process")), ("", ("count",))),
}
# What nobody has said yet is not ticked for them.
_NOT_UNASKED = ("fit_to_sell",)


def runs_of(section: Section, root: FormField) -> tuple[tuple[str, tuple[FormField, ...]], ...]:
    """Return the fields of a form in the order in which it asks, each run with its heading."""
    known = {each.name: each for each in root.fields}
    runs = []
    for heading, names in _ORDER.get(section.key, ()):
        found = tuple(known.pop(name) for name in names if name in known)
        if found:
            runs.append((heading, found))
    if known:
        runs.append(("Besides" if runs and section.key != "moulds" else "", tuple(known.values())))
    return tuple(runs)


def path_of(section: Section, key: str) -> Path:
    """Return where an entry stands in a scenario."""
    if section.key == "hours":
        return ("shop", "hours")
    return (section.key,) if section.is_single else (section.key, key)


@lru_cache
def root_of(section: Section) -> FormField:
    """Return what is filled in; the hours have a form of their own."""
    found = form_of("shop").below("hours") if section.key == "hours" else form_of(section.key)
    left_out = ("hours",) if section.key == "shop" else ()
    fields = tuple(
        replace(each, default=False) if each.name in _NOT_UNASKED else each
        for each in found.fields
        if each.name not in left_out
    )
    return bench_form(replace(found, fields=fields), section.key)
