"""The log of a shop that stands in a file: listed, and gone on with."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.record.clash import clash
from mouldwright.domain.record.log import LogEntry
from mouldwright.domain.shop import Shop
from mouldwright.usecases.bench_log import Bench, Shown, faults_of_entry, must_hold, takers
from mouldwright.usecases.log_port import LogQuery, abouts


def listed(shop: Shop, query: LogQuery) -> tuple[Shown, ...]:
    """Return the entries that are wanted, the newest first."""
    gone = takers(shop.log)
    found = [
        Shown(entry=entry, taken_back_by=gone.get(entry.number))
        for entry in reversed(shop.log)
        if _is_wanted(entry, query)
    ]
    return tuple(found[: query.limit])


def _is_wanted(entry: LogEntry, query: LogQuery) -> bool:
    named = abouts(entry)
    return (
        (query.since is None or entry.at >= query.since)
        and (query.until is None or entry.at < query.until)
        and (query.what is None or entry.what is query.what)
        and (query.before is None or entry.number < query.before)
        and all(about in named for about in query.about)
    )


def next_entry(shop: Shop, entry: LogEntry, *, now: datetime) -> tuple[LogEntry, bool]:
    """Return an entry with the number it gets, and whether it is kept already by its name.

    Args:
        shop: As its file has it.
        entry: What happened; its own number is passed over.
        now: The latest that may have happened.

    Raises:
        InvalidInput: if it lacks something, names what is not there or lies ahead.
        Conflict: if it cannot be true beside the entries that hold.
    """
    before = next((e for e in shop.log if entry.said_once and e.said_once == entry.said_once), None)
    if before is not None:
        return before, True
    if entry.takes_back is not None:
        _take_back(shop, entry.takes_back)
    else:
        faults = faults_of_entry(Bench(shop=shop, plan=None), entry, now)
        if faults:
            raise InvalidInput(faults)
        conflict = clash(shop.log, entry, shop.zone)
        if conflict is not None:
            raise conflict
    return replace(entry, number=len(shop.log) + 1), False


def _take_back(shop: Shop, number: int) -> None:
    if not 1 <= number <= len(shop.log):
        raise InvalidInput(
            [
                Fault(
                    path="--takes-back",
                    value=str(number),
                    problem="there is no entry of that number.",
                    remedy=f"The last is {len(shop.log)}." if shop.log else "The log is empty.",
                )
            ]
        )
    must_hold(shop.log, number)
