"""The shop in the order in which it is written: what is there, and what is still missing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from mouldwright.domain.place_titles import family_title
from mouldwright.domain.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step from a blank shop to a first quote.

    Attributes:
        section: What is written in it; empty for the quote itself.
        is_single: Whether it is one form rather than entries.
        title: What it is.
        words: What is there, or what to do.
        state: "done", "next", "later" or "may", for what can be left out.
        names: Each entry's key and name.
        adds: What the button that adds one says.
    """

    section: str
    is_single: bool
    title: str
    words: str
    state: str
    names: tuple[tuple[str, str], ...] = ()
    adds: str = ""


def steps_of(shop: Shop) -> tuple[Step, ...]:
    """Return every step in order; the first that is needed and missing is the next."""
    steps = [
        _single("hours", "Hours", bool(any(shop.hours.weekly)), "When the bench is open."),
        _single("shop", "Prices and policies", shop.price.rate > 0, _prices(shop)),
        _many(
            "people",
            "People",
            shop.people,
            "Who works here, what they can do, what an hour is paid.",
            "Add a person",
        ),
        _many(
            "stations",
            "Stations",
            shop.stations,
            "Press, clamps, printer, cabinet: what there is a count of.",
            "Add a station",
            may=True,
        ),
        _many(
            "rooms",
            "Rooms",
            shop.rooms,
            "Rooms that are dusty, wet or in paint by turns, and how long they settle between.",
            "Add a room",
            may=True,
        ),
        _many(
            "sessions",
            "Sessions",
            shop.sessions,
            "Work one gears up for and cleans down after: minutes going in and coming out.",
            "Add a session",
            may=True,
        ),
        _many(
            "materials",
            "Materials",
            shop.materials,
            "What parts are made of: density, stiffness, and what a kilogram costs.",
            "Add a material",
        ),
        _many(
            "suppliers",
            "Suppliers",
            shop.suppliers,
            "Who sells which packs, for what. A material may carry a cost of its own instead.",
            "Add a supplier",
            may=True,
        ),
        _many(
            "processes",
            "Processes",
            shop.processes,
            "How parts are made: the steps in order, hands or none, and what is held meanwhile.",
            "Add a process",
        ),
        _many(
            "parts",
            "Parts",
            shop.parts,
            "What is made: section and span, what it must bear, what makes it.",
            "Add a part",
        ),
        _moulds(shop),
        _many(
            "stock",
            "Stock",
            shop.stock.lots,
            "What is on the shelf, and until when it may be used.",
            "Add stock",
            may=True,
            named={k: _name(shop.materials, k) for k in shop.stock.lots},
        ),
        _many(
            "sets",
            "Sets",
            shop.sets,
            "What is sold as one of several parts.",
            "Add a set",
            may=True,
        ),
    ]
    found, is_next = [], True
    for step in steps:
        state = step.state
        if state == "missing":
            state, is_next = ("next", False) if is_next else ("later", False)
        found.append(replace(step, state=state))
    return tuple(found)


def _single(section: str, title: str, is_done: bool, words: str) -> Step:
    state = "done" if is_done else "missing"
    return Step(section=section, is_single=True, title=title, words=words, state=state)


def _prices(shop: Shop) -> str:
    if shop.price.rate > 0:
        return (
            f"In {shop.currency.code}, with {shop.price.rate * 100:f} % {shop.price.rule}.".replace(
                ".00 %", " %"
            )
        )
    return f"In {shop.currency.code}. No margin is set yet: a quote would be at cost."


def _name(things: Mapping[str, object], key: str) -> str:
    return str(getattr(things.get(key), "title", key))


def _many(
    section: str,
    title: str,
    things: Mapping[str, object],
    words: str,
    adds: str,
    *,
    may: bool = False,
    named: Mapping[str, str] | None = None,
) -> Step:
    names = named or {key: _name(things, key) for key in things}
    state = "done" if things else "may" if may else "missing"
    return Step(
        section=section,
        is_single=False,
        title=title,
        words=words,
        state=state,
        names=tuple(names.items()),
        adds=adds,
    )


def _moulds(shop: Shop) -> Step:
    served = {(family.part, family.process) for family in shop.moulds.values() if family.moulds}
    lacking = [
        f"{part.title} by {shop.processes[key].title}"
        for part in shop.parts.values()
        for key in part.made_by
        if key in shop.processes
        and shop.processes[key].uses_mould
        and (part.key, key) not in served
    ]
    words = "Which tools there are for a part and a process, and how long one lasts."
    if lacking:
        words = f"Still without a mould: {', '.join(lacking)}."
    elif not any(process.uses_mould for process in shop.processes.values()):
        words += " Needed once a process holds the mould."
    named = {key: family_title(shop, family) for key, family in shop.moulds.items()}
    step = _many("moulds", "Moulds", shop.moulds, words, "Add moulds", may=not lacking, named=named)
    return replace(step, state="missing") if lacking else step
