"""Answers on the ledger of moulds: how each stands, what happened to it, what is ahead."""

from __future__ import annotations

from datetime import datetime
from typing import Literal
from zoneinfo import ZoneInfo

from pydantic import BaseModel, Field

from mouldwright.domain.record.mould_ledger import MouldLedger, MouldMove
from mouldwright.domain.record.mould_life import LifeAhead
from mouldwright.domain.record.pulls import Pull
from mouldwright.wire.service.instant import in_zone


class DefectAnswer(BaseModel):
    """Parts that had the same thing wrong with them."""

    what: Literal["scrapped", "second", "returned"]
    cause: str = Field(description="as it was noted; empty where nobody said")
    parts: int


class LifeAnswer(BaseModel):
    """What the published plan leaves of a mould."""

    planned_pulls: int
    left_after: int | None = Field(description="pulls; null where it does not wear")
    used_up: datetime | None = Field(description="when its last pull is out")
    by_plan: bool = Field(description="whether the plan takes the last pull; else by its pace")
    begin_next_by: datetime | None = Field(
        description="the last moment to begin, or to order, its successor"
    )
    presses: bool = Field(description="whether that moment is over")


class MouldStand(BaseModel):
    """How one mould stands."""

    name: str
    family: str
    number: str
    part: str
    process: str
    opening_pulls: int = Field(description="when they were counted")
    counted_pulls: int = Field(description="by the log since")
    pulls: int
    pulls_since_conditioning: int
    coats_due: int = Field(description="conditionings due before its next pull")
    until_conditioning: int | None = Field(description="pulls; null where none is ever due")
    life_left: int | None = Field(description="pulls; null where it does not wear")
    in_it: str | None = Field(description="order and pull that is in it now")
    gone: datetime | None
    gone_by: Literal["lost", "retired"] | None
    good_parts: int
    defects: list[DefectAnswer]
    pulled_by: dict[str, int] = Field(description="pulls each person took out of it")
    ahead: LifeAnswer

    @classmethod
    def of(cls, ledger: MouldLedger, ahead: LifeAhead, *, now: datetime, zone: str) -> MouldStand:
        """Return the answer for one mould."""
        return cls(
            name=ledger.name,
            family=ledger.family.key,
            number=ledger.number,
            part=ledger.family.part,
            process=ledger.family.process,
            opening_pulls=ledger.opening_pulls,
            counted_pulls=ledger.counted_pulls,
            pulls=ledger.pulls,
            pulls_since_conditioning=ledger.since,
            coats_due=ledger.coats_due,
            until_conditioning=ledger.until_conditioning,
            life_left=ledger.life_left,
            in_it=None if ledger.in_it is None else pull_name(ledger.in_it),
            gone=in_zone(ledger.gone, zone),
            gone_by=ledger.gone_by,
            good_parts=ledger.good,
            defects=[
                DefectAnswer(what=d.what, cause=d.cause, parts=d.parts) for d in ledger.defects
            ],
            pulled_by=dict(ledger.pulled_by),
            ahead=LifeAnswer(
                planned_pulls=ahead.planned,
                left_after=ahead.left_after,
                used_up=in_zone(ahead.used_up, zone),
                by_plan=ahead.is_by_plan,
                begin_next_by=in_zone(ahead.begin_by, zone),
                presses=ahead.is_pressing(now),
            ),
        )


class MoveAnswer(BaseModel):
    """One thing that happened to a mould."""

    at: datetime
    what: Literal["pull", "proof pull", "conditioned", "made", "lost", "retired"]
    counts: bool = Field(description="whether it moves the counts; else it is history")
    pulls: int = Field(description="in all, with this one")
    pulls_since_conditioning: int
    pull: str | None = Field(description="order and pull, where it is one")
    ended: str | None = Field(description="how the pull ended")
    parts: list[int] = Field(description="numbers of its parts within the order")
    people: list[str]
    cause: str

    @classmethod
    def of(cls, move: MouldMove, zone: str) -> MoveAnswer:
        """Return the answer for one move."""
        taken = move.taken
        return cls(
            at=move.at.astimezone(ZoneInfo(zone)),
            what=move.what,
            counts=move.is_counted,
            pulls=move.pulls,
            pulls_since_conditioning=move.since,
            pull=pull_name(taken) if taken is not None and taken.order else None,
            ended=None if taken is None else taken.end,
            parts=list(taken.parts) if taken is not None else [],
            people=list(move.people),
            cause=move.cause,
        )


class MouldLedgersAnswer(BaseModel):
    """How every mould stands."""

    now: datetime
    moulds: list[MouldStand]

    @classmethod
    def of(
        cls, found: tuple[tuple[MouldLedger, LifeAhead], ...], *, now: datetime, zone: str
    ) -> MouldLedgersAnswer:
        """Return the answer for all of them."""
        moulds = [MouldStand.of(ledger, ahead, now=now, zone=zone) for ledger, ahead in found]
        return cls(now=now, moulds=moulds)


class MouldLedgerAnswer(BaseModel):
    """How one mould stands, and all that happened to it."""

    now: datetime
    mould: MouldStand
    moves: list[MoveAnswer] = Field(description="in order")

    @classmethod
    def of(
        cls, ledger: MouldLedger, ahead: LifeAhead, *, now: datetime, zone: str
    ) -> MouldLedgerAnswer:
        """Return the answer for one mould."""
        return cls(
            now=now,
            mould=MouldStand.of(ledger, ahead, now=now, zone=zone),
            moves=[MoveAnswer.of(move, zone) for move in ledger.moves],
        )


def pull_name(pull: Pull) -> str:
    """Return what people call a pull: "1001 pull 7"."""
    return f"{pull.order} pull {pull.number}" if pull.order else "a proof pull"
