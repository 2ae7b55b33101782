"""Answers on what the log teaches: times, yields, failures, losses, and what it would change."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from pydantic import BaseModel, Field

from mouldwright.domain.record.fitted_curve import FittedCurve
from mouldwright.domain.record.learnt_changes import LearntAtBench, LearntChange
from mouldwright.domain.record.learnt_failures import LearntFailures
from mouldwright.domain.record.learnt_losses import LearntLoss
from mouldwright.domain.record.learnt_times import LearntTime, UsualTime
from mouldwright.domain.record.learnt_yields import LearntYield


class UsualTimeAnswer(BaseModel):
    """What tasks usually take: as many take longer as take less."""

    tasks: int = Field(description="timed tasks that it rests on")
    noted_min: float | None = Field(description="of those tasks alone; null where there are none")
    usual_min: float = Field(description="drawn toward what was to be expected, while they are few")
    least_min: float = Field(description="with 90 % confidence the usual time lies from here")
    most_min: float = Field(description="to here")
    spread: float = Field(description="two in three lie within so many times it, up or down")

    @classmethod
    def of(cls, usual: UsualTime, standard_min: float) -> UsualTimeAnswer:
        """Return the answer, in minutes of a standard."""
        return cls(
            tasks=usual.tasks,
            noted_min=None if usual.noted is None else round(usual.noted * standard_min, 2),
            usual_min=round(usual.share * standard_min, 2),
            least_min=round(usual.least * standard_min, 2),
            most_min=round(usual.most * standard_min, 2),
            spread=round(usual.spread, 3),
        )


class CurveAnswer(BaseModel):
    """How times fall with repetition within an order, by the unit theory."""

    tasks: int
    rate: float | None = Field(description="at every doubling; null where it is refused")
    least: float | None = Field(description="with 95 % confidence the rate lies from here")
    most: float | None = Field(description="to here")
    is_sure: bool = Field(description="whether times fall at all")
    refused: str = Field(description="why there is none; empty where there is one")

    @classmethod
    def of(cls, curve: FittedCurve) -> CurveAnswer:
        """Return the answer for one operation."""
        return cls(
            tasks=curve.tasks,
            rate=_rounded(curve.rate),
            least=_rounded(curve.least),
            most=_rounded(curve.most),
            is_sure=curve.is_sure,
            refused=curve.refused,
        )


class LearntTimeAnswer(BaseModel):
    """What the log says of one operation's time."""

    process: str
    operation: str
    standard_min: float = Field(description="of a task such as those noted")
    all: UsualTimeAnswer
    by_person: dict[str, UsualTimeAnswer] = Field(description="of those who did any of it alone")
    curve: CurveAnswer
    attended: bool = Field(description="false of what runs by itself")
    set_aside: int = Field(description="tasks noted with what cannot be a time of work")
    unseen: int = Field(
        description="tasks without people that ended when nobody could look; they do not count"
    )
    is_for_the_log: bool = Field(
        description="false of what lasts as its data sheet says: no change of it is proposed"
    )
    entries: list[int] = Field(description="of the log, that it rests on")

    @classmethod
    def of(cls, learnt: LearntTime) -> LearntTimeAnswer:
        """Return the answer for one operation."""
        standard = learnt.standard_min
        return cls(
            process=learnt.process,
            operation=learnt.operation.name,
            standard_min=round(standard, 2),
            all=UsualTimeAnswer.of(learnt.usual, standard),
            by_person={
                who: UsualTimeAnswer.of(usual, standard) for who, usual in learnt.by_person.items()
            },
            curve=CurveAnswer.of(learnt.curve),
            attended=learnt.operation.attended,
            set_aside=len(learnt.set_aside),
            unseen=learnt.unseen,
            is_for_the_log=learnt.is_for_the_log,
            entries=[number for task in learnt.tasks for number in task.entries],
        )


class LearntYieldAnswer(BaseModel):
    """What the log says of one operation's yield."""

    process: str
    operation: str
    standard: str
    per: Literal["part", "pull"] = Field(description="what is counted")
    tried: int
    scrapped: int
    seconds: int = Field(description="that it made seconds and did not scrap")
    rate: float = Field(
        description="that pass as good, drawn toward the standard, while they are few"
    )
    least: float = Field(description="with 90 % confidence it lies from here")
    most: float = Field(description="to here")
    second_standard: str = Field(description="share that should come out as seconds")
    second: float = Field(
        description="share that comes out as seconds, drawn toward its standard likewise"
    )
    second_least: float = Field(description="with 90 % confidence it lies from here")
    second_most: float = Field(description="to here")
    entries: list[int] = Field(description="of the log, that scrapped or made seconds")

    @classmethod
    def of(cls, learnt: LearntYield) -> LearntYieldAnswer:
        """Return the answer for one operation."""
        return cls(
            process=learnt.process,
            operation=learnt.operation.name,
            standard=str(learnt.operation.good_rate),
            per=learnt.operation.good_rate_per,
            tried=learnt.tried,
            scrapped=learnt.scrapped,
            seconds=learnt.seconds,
            rate=round(learnt.rate, 4),
            least=round(learnt.least, 4),
            most=round(learnt.most, 4),
            second_standard=str(learnt.operation.second_rate),
            second=round(learnt.second, 4),
            second_least=round(learnt.second_least, 4),
            second_most=round(learnt.second_most, 4),
            entries=list(learnt.entries),
        )


