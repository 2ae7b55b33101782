"""The log of one shop."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from functools import lru_cache

from sqlalchemy import exists, select
from sqlmodel import Session, col

from mouldwright.domain.record.kept_log import KeptLog
from mouldwright.domain.record.log import LogEntry
from mouldwright.store.log_memory import LogMemory
from mouldwright.store.repositories.bookings import ShopBookings
from mouldwright.store.repositories.counters import Counters
from mouldwright.store.tables import LogAboutRow, LogEntryRow
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.log_port import LogQuery, abouts
from mouldwright.wire.json_text import json_text
from mouldwright.wire.log import LogEntry as Document

_LOG = "log"
_LONGEST_NAME = 200
# A bench of five notes some ten thousand things a year; one is about 500 bytes.
_READ_LATELY = 65_536


class ShopLog:
    """See ``usecases.log_port.Log``."""

    def __init__(self, session: Session, shop: str, memory: LogMemory | None = None) -> None:
        """Open it for one shop, with what is remembered of its log by other units."""
        self._session, self._shop = session, shop
        self._memory = memory or LogMemory()

    def all(self) -> KeptLog:
        """Return every entry, the first first."""
        return self._memory.read(self._shop, self._from, entry_of)

    def _from(self, number: int) -> Sequence[str]:
        return self._session.scalars(
            select(col(LogEntryRow.document))
            .where(col(LogEntryRow.shop) == self._shop, col(LogEntryRow.number) >= number)
            .order_by(col(LogEntryRow.number))
        ).all()

    def last(self) -> int:
        """Return the number of the newest entry, 0 where there is none."""
        return Counters(self._session, self._shop).value(_LOG)

    def at(self, number: int) -> LogEntry:
        """Return one entry. Raises Unknown."""
        row = self._session.get(LogEntryRow, (self._shop, number))
        if row is None:
            raise Unknown(kind="log entry", key=str(number))
        return entry_of(row.document)

    def said(self, name: str) -> LogEntry | None:
        """Return the entry that its sender called so, None where there is none."""
        document = self._session.scalar(
            select(col(LogEntryRow.document)).where(
                col(LogEntryRow.shop) == self._shop, col(LogEntryRow.said_once) == name
            )
        )
        return None if document is None else entry_of(document)

    def listed(self, query: LogQuery) -> tuple[LogEntry, ...]:
        """Return entries, the newest first."""
        wanted = (
            select(col(LogEntryRow.document))
            .where(col(LogEntryRow.shop) == self._shop)
            .order_by(col(LogEntryRow.number).desc())
            .limit(query.limit)
        )
        if query.before is not None:
            wanted = wanted.where(col(LogEntryRow.number) < query.before)
        if query.since is not None:
            wanted = wanted.where(col(LogEntryRow.at) >= query.since)
        if query.until is not None:
            wanted = wanted.where(col(LogEntryRow.at) < query.until)
        if query.what is not None:
            wanted = wanted.where(col(LogEntryRow.what) == query.what.value)
        for kind, name in query.about:
            about = exists().where(
                col(LogAboutRow.shop) == self._shop,
                col(LogAboutRow.number) == col(LogEntryRow.number),
                col(LogAboutRow.kind) == kind,
                col(LogAboutRow.name) == name[:_LONGEST_NAME],
            )
            wanted = wanted.where(about)
        return tuple(entry_of(document) for document in self._session.scalars(wanted))

    def add(self, entry: LogEntry, *, moves_plan: bool) -> LogEntry:
        """Keep an entry under the next number; return it so."""
        numbered = replace(entry, number=Counters(self._session, self._shop).draw(_LOG))
        self._keep([numbered])
        if moves_plan:
            ShopBookings(self._session, self._shop).changed()
        return numbered

    def bring(self, entries: Iterable[LogEntry]) -> None:
        """Keep entries that follow on those there are, under the numbers they have."""
        brought = list(entries)
        counters = Counters(self._session, self._shop)
        for entry in brought:
            drawn = counters.draw(_LOG)
            if drawn != entry.number:
                raise ValueError(f"entry {entry.number} does not follow on {drawn - 1}")
        if brought:
            self._keep(brought)
            ShopBookings(self._session, self._shop).changed()

    def _keep(self, entries: list[LogEntry]) -> None:
        # They may be rolled back: other units are not to remember them.
        self._memory = LogMemory()
        self._session.add_all(_row(self._shop, entry) for entry in entries)
        self._session.flush()
        self._session.add_all(
            LogAboutRow(shop=self._shop, number=entry.number, kind=kind, name=name[:_LONGEST_NAME])
            for entry in entries
            for kind, name in abouts(entry)
        )
        self._session.flush()


def _row(shop: str, entry: LogEntry) -> LogEntryRow:
    return LogEntryRow(
        shop=shop,
        number=entry.number,
        what=entry.what.value,
        at=entry.at,
        takes_back=entry.takes_back,
        said_once=entry.said_once or None,
        document=document_of(entry),
    )


def document_of(entry: LogEntry) -> str:
    """Return an entry as it is kept."""
    return json_text(Document.of(entry).model_dump(by_alias=True, exclude_defaults=True))


@lru_cache(_READ_LATELY)
def entry_of(document: str) -> LogEntry:
    """Return the entry of a document; those read lately are not read anew."""
    kept = Document.model_validate(json.loads(document, parse_float=Decimal))
    return kept.entry(0, _instant)


def _instant(_key: str, kept: datetime | None) -> datetime | None:
    """Return a time as it was kept: with its offset."""
    return kept
