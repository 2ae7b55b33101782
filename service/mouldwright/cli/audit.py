"""The audit command: who changed what in a served shop."""

from __future__ import annotations

from pathlib import Path

from mouldwright.bootstrap import commanded
from mouldwright.cli.serve import settings_of
from mouldwright.cli.show import console, print_json, table
from mouldwright.cli.writing import write_out
from mouldwright.documents.table_file import form_of, table_file
from mouldwright.domain.record.audit_entry import AuditEntry, Changed
from mouldwright.usecases.audit import HOUSE, AuditQuery, shops_audit
from mouldwright.usecases.tables.of_audit import audit_table
from mouldwright.wire.service.audit import AuditEntryAnswer, AuditList


def audit(
    *,
    shop: str | None,
    database: str | None,
    thing: str | None,
    key: str | None,
    limit: int,
    out: str | None,
    as_json: bool,
) -> None:
    """Print who changed what, or write it to a file. Times are in UTC.

    Raises:
        Unknown: if there is no such shop.
        InvalidInput: if the file's name ends otherwise than a table's.
    """
    form = "csv" if out is None else form_of(Path(out).suffix.removeprefix("."), path="--out")
    query = AuditQuery(limit=limit, thing=thing, key=key)
    with commanded(settings_of(database_url=database), demo=False) as services:
        entries, more = shops_audit(services.units, shop or HOUSE, query)
    if out is not None:
        # It tells no amounts, so the currency is never read.
        write_out(table_file(audit_table(entries, zone="UTC", currency="EUR"), form), out)
    if as_json:
        answers = [AuditEntryAnswer.of(entry) for entry in entries]
        print_json(AuditList(entries=answers, next=str(entries[-1].number) if more else None))
    elif out is None:
        _show(entries, more=more)


def _show(entries: tuple[AuditEntry, ...], *, more: bool) -> None:
    printer = console()
    if not entries:
        printer.print("Nothing was changed yet.")
        return
    rows = [
        (
            entry.number,
            f"{entry.at:%Y-%m-%d %H:%M}",
            f"{entry.actor.label}{f', {entry.actor.role}' if entry.actor.role else ''}",
            f"{entry.verb} {entry.thing} {entry.key}".rstrip(),
            "\n".join(
                (*map(_said, entry.changes), *_rest(entry.left_out)),
            ),
        )
        for entry in entries
    ]
    columns = [("", "right"), ("at (UTC)", "left"), ("by", "left"), ("what", "left"), ("", "left")]
    printer.print(table(columns, rows))
    if more:
        printer.print(f"There is more, before entry {entries[-1].number}: say --limit.")


def _said(change: Changed) -> str:
    if change.before is None and change.after is None:
        return f"{change.what}: not told"
    if change.before is None:
        return f"{change.what}: {change.after}"
    return f"{change.what}: {change.before} to {change.after if change.after is not None else '–'}"


def _rest(left_out: int) -> tuple[str, ...]:
    return (f"and {left_out} more",) if left_out else ()
