"""Log entries of every kind, as hypothesis draws them."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from hypothesis import strategies as st

from mouldwright.domain.record.log import (
    Happening,
    LogEntry,
    LoggedMember,
    LoggedTask,
    UsedLot,
)

texts = st.text(min_size=1, max_size=12).filter(str.strip)
keys = st.from_regex(r"[a-zé_][a-z0-9_-]{0,8}", fullmatch=True)
amounts = st.decimals(0, 5000, places=3)
amounts_above = st.decimals("0.001", 5000, places=3)
ids = st.lists(st.integers(1, 99), max_size=3).map(tuple)
members = st.lists(st.builds(LoggedMember, order=texts, pulls=ids, parts=ids), max_size=2).map(
    tuple
)
tasks = st.builds(
    LoggedTask,
    operation=texts,
    process=keys,
    part=keys,
    mould=st.none() | texts,
    stations=st.lists(texts, max_size=2).map(tuple),
    members=members,
)
used_lots = st.lists(
    st.builds(UsedLot, material=keys, lot=texts, amount=amounts_above), max_size=2
).map(tuple)


def logs(moments: st.SearchStrategy[datetime]) -> st.SearchStrategy[tuple[LogEntry, ...]]:
    """Return logs whose times are drawn from some, whether or not their entries make sense."""
    entries = st.builds(
        LogEntry,
        number=st.just(0),
        what=st.sampled_from(Happening),
        at=moments,
        noted_at=moments,
        noted_by=st.text(max_size=9),
        people=st.lists(keys, max_size=2).map(tuple),
        task=st.none() | tasks,
        members=members,
        mould=st.none() | texts,
        material=st.none() | keys,
        lot=st.none() | texts,
        amount=st.none() | amounts,
        best_before=st.none() | st.dates().map(lambda day: day.isoformat()),
        supplier=st.none() | keys,
        until=st.none() | moments,
        used=used_lots,
        mass_g=st.none() | amounts_above,
        temperature_c=st.none() | st.decimals(-20, 60, places=1),
        paid=st.none() | st.decimals(0, 900, places=2),
        hours_used=st.none() | amounts,
        cause=st.text(max_size=9),
        note=st.text(max_size=9),
        takes_back=st.none() | st.integers(1, 9),
        said_once=st.text(max_size=9),
    )
    return st.lists(entries, max_size=3).map(numbered)


def numbered(entries: list[LogEntry]) -> tuple[LogEntry, ...]:
    """Return entries with their numbers from 1."""
    return tuple(replace(entry, number=number) for number, entry in enumerate(entries, start=1))
