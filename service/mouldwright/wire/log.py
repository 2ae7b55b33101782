"""The log as it is written down: one entry for each thing that happened."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from typing import Literal

from mouldwright.domain.record import log as domain
from mouldwright.wire.hours import Date, LocalTime
from mouldwright.wire.model import Key, Model, NumberText, Text, key
from mouldwright.wire.numbers import Amount, AmountAbove, Count, Degrees, Money, money_text

# Reads what was written as an instant; the name says which key, for messages.
ReadTime = Callable[[str, datetime | None], datetime | None]

What = Literal[
    "started",
    "finished",
    "scrapped",
    "second",
    "reworked",
    "stopped",
    "mould lost",
    "mould retired",
    "stock counted",
    "received",
    "person away",
    "delivery late",
    "weighed",
    "returned",
    "taken back",
]


class LoggedMember(Model):
    """What of one order an entry is about."""

    order: NumberText = key("Number of the order.")
    pulls: list[Count] = key("Its pulls, numbered from 1 as the plan does.", default=[])
    parts: list[Count] = key("Its parts, numbered from 1 as the plan does.", default=[])

    def member(self) -> domain.LoggedMember:
        """Return the domain's value."""
        return domain.LoggedMember(
            order=self.order, pulls=tuple(self.pulls), parts=tuple(self.parts)
        )

    @classmethod
    def of(cls, member: domain.LoggedMember) -> LoggedMember:
        """Return it as it would be written."""
        return cls.written(order=member.order, pulls=list(member.pulls), parts=list(member.parts))


class LoggedTask(Model):
    """One operation done once, as a plan names it."""

    operation: Text = key("Name of the operation.")
    process: Key = key("Key of the process; of the set, for work on a set.")
    part: Key = key("Key of the part; of the set, for work on a set.")
    mould: Text | None = key(
        "Name of the mould it was really done on: its family's key and its number.", default=None
    )
    stations: list[Text] = key("Names of the units it really took.", default=[])
    members: list[LoggedMember] = key(
        "The pulls or parts in it; left out for upkeep and making of a mould.", default=[]
    )

    def task(self) -> domain.LoggedTask:
        """Return the domain's value."""
        return domain.LoggedTask(
            operation=self.operation,
            process=self.process,
            part=self.part,
            mould=self.mould,
            stations=tuple(self.stations),
            members=tuple(member.member() for member in self.members),
        )

    @classmethod
    def of(cls, task: domain.LoggedTask) -> LoggedTask:
        """Return it as it would be written."""
        return cls.written(
            operation=task.operation,
            process=task.process,
            part=task.part,
            mould=task.mould,
            stations=list(task.stations),
            members=[LoggedMember.of(member) for member in task.members],
        )


class UsedLot(Model):
    """So much of a material that was taken from one lot."""

    material: Key = key("Key of the material.")
    lot: Text = key("What the lot is called.")
    amount: AmountAbove = key("Grams, or metres of what comes by the metre.")


