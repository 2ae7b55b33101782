"""The table of what happened at the bench."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from mouldwright.domain.record.log import LogEntry, LoggedMember
from mouldwright.usecases.tables.sheet import (
    Cell,
    Column,
    day,
    listed,
    moment,
    money,
    number,
    text,
    whole,
)

LOG: tuple[Column, ...] = (
    whole("entry", "its number"),
    text("what", "what happened"),
    moment("at", "when"),
    moment("noted_at", "when it was written down"),
    text("noted_by", "who wrote it down"),
    text("people", "keys of those whose hands did it, or who is away"),
    text("operation", "of the task it is about"),
    text("process", "key of its process"),
    text("part", "key of its part"),
    text("mould", "name of the mould"),
    text("stations", "units it took"),
    text("orders", "numbers of the orders"),
    text("pulls", "order and pull of each"),
    text("parts", "order and part of each"),
    text("material", "that was counted, received or is late"),
    text("lot", "of it"),
    number("amount", "grams or metres"),
    day("best_before", "of a lot received"),
    text("supplier", "whose delivery"),
    moment("until", "until when a person is away, when a late delivery is expected"),
    text("used", "material, lot and amount of each that was taken"),
    number("mass_g", "of each part weighed"),
    number("temperature_c", "in the shop"),
    money("paid", "for all that was received"),
    number("hours_used", "by the customer, of a part returned"),
    text("cause", "why"),
    text("note", "anything else"),
    whole("takes_back", "the entry it takes back"),
)


def log_rows(
    log: Sequence[LogEntry], *, order: str | None = None, mould: str | None = None
) -> tuple[tuple[Cell, ...], ...]:
    """Return a row for each entry, the first first: all, or those of one order or one mould."""
    return tuple(
        _entry(each)
        for each in log
        if order in (None, *(member.order for member in _members(each)))
        and mould in (None, _mould(each))
    )


def _members(entry: LogEntry) -> tuple[LoggedMember, ...]:
    return (*entry.members, *(entry.task.members if entry.task else ()))


def _mould(entry: LogEntry) -> str | None:
    return entry.mould or (entry.task.mould if entry.task else None)


def _entry(entry: LogEntry) -> tuple[Cell, ...]:
    task = entry.task
    members = _members(entry)
    return (
        entry.number,
        entry.what.value,
        entry.at,
        entry.noted_at,
        entry.noted_by,
        listed(entry.people),
        task.operation if task else None,
        task.process if task else None,
        task.part if task else None,
        _mould(entry),
        listed(task.stations) if task else None,
        listed(list(dict.fromkeys(m.order for m in members))),
        listed([f"{m.order}/{pull}" for m in members for pull in m.pulls]),
        listed([f"{m.order}/{part}" for m in members for part in m.parts]),
        entry.material,
        entry.lot,
        entry.amount,
        None if entry.best_before is None else date.fromisoformat(entry.best_before),
        entry.supplier,
        entry.until,
        listed([f"{u.material} {u.lot} {u.amount}" for u in entry.used]),
        entry.mass_g,
        entry.temperature_c,
        entry.paid,
        entry.hours_used,
        entry.cause,
        entry.note,
        entry.takes_back,
    )
