"""The table of who changed what."""

from __future__ import annotations

from collections.abc import Iterable

from mouldwright.domain.record.audit_entry import AuditEntry
from mouldwright.usecases.tables.sheet import Column, SheetTable, moment, text, whole

AUDIT: tuple[Column, ...] = (
    whole("entry", "its number"),
    moment("at", "when it was changed"),
    text("by", "whose token it was, in words"),
    text("role", "how far it reached"),
    text("token", "its id"),
    text("request", "id of the request, as the log of requests has it"),
    text("verb", "added, changed, removed or erased"),
    text("thing", "what kind of thing it is"),
    text("key", "which one"),
    text("what", "which value of it"),
    text("before", "what it was"),
    text("after", "what it became"),
)


def audit_table(entries: Iterable[AuditEntry], *, zone: str, currency: str) -> SheetTable:
    """Return entries as a table: a row for each value that changed, one where none is told."""
    return SheetTable(
        name="audit",
        title="Who changed what",
        currency=currency,
        zone=zone,
        columns=AUDIT,
        rows=tuple(
            (
                *(entry.number, entry.at, entry.actor.label, entry.actor.role, entry.actor.token),
                *(entry.actor.request, entry.verb, entry.thing, entry.key),
                *told,
            )
            for entry in entries
            for told in _told(entry)
        ),
    )


def _told(entry: AuditEntry) -> list[tuple[str | None, str | None, str | None]]:
    if not entry.changes:
        return [(None, None, None)]
    return [(each.what, each.before, each.after) for each in entry.changes]