class Happened(Model):
    """What happened, and when."""

    what: What = key("What the entry tells.")
    at: LocalTime = key("When it happened.")
    people: list[Key] = key(
        "Keys of those whose hands did it; of who is away, for `person away`.", default=[]
    )
    task: LoggedTask | None = key(
        "For `started`, `finished` and `stopped`; for `scrapped`, `second` and `reworked` where it "
        "showed, if that is known.",
        default=None,
    )
    members: list[LoggedMember] = key(
        "The pulls or parts it is about: for `scrapped`, `second`, `reworked`, `weighed` and "
        "`returned`.",
        default=[],
    )
    mould: Text | None = key("Name of a mould that was lost or retired.", default=None)
    material: Key | None = key(
        "Key of the material that was counted, received or is late.", default=None
    )
    lot: Text | None = key("The lot that was counted or received.", default=None)
    amount: Amount | None = key(
        "What was counted or received: grams, or metres of what comes by the metre.", default=None
    )
    best_before: Date | None = key("Last day of a lot that was received.", default=None)
    supplier: Key | None = key("Whose delivery it is.", default=None)
    until: LocalTime | None = key(
        "Until when a person is away; when a late delivery is expected now.", default=None
    )
    used: list[UsedLot] = key("Lots that a finished task took its materials from.", default=[])
    mass_g: AmountAbove | None = key("What each of the parts weighs.", default=None, unit="g")
    temperature_c: Degrees | None = key(
        "What the thermometer in the shop showed, where somebody looked.", default=None, unit="°C"
    )
    paid: Money | None = key(
        "What was paid for all that was received, shipping left out.", default=None
    )
    hours_used: Amount | None = key(
        "How long a part that came back had been used.", default=None, unit="h"
    )
    cause: str = key(
        "Why, in few words: of `stopped`, `scrapped`, `mould lost` and `returned`.", default=""
    )
    note: str = key("Anything else.", default="")
    said_once: str = key(
        "What its sender called it, so that one sent twice is kept once.", default=""
    )

    def values(self, instant: ReadTime) -> dict[str, object]:
        """Return what the domain's entry of it holds, by field.

        Args:
            instant: Reads ``at`` and ``until`` as instants.
        """
        return {
            **{name: getattr(self, name) for name in _SAME},
            "paid": self.paid,
            "what": domain.Happening(self.what),
            "at": instant("at", self.at),
            "until": instant("until", self.until),
            "people": tuple(self.people),
            "task": self.task.task() if self.task else None,
            "members": tuple(member.member() for member in self.members),
            "best_before": self.best_before.isoformat() if self.best_before else None,
            "used": tuple(domain.UsedLot(**dict(lot)) for lot in self.used),
        }


class Numbered(Model):
    """What stands at a place of the log."""

    number: Count | None = key("Its number; left out, its place from 1.", default=None)


class LogEntry(Happened, Numbered):
    """One thing that happened. Entries are numbered from 1, in the order they stand."""

    noted_at: LocalTime | None = key(
        "When it was written down; left out, when it happened.", default=None
    )
    noted_by: str = key("Who wrote it down.", default="")
    takes_back: Count | None = key(
        "Number of the entry that a `taken back` takes back; taking that one back puts the first "
        "in force again.",
        default=None,
    )

    def entry(self, number: int, instant: ReadTime) -> domain.LogEntry:
        """Return the domain's entry.

        Args:
            number: Its place from 1, which holds where no number is written.
            instant: Reads ``at``, ``noted_at`` and ``until`` as instants.
        """
        values: dict[str, object] = self.values(instant)
        noted = instant("noted_at", self.noted_at)
        return domain.LogEntry(
            **values,  # type: ignore[arg-type]
            number=self.number or number,
            noted_at=noted or values["at"],  # type: ignore[arg-type]
            noted_by=self.noted_by,
            takes_back=self.takes_back,
        )

    @classmethod
    def of(cls, entry: domain.LogEntry) -> LogEntry:
        """Return the entry as it would be written, its times with their offset."""
        noted_when = entry.noted_at == entry.at
        return cls.written(
            **{name: getattr(entry, name) for name in _SAME},
            paid=money_text(entry.paid),
            number=entry.number,
            what=entry.what.value,
            at=entry.at,
            noted_at=None if noted_when else entry.noted_at,
            noted_by=entry.noted_by,
            people=list(entry.people),
            task=LoggedTask.of(entry.task) if entry.task else None,
            members=[LoggedMember.of(member) for member in entry.members],
            best_before=date.fromisoformat(entry.best_before) if entry.best_before else None,
            until=entry.until,
            used=[
                UsedLot.written(material=u.material, lot=u.lot, amount=u.amount) for u in entry.used
            ],
            takes_back=entry.takes_back,
        )


_SAME = (
    *("mould", "material", "lot", "amount", "supplier", "mass_g", "hours_used"),
    *("temperature_c", "cause", "note", "said_once"),
)
