"""What to write next, once something is kept: what the shop still lacks, then an enquiry."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.shop import Shop
from mouldwright.web.places import shop_path
from mouldwright.web.view_models.shop_sheet import Step, steps_of

_ANOTHER = {
    "people": "Another person",
    "stations": "Another station",
    "rooms": "Another room",
    "sessions": "Another session",
    "materials": "Another material",
    "suppliers": "Another supplier",
    "stock": "More stock",
    "processes": "Another process",
    "parts": "Another part",
    "moulds": "Other moulds",
    "sets": "Another set",
}
# Whose wages and prices are the owner's to write.
_OWNERS = ("shop", "people", "hours")


@dataclass(frozen=True, slots=True, kw_only=True)
class Onward:
    """Where to go on from something that is kept.

    Attributes:
        words: On the button.
        path: Where it leads.
        why: A sentence on why it comes next; empty where the button says it.
        others: Words and path of what may be done instead.
    """

    words: str
    path: str
    why: str
    others: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class JustKept:
    """What was kept a moment ago.

    Attributes:
        version: Of the shop that it made, for the undo.
        is_made: Whether it was not there before.
    """

    version: int
    title: str
    is_made: bool
    onward: Onward


def onward(shop_key: str, shop: Shop, section: str, key: str, *, may_own: bool) -> Onward:
    """Return what to do after an entry of a section was kept.

    Args:
        shop_key: Of the shop, for addresses.
        shop: As it stands with the entry.
        section: Of the entry.
        key: Of the entry; empty where the section is one entry.
        may_own: Whether wages and prices are theirs to write who kept it.
    """
    another: tuple[tuple[str, str], ...] = ()
    if section in _ANOTHER:
        another = ((_ANOTHER[section], shop_path(shop_key, f"add/{section}")),)
    lacking = [step for step in steps_of(shop) if step.state in ("next", "later")]
    if not lacking:
        unmade = next((part for part in shop.parts.values() if not part.made_by), None)
        if unmade is not None:
            return Onward(
                words=f"Say how {unmade.title} is made",
                path=shop_path(shop_key, f"edit/parts/{unmade.key}"),
                why="No process is ticked on it yet.",
                others=another,
            )
        return _asked(shop_key, section, key, another)
    theirs = [step for step in lacking if may_own or step.section not in _OWNERS]
    if not theirs:
        return Onward(
            words="The shop’s sheet",
            path=shop_path(shop_key, "shop"),
            why="It says what the owner has still to write.",
            others=another,
        )
    step = theirs[0]
    return Onward(
        words=step.adds or step.title,
        path=_form_of(shop_key, shop, step),
        why=step.words,
        others=(*another, *_may_first(shop_key, shop, section, step)),
    )


def _asked(shop_key: str, section: str, key: str, another: tuple[tuple[str, str], ...]) -> Onward:
    about = f"enquiry?part={key}" if section in ("parts", "sets") and key else "enquiry"
    return Onward(
        words="Ask an enquiry",
        path=shop_path(shop_key, about),
        why="Nothing is missing: it sets the ways to make a part side by side.",
        others=another,
    )


def _form_of(shop_key: str, shop: Shop, step: Step) -> str:
    """Return the form of what is missing: of moulds that have a name and no tool yet, their own."""
    if step.section == "moulds":
        empty = [family.key for family in shop.moulds.values() if not family.moulds]
        if empty:
            return shop_path(shop_key, f"edit/moulds/{empty[0]}")
    return shop_path(shop_key, f"{'edit' if step.is_single else 'add'}/{step.section}")


def _may_first(
    shop_key: str, shop: Shop, section: str, lacking: Step
) -> tuple[tuple[str, str], ...]:
    """Offer what may be left out where it comes before what is missing."""
    if lacking.section == "materials" and section == "people" and not shop.stations:
        return (("Add a station first", shop_path(shop_key, "add/stations")),)
    if lacking.section == "processes" and section == "materials" and not shop.suppliers:
        return (("Add a supplier", shop_path(shop_key, "add/suppliers")),)
    return ()
