"""The log of the bench over HTTP: what is noted, and what is kept of it."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from mouldwright.domain.record import log as domain
from mouldwright.wire.hours import LocalTime
from mouldwright.wire.log import Happened, LoggedMember, LoggedTask, ReadTime, What
from mouldwright.wire.model import key
from mouldwright.wire.service.instant import in_zone

_TASK: dict[str, Any] = {
    "operation": "load",
    "process": "pressed",
    "part": "stabiliser",
    "mould": "stabiliser-pressed 3",
    "stations": ["press 1"],
    "members": [{"order": "1001", "pulls": [3], "parts": []}],
}
_ENTRY: dict[str, Any] = {
    "number": 12,
    "what": "started",
    "at": "2027-03-02T09:05:00+00:00",
    "noted_at": "2027-03-02T09:05:00Z",
    "noted_by": "the bench's phone",
    "people": ["ines"],
    "task": _TASK,
    "said_once": "b7c1e0",
    "holds": True,
}


class NoteAsk(Happened):
    """What happened. Without ``at``, it happened now."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {"what": "started", "people": ["ines"], "task": _TASK, "said_once": "b7c1e0"},
                {
                    "what": "scrapped",
                    "members": [{"order": "1001", "pulls": [3]}],
                    "cause": "a void at the root",
                },
            ]
        }
    )

    at: LocalTime | None = key(  # type: ignore[assignment]
        "When it happened, local to the shop where it has no offset; left out, now.", default=None
    )

    def entry(self, instant: ReadTime, *, now: datetime, by: str) -> domain.LogEntry:
        """Return the entry; its number is given as it is kept.

        Args:
            instant: Reads ``at`` and ``until`` as instants.
            now: Zone-aware.
            by: Who notes it down.
        """
        values = self.values(instant)
        values["at"] = values["at"] or now
        return domain.LogEntry(
            **values,  # type: ignore[arg-type]
            number=0,
            noted_at=now,
            noted_by=by,
        )


class TakeBackAsk(BaseModel):
    """Why an entry is taken back."""

    model_config = ConfigDict(
        extra="forbid", json_schema_extra={"examples": [{"note": "the wrong order"}]}
    )

    note: str = Field(default="", max_length=500)


class UsedAnswer(BaseModel):
    """So much of a material that was taken from one lot."""

    material: str
    lot: str
    amount: float = Field(description="grams, or metres of what comes by the metre")


class LogEntryAnswer(BaseModel):
    """One entry of the log; what says nothing of it is null or empty."""

    model_config = ConfigDict(json_schema_extra={"examples": [_ENTRY]})

    number: int = Field(description="in the shop's sequence, from 1, without gaps")
    what: What
    at: datetime = Field(description="when it happened")
    noted_at: datetime = Field(description="when it came in")
    noted_by: str = Field(description="label of the token that noted it")
    people: list[str] = []
    task: LoggedTask | None = None
    members: list[LoggedMember] = []
    mould: str | None = None
    material: str | None = None
    lot: str | None = None
    amount: float | None = Field(default=None, description="grams, or metres")
    best_before: str | None = None
    supplier: str | None = None
    until: datetime | None = None
    used: list[UsedAnswer] = []
    mass_g: float | None = None
    temperature_c: float | None = None
    paid: str | None = Field(default=None, description="money")
    hours_used: float | None = None
    cause: str = ""
    note: str = ""
    takes_back: int | None = None
    said_once: str = ""
    holds: bool = Field(description="whether it is in force: not taken back")
    taken_back_by: int | None = Field(
        default=None, description="the entry that takes it back; take that one back to undo it"
    )

    @classmethod
    def of(
        cls, entry: domain.LogEntry, zone: str, *, taken_back_by: int | None = None
    ) -> LogEntryAnswer:
        """Return the answer for an entry of a shop in a time zone."""
        same = {name: getattr(entry, name) for name in _SAME}
        return cls(
            **same,
            what=entry.what.value,
            at=in_zone(entry.at, zone),
            noted_at=entry.noted_at,
            until=in_zone(entry.until, zone),
            people=list(entry.people),
            task=LoggedTask.of(entry.task) if entry.task else None,
            members=[LoggedMember.of(member) for member in entry.members],
            amount=_number(entry.amount),
            mass_g=_number(entry.mass_g),
            temperature_c=_number(entry.temperature_c),
            hours_used=_number(entry.hours_used),
            paid=None if entry.paid is None else f"{entry.paid:f}",
            used=[
                UsedAnswer(material=u.material, lot=u.lot, amount=float(u.amount))
                for u in entry.used
            ],
            holds=taken_back_by is None,
            taken_back_by=taken_back_by,
        )


_SAME = (
    *("number", "noted_by", "mould", "material", "lot", "best_before", "supplier"),
    *("cause", "note", "takes_back", "said_once"),
)


def _number(value: Any) -> float | None:
    return None if value is None else float(value)


class LogList(BaseModel):
    """Entries, the newest first."""

    model_config = ConfigDict(json_schema_extra={"examples": [{"entries": [_ENTRY], "next": None}]})

    entries: list[LogEntryAnswer]
    next: str | None = Field(description="send it as `cursor` for more; null at the end")
