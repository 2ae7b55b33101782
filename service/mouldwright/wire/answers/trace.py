"""Answers that trace parts: from a serial to all that is known, and back from what they hold."""

from __future__ import annotations

from datetime import datetime
from typing import Literal

from pydantic import BaseModel, Field

from mouldwright.domain.record.mass_trend import MassTrend
from mouldwright.domain.record.trace import PartRecord, Records
from mouldwright.wire.service.instant import in_zone

Stand = Literal["in work", "good", "second", "scrapped", "returned"]


class PartLine(BaseModel):
    """One part in a list."""

    serial: str
    part: str
    process: str
    mould: str | None
    customer: str
    stands: Stand
    mass_g: str | None
    mass_state: Literal["good", "light", "heavy"] | None

    @classmethod
    def of(cls, record: PartRecord) -> PartLine:
        """Return the answer for one part."""
        return cls(
            serial=str(record.serial),
            part=record.part,
            process=record.process,
            mould=record.mould,
            customer=record.customer,
            stands=record.stands,
            mass_g=None if record.mass_g is None else f"{record.mass_g:f}",
            mass_state=None if record.on_scale is None else record.on_scale.state,
        )


class StepAnswer(BaseModel):
    """Something that was done to a part."""

    operation: str
    began: datetime | None
    ended: datetime | None
    state: Literal["running", "done", "stopped"]
    people: list[str]
    mould: str | None
    stations: list[str]
    cause: str
    entries: list[int] = Field(description="of the log")


class MixAnswer(BaseModel):
    """What was mixed or loaded for a part, and of which lots."""

    operation: str
    entry: int = Field(description="by which its other parts are found")
    at: datetime
    lots: list[dict[str, str]] = Field(description="material, lot, amount, and how it is known")
    shared_with: list[str] = Field(description="serials of the other parts of it")


class CureAnswer(BaseModel):
    """What a part set in."""

    operation: str
    began: datetime | None
    ended: datetime | None
    temperature_c: str | None
    noted: bool = Field(description="whether somebody looked, else the shop's word for the season")


class WeightAnswer(BaseModel):
    """A part on the scale."""

    mass_g: str
    expected_g: str | None
    least_g: str | None
    most_g: str | None
    share: float | None = Field(description="of what is expected")
    state: Literal["good", "light", "heavy"] | None


class TrendAnswer(BaseModel):
    """How the mass of parts made so goes with the temperature they set at."""

    parts: int
    per_c: float | None = Field(description="share of the expected mass for each degree")
    off: float | None = Field(description="how far either way, with 95 % confidence")
    sure: bool
    words: str

    @classmethod
    def of(cls, trend: MassTrend) -> TrendAnswer:
        """Return the answer for a trend."""
        return cls(
            parts=trend.parts,
            per_c=trend.per_c,
            off=trend.off,
            sure=trend.is_sure,
            words=trend.words,
        )


class TraceAnswer(BaseModel):
    """All that is known of one part."""

    serial: str
    part: str
    process: str
    order: str
    customer: str
    stands: Stand
    causes: list[dict[str, str]] = Field(description="what was wrong with it, and why")
    hours_used: str | None = Field(description="before it came back")
    mould: str | None
    pull: int | None
    pulled_by: list[str]
    mixes: list[MixAnswer]
    cures: list[CureAnswer]
    tests: list[str] = Field(description="keys of bench tests it was bent in")
    weight: WeightAnswer | None
    trend: TrendAnswer
    steps: list[StepAnswer]

    @classmethod
    def of(cls, records: Records, record: PartRecord) -> TraceAnswer:
        """Return the answer for one part."""
        zone = records.shop.zone
        return cls(
            serial=str(record.serial),
            part=record.part,
            process=record.process,
            order=record.serial.order,
            customer=record.customer,
            stands=record.stands,
            causes=[{"what": what, "cause": cause} for what, cause in record.causes],
            hours_used=None if record.hours_used is None else f"{record.hours_used:f}",
            mould=record.mould,
            pull=None if record.pull is None else record.pull.number,
            pulled_by=[] if record.pull is None else list(record.pull.people),
            mixes=[
                MixAnswer(
                    operation=use.done.task.operation,
                    entry=use.done.entries[-1],
                    at=use.done.last_known,
                    lots=[
                        {
                            "material": taken.lot.material,
                            "lot": taken.lot.name,
                            "amount": f"{taken.amount:f}",
                            "unit": taken.lot.unit,
                            "known": "noted" if taken.is_noted else "what expires first",
                        }
                        for taken in use.taken
                    ],
                    shared_with=[
                        str(other.serial)
                        for other in records.of_mix(use.done.entries[-1])
                        if other is not record
                    ],
                )
                for use in record.mixes
            ],
            cures=[
                CureAnswer(
                    operation=cure.done.task.operation,
                    began=in_zone(cure.done.began, zone),
                    ended=in_zone(cure.done.ended, zone),
                    temperature_c=None if cure.temperature_c is None else f"{cure.temperature_c:f}",
                    noted=cure.is_noted,
                )
                for cure in record.cures
            ],
            tests=[test.key for test in record.tests],
            weight=_weight(records, record),
            trend=TrendAnswer.of(records.trend(record.part, record.process)),
            steps=[
                StepAnswer(
                    operation=done.task.operation,
                    began=in_zone(done.began, zone),
                    ended=in_zone(done.ended, zone),
                    state=done.state,
                    people=list(done.people),
                    mould=done.task.mould,
                    stations=list(done.task.stations),
                    cause=done.cause,
                    entries=list(done.entries),
                )
                for done in record.steps
            ],
        )


class PartsAnswer(BaseModel):
    """Parts that have something in common."""

    parts: list[PartLine]


def _weight(records: Records, record: PartRecord) -> WeightAnswer | None:
    if record.mass_g is None:
        return None
    window, scale = records.window(record.part, record.process), record.on_scale
    return WeightAnswer(
        mass_g=f"{record.mass_g:f}",
        expected_g=None if window is None else f"{window.expected_g:.1f}",
        least_g=None if window is None else f"{window.least_g:.1f}",
        most_g=None if window is None else f"{window.most_g:.1f}",
        share=None if scale is None else scale.share,
        state=None if scale is None else scale.state,
    )
