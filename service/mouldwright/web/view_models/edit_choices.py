"""What may be chosen in a form: entries of the shop, skills, the form's own steps."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any
from zoneinfo import available_timezones

from mouldwright.domain.shop import Shop
from mouldwright.web.draft import Draft
from mouldwright.web.labels import choice_of
from mouldwright.wire.forms import FormField

Choice = tuple[str, str]
# The fields that name an entry of another section.
_NAMES = {
    **dict.fromkeys(("material", "fibre", "matrix", "skin", "core"), "materials"),
    "station": "stations",
    "in_room": "rooms",
    "cures": "materials",
    "part": "parts",
    "process": "processes",
    "made_by": "processes",
}
_A_STEP = ("from", "to", "pot_life_until")


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """What may be chosen.

    Attributes:
        shop: As it is kept.
        root: What is filled in.
        draft: As typed; steps and mixes are chosen among what is written so far.
        key: Of the entry; empty for a new one.
    """

    shop: Shop
    root: FormField
    draft: Draft
    key: str = ""
    _known: dict[str, tuple[Choice, ...]] = field(default_factory=dict)

    def of(self, each: FormField, value: str) -> tuple[Choice, ...]:
        """Return the words and entries a field is chosen from, its own value among them."""
        found = [(word, choice_of(word, each.name)) for word in each.choices or tuple(each.tables)]
        if not found:
            found = list(self.named(each.name))
        if value and value not in dict(found):
            found.append((value, value))
        return tuple(found)

    def named(self, name: str) -> tuple[Choice, ...]:
        """Return what a field may name, each with its title."""
        if name not in self._known:
            self._known[name] = tuple(self._named(name))
        return self._known[name]

    def are_steps(self, name: str) -> bool:
        """Return whether a field names steps of this form."""
        return name in (*_A_STEP, "after") and bool(self.steps())

    def steps(self) -> tuple[str, ...]:
        """Return the names of the form's steps, in order; a step without a name has none yet."""
        rows = self.draft.get("operations", []) if isinstance(self.draft, dict) else []
        return tuple(dict.fromkeys(row["name"] for row in rows if row.get("name")))

    def ticks(self, each: FormField, value: str) -> tuple[Choice, ...]:
        """Return what a list is ticked from, those that are ticked first and in their order."""
        titles = dict(self.named("skill" if each.name == "skills" else each.name))
        ticked = [key for key in value.split("\n") if key]
        if each.name == "after":
            return tuple((key, key) for key in dict.fromkeys([*titles, *ticked]))
        return tuple((key, titles.get(key, key)) for key in dict.fromkeys([*ticked, *titles]))

    def _named(self, name: str) -> Iterable[Choice]:
        shop = self.shop
        if name in (*_A_STEP, "after"):
            return ((step, step) for step in self.steps())
        if name == "skill":
            known = {skill for person in shop.people.values() for skill in person.skills}
            return ((skill, skill) for skill in sorted(known))
        if name == "room_state":
            states = dict.fromkeys(s.name for room in shop.rooms.values() for s in room.states)
            return ((state, state) for state in states)
        if name == "resource":
            stations = ((key, each.title) for key, each in shop.stations.items())
            return (("mould", "The mould"), *stations)
        if name == "stocked":
            # A mix is bought and weighed as what it is mixed from, never as itself.
            return (
                (key, each.title)
                for key, each in shop.materials.items()
                if each.mix is None and key != self.key
            )
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
        return found

    def zones(self) -> tuple[str, ...]:
        """Return the time zones to suggest where the form asks for one."""
        asked = any(each.name == "time_zone" for each in self.root.fields)
        return tuple(sorted(available_timezones())) if asked else ()
