"""The log as its page shows it: by day, each entry in the bench's words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from mouldwright.domain.record.log import Happening
from mouldwright.domain.shop import Shop
from mouldwright.usecases.bench_log import Shown
from mouldwright.usecases.log_told import told
from mouldwright.web.words import long_day, moment


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryView:
    """An entry.

    Attributes:
        at: The time of day.
        noted: When it came in, where that is a quarter of an hour later or more; else empty.
        takes_back: Which entry it takes back; None for what happened.
        presses: Which entry one press takes back: itself, or the one that took it back.
        holds: Whether it is in force.
    """

    number: int
    at: str
    head: str
    about: str
    people: str
    why: str
    noted: str
    by: str
    takes_back: int | None
    presses: int
    holds: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LogDay:
    """A day and what happened on it, the latest first."""

    title: str
    entries: tuple[EntryView, ...]


_LATER_S = 15 * 60


def log_days(shop: Shop, shown: Iterable[Shown]) -> tuple[LogDay, ...]:
    """Return entries by local day, the latest first."""
    zone = ZoneInfo(shop.zone)
    ordered = sorted(shown, key=lambda each: (each.entry.at, each.entry.number), reverse=True)
    days: dict[str, list[EntryView]] = {}
    for each in ordered:
        title = long_day(each.entry.at.astimezone(zone))
        days.setdefault(title, []).append(entry_view(shop, each))
    return tuple(LogDay(title=title, entries=tuple(found)) for title, found in days.items())


def entry_view(shop: Shop, shown: Shown) -> EntryView:
    """Return an entry as it is shown."""
    zone, entry = ZoneInfo(shop.zone), shown.entry
    words = told(shop, entry)
    later = (entry.noted_at - entry.at).total_seconds() >= _LATER_S
    return EntryView(
        number=entry.number,
        at=f"{entry.at.astimezone(zone):%H:%M}",
        head=words.head,
        about=words.about,
        people=words.people,
        why=words.why,
        noted=moment(entry.noted_at.astimezone(zone)) if later else "",
        by=entry.noted_by,
        takes_back=entry.takes_back,
        presses=shown.taken_back_by or entry.number,
        holds=shown.taken_back_by is None,
    )


def happenings() -> Sequence[tuple[str, str]]:
    """Return what may be looked for: the word of the log, and how it is shown."""
    return [(each.value, each.value.capitalize()) for each in Happening]
