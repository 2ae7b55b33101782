"""A log in a few words, for tests: entries numbered in the order they are given."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from builders import MONDAY

from mouldwright.domain.record.log import (
    Happening,
    LogEntry,
    LoggedMember,
    LoggedTask,
    UsedLot,
)


def when(hours: float) -> datetime:
    """Return the instant so many hours after the Monday tests begin with."""
    return MONDAY + timedelta(hours=hours)


def members(
    order: str = "1", pulls: Iterable[int] = (), parts: Iterable[int] = ()
) -> tuple[LoggedMember, ...]:
    """Return what of one order an entry is about."""
    return (LoggedMember(order=order, pulls=tuple(pulls), parts=tuple(parts)),)


def work(
    operation: str,
    *,
    mould: str | None = None,
    pulls: Iterable[int] = (),
    parts: Iterable[int] = (),
    order: str = "1",
    process: str = "pressed",
    part: str = "fin",
) -> LoggedTask:
    """Return a task of some pulls or parts of one order; of a mould alone where none is given."""
    pulls, parts = tuple(pulls), tuple(parts)
    return LoggedTask(
        operation=operation,
        process=process,
        part=part,
        mould=mould,
        members=members(order, pulls, parts) if pulls or parts else (),
    )


def entry(what: Happening, hours: float, **more: Any) -> LogEntry:
    """Return an entry; ``logged`` numbers it."""
    at = when(hours)
    for amount in ("amount", "mass_g", "paid", "temperature_c", "hours_used"):
        if more.get(amount) is not None:
            more[amount] = Decimal(str(more[amount]))
    return LogEntry(number=0, what=what, at=at, noted_at=at, **more)


def done(hours: float, task: LoggedTask, *, began: float | None = None, **more: Any):
    """Return the entries of a task that was finished, and begun where that is told."""
    end = entry(Happening.FINISHED, hours, task=task, **more)
    if began is None:
        return (end,)
    return (entry(Happening.STARTED, began, task=task, people=more.get("people", ())), end)


def pulled(number: int, mould: str, *, charged: float, out: float, **more: Any):
    """Return the entries of a pull: loaded and taken out again."""
    load = work("load", mould=mould, pulls=[number], **more)
    return (
        *done(charged, load),
        *done(out, replace(load, operation="demould"), people=("ines",)),
    )


def used(material: str, lot: str, amount: float | str) -> UsedLot:
    """Return so much of a lot."""
    return UsedLot(material=material, lot=lot, amount=Decimal(str(amount)))


def logged(*entries: LogEntry) -> tuple[LogEntry, ...]:
    """Return the entries numbered from 1."""
    return tuple(replace(each, number=n) for n, each in enumerate(entries, start=1))
