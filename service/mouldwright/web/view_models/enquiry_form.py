"""What the enquiry's form shows: what was typed, and beside it what the part itself says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from mouldwright.domain.shop import Shop
from mouldwright.usecases.what_if import force_before_factor_n
from mouldwright.web.asking import WHAT_IF_FIELDS, Ask
from mouldwright.web.words import LOADS, SUPPORTS, amount, sign


@dataclass(frozen=True, slots=True, kw_only=True)
class PartOption:
    """A part to choose; ``written`` is what it must bear as written, by field."""

    key: str
    title: str
    written: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class FormView:
    """The form.

    Attributes:
        typed: Text by field.
        faults: What is wrong with a field, by its name.
        written: What the part asked for says itself, shown where nothing is typed.
        supports: Ways to hold a part, by the word that is sent; the same of loads.
        wage: What an hour is paid now.
        is_open: Whether the what-if fields are shown from the start.
    """

    typed: Mapping[str, str]
    faults: Mapping[str, str]
    parts: tuple[PartOption, ...]
    sets: tuple[PartOption, ...]
    written: Mapping[str, str]
    supports: tuple[tuple[str, str], ...]
    loads: tuple[tuple[str, str], ...]
    sign: str
    wage: str
    rule: str
    rate: str
    is_open: bool


def form_view(shop: Shop, ask: Ask) -> FormView:
    """Return the form of an enquiry."""
    parts = tuple(
        PartOption(key=part.key, title=part.title, written=_written(shop, part.key))
        for part in shop.parts.values()
    )
    sets = tuple(PartOption(key=s.key, title=s.title, written={}) for s in shop.sets.values())
    chosen = next((part for part in (*parts, *sets) if part.key == ask.part), None)
    wages = sorted({person.wage_per_hour for person in shop.people.values()})
    return FormView(
        typed=ask.typed,
        faults=ask.faults,
        parts=parts,
        sets=sets,
        written=chosen.written if chosen else {},
        supports=tuple(SUPPORTS.items()),
        loads=tuple(LOADS.items()),
        sign=sign(shop.currency),
        wage="–".join(amount(shop.currency, wage) for wage in (*wages[:1], *wages[1:][-1:])),
        rule=shop.price.rule.capitalize(),
        rate=f"{float(shop.price.rate) * 100:g}",
        is_open=any(ask.typed[name] for name in WHAT_IF_FIELDS),
    )


def _written(shop: Shop, key: str) -> Mapping[str, str]:
    part = shop.part(key)
    asked, force = part.requirement, force_before_factor_n(part)
    if asked is None or force is None:
        return {}
    return {
        "held": SUPPORTS[asked.support],
        "load": LOADS[asked.load],
        "force": f"{force:.1f}",
        "bend": f"{asked.deflection_mm:g}",
        "mass": "any" if asked.mass_g is None else f"{asked.mass_g:g}",
        "factor": f"{asked.factor:g}",
        "mount": "" if asked.mount_n_mm_per_rad is None else f"{asked.mount_n_mm_per_rad:g}",
    }