class LearntFailuresAnswer(BaseModel):
    """What the log says of how often one operation of a machine fails."""

    process: str
    operation: str
    standard: str = Field(description="failures in an hour, as written")
    runs: int = Field(description="that came through or failed")
    failed: int
    hours: float = Field(description="that they ran, as written")
    rate: float = Field(
        description="failures in an hour, drawn toward the standard, while they are few"
    )
    least: float = Field(description="with 90 % confidence it lies from here")
    most: float = Field(description="to here")
    entries: list[int] = Field(description="of the log, that tell of those that failed")

    @classmethod
    def of(cls, learnt: LearntFailures) -> LearntFailuresAnswer:
        """Return the answer for one operation."""
        return cls(
            process=learnt.process,
            operation=learnt.operation.name,
            standard=str(learnt.operation.failures_per_hour),
            runs=learnt.runs,
            failed=learnt.failed,
            hours=round(learnt.hours, 2),
            rate=round(learnt.rate, 6),
            least=round(learnt.least, 6),
            most=round(learnt.most, 6),
            entries=list(learnt.entries),
        )


class LearntLossAnswer(BaseModel):
    """What the log says of what stays behind each time a material is mixed."""

    material: str = Field(description="key of the mix")
    standard_g: str = Field(description="lost each mix, as written")
    cups: int = Field(description="that were weighed when they were done with, and count")
    set_aside: int = Field(
        description="cups of mixes larger than their work needed, as the least to be mixed is more"
    )
    noted_g: float | None = Field(description="mean of those cups alone; null where none counts")
    usual_g: float = Field(description="drawn toward the standard, while they are few")
    least_g: float = Field(description="with 90 % confidence the usual loss lies from here")
    most_g: float = Field(description="to here")
    spread_g: float = Field(description="two cups in three lie within so much of it")
    entries: list[int] = Field(description="of the log, that it rests on")

    @classmethod
    def of(cls, learnt: LearntLoss) -> LearntLossAnswer:
        """Return the answer for one mix."""
        usual = learnt.usual
        return cls(
            material=learnt.material,
            standard_g=f"{learnt.standard_g:f}",
            cups=usual.cups,
            set_aside=learnt.set_aside,
            noted_g=None if usual.noted_g is None else round(usual.noted_g, 2),
            usual_g=round(usual.usual_g, 2),
            least_g=round(usual.least_g, 2),
            most_g=round(usual.most_g, 2),
            spread_g=round(usual.spread_g, 2),
            entries=list(learnt.entries),
        )


class LearntChangeAnswer(BaseModel):
    """A change the log speaks for; nothing is changed until someone takes it."""

    key: str = Field(description="by which it is taken")
    kind: Literal["time", "learning", "yield", "failures", "loss"]
    process: str = Field(description="empty for the loss of a mix")
    operation: str = Field(description="empty for the loss of a mix")
    material: str = Field(description="key of the mix; empty but for its loss")
    was: dict[str, str]
    proposed: dict[str, str]
    evidence: int = Field(
        description="tasks timed, starts tried, runs of a machine, or cups weighed"
    )
    entries: list[int]

    @classmethod
    def of(cls, change: LearntChange) -> LearntChangeAnswer:
        """Return the answer for one change."""
        return cls(
            key=change.key,
            kind=change.kind,
            process=change.process,
            operation=change.operation,
            material=change.material,
            was={name: f"{value:f}" for name, value in change.was.items()},
            proposed={name: f"{value:f}" for name, value in change.proposed.items()},
            evidence=change.evidence,
            entries=list(change.entries),
        )


class LearntAnswer(BaseModel):
    """All that the log teaches of times, yields, failures and losses."""

    version: int | None = Field(
        default=None, description="of the shop it is set beside; null of a file"
    )
    changes: list[LearntChangeAnswer]
    declined: list[LearntChangeAnswer] = Field(
        default=[], description="left by someone, and resting on less than twice the evidence since"
    )
    times: list[LearntTimeAnswer]
    yields: list[LearntYieldAnswer]
    failures: list[LearntFailuresAnswer] = Field(description="of machines that run by themselves")
    losses: list[LearntLossAnswer] = Field(description="of mixes of which a cup was weighed")

    @classmethod
    def of(
        cls,
        found: LearntAtBench,
        *,
        version: int | None = None,
        declined: Iterable[LearntChange] = (),
    ) -> LearntAnswer:
        """Return the answer for a shop."""
        return cls(
            version=version,
            declined=[LearntChangeAnswer.of(change) for change in declined],
            changes=[LearntChangeAnswer.of(change) for change in found.changes],
            times=[LearntTimeAnswer.of(each) for each in found.times],
            yields=[LearntYieldAnswer.of(each) for each in found.yields],
            failures=[LearntFailuresAnswer.of(each) for each in found.failures],
            losses=[LearntLossAnswer.of(each) for each in found.losses],
        )


class TakeAsk(BaseModel):
    """A learnt change to be taken into the shop, as it was read."""

    key: str = Field(min_length=1, max_length=400, description="of the change")
    evidence: int = Field(ge=1, le=2**31 - 1, description="what it rested on when it was read")
    version: int = Field(ge=1, le=2**31 - 1, description="of the shop, as it was read")


class TakenAnswer(BaseModel):
    """What was taken into the shop."""

    version: int = Field(description="of the shop, that holds now")
    change: LearntChangeAnswer


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 4)
