"""Who changed what, and when: an entry for every change, kept with the change or not at all.

What is told of a thing never holds a secret, a customer or a document; which of a thing's
values are told stands with the tables.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from mouldwright.domain.record.audit_entry import Actor, AuditEntry, Changed
from mouldwright.usecases.kept import Token

if TYPE_CHECKING:
    from mouldwright.usecases.ports import Units

LONGEST_VALUE = 80
MOST_CHANGES = 20
# What belongs to no one shop is told under this key.
HOUSE = ""


THE_SERVICE = Actor(label="the service itself")


def actor_of(token: Token, request: str) -> Actor:
    """Return whoever asks with a token."""
    return Actor(token=token.id, label=token.label, role=token.role.value, request=request)


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditQuery:
    """Which entries are wanted.

    Attributes:
        limit: How many at most.
        before: Only entries below this number.
        thing: Only such things.
        key: Only the thing of that key.
        token: Only what was asked for with the token of this id.
    """

    limit: int
    before: int | None = None
    thing: str | None = None
    key: str | None = None
    token: str | None = None


class Audit(Protocol):
    """The entries of the one shop a unit was opened for, or of what belongs to none."""

    def listed(self, query: AuditQuery) -> tuple[AuditEntry, ...]:
        """Return entries, the newest first."""
        ...

    def things(self) -> tuple[str, ...]:
        """Return what kinds of things there are entries of, in order."""
        ...


class AuditReading(Protocol):
    """A unit of work that reads entries."""

    @property
    def audit(self) -> Audit:
        """Return the entries."""
        ...


def list_audit(unit: AuditReading, query: AuditQuery) -> tuple[tuple[AuditEntry, ...], bool]:
    """Return entries, the newest first, and whether there are more."""
    asked = AuditQuery(
        limit=query.limit + 1,
        before=query.before,
        thing=query.thing,
        key=query.key,
        token=query.token,
    )
    found = unit.audit.listed(asked)
    return found[: query.limit], len(found) > query.limit


def shops_audit(units: Units, shop: str, query: AuditQuery) -> tuple[tuple[AuditEntry, ...], bool]:
    """Return who changed what in a shop, and whether there is more.

    Args:
        units: Opens units of work.
        shop: Its key; the empty one for what belongs to no one shop.
        query: Which entries.

    Raises:
        Unknown: if there is no such shop.
    """
    opened = units.read(shop) if shop != HOUSE else units.read_house()
    with opened as unit:
        return list_audit(unit, query)


def differences(
    before: Mapping[str, object], after: Mapping[str, object], hidden: frozenset[str]
) -> list[Changed]:
    """Return the values that differ between two documents, named by the keys that lead there.

    Args:
        before: As JSON reads it.
        after: The same.
        hidden: Keys below which a change is told without the values.
    """
    found: list[Changed] = []
    _differ((), before, after, hidden, found)
    return found


def _differ(
    path: tuple[str, ...], before: object, after: object, hidden: frozenset[str], to: list[Changed]
) -> None:
    if before == after:
        return
    if hidden.intersection(path[-1:]):
        to.append(Changed(what=".".join(path), before=None, after=None))
    elif isinstance(before, Mapping) and isinstance(after, Mapping):
        for key in dict.fromkeys((*before, *after)):
            _differ((*path, str(key)), before.get(key), after.get(key), hidden, to)
    elif _are_entries(before) and _are_entries(after):
        _differ(path, _by_name(before), _by_name(after), hidden, to)
    else:
        to.append(Changed(what=".".join(path), before=_told(before), after=_told(after)))


# Entries of a list are the same thing where they carry the same name.
_NAMES = ("number", "key", "name")


def _are_entries(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(each, dict) for each in value)


def _by_name(entries: object) -> dict[str, object]:
    assert isinstance(entries, Sequence)
    named: dict[str, object] = {}
    for place, entry in enumerate(entries, start=1):
        name = next((str(entry[key]) for key in _NAMES if entry.get(key)), str(place))
        named[name if name not in named else f"{name} ({place})"] = entry
    return named


def _told(value: object) -> str | None:
    """Return a value in short; what is more than one value is only said to be there."""
    if value is None:
        return None
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Mapping | list):
        return "there" if value else "empty"
    return short(str(value))


def short(text: str) -> str:
    """Return a text no longer than is kept."""
    return text if len(text) <= LONGEST_VALUE else text[: LONGEST_VALUE - 3] + "..."
