"""Who changed what, in rows and in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from mouldwright.domain.hours.spoken import spoken_moment
from mouldwright.domain.record.audit_entry import AuditEntry, Changed
from mouldwright.domain.shop import Shop
from mouldwright.usecases.session import BY_LINK


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeRow:
    """One change.

    Attributes:
        did: "Changed order Q3".
        values: What of it, each in a few words.
    """

    number: int
    at: str
    by: str
    role: str
    did: str
    values: tuple[str, ...]
    request: str


def change_rows(shop: Shop, entries: Iterable[AuditEntry]) -> tuple[ChangeRow, ...]:
    """Return a row for each entry, with the clock of the shop."""
    zone = ZoneInfo(shop.zone)
    return tuple(
        ChangeRow(
            number=entry.number,
            at=spoken_moment(entry.at.astimezone(zone)),
            by=_by(entry.actor.label),
            role=entry.actor.role,
            did=f"{entry.verb.capitalize()} {entry.thing} {entry.key}".rstrip(),
            values=(
                *map(_said, entry.changes),
                *((f"and {entry.left_out} more",) if entry.left_out else ()),
            ),
            request=entry.actor.request,
        )
        for entry in entries
    )


def _by(label: str) -> str:
    return "a browser, by a sign-in link" if label == BY_LINK else label


def _said(change: Changed) -> str:
    what = change.what.replace("_", " ")
    if change.before is None and change.after is None:
        return f"{what}, which is not told"
    if change.before is None:
        return f"{what} {change.after}"
    if change.after is None:
        return f"{what} {change.before}, now none"
    return f"{what} from {change.before} to {change.after}"
