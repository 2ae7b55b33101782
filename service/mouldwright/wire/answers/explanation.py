"""Answer to "what fixes this date?", and to "what does everything idle for?"."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import partial
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field
from pydantic.config import JsonDict

from mouldwright.domain.hours.opening import local
from mouldwright.planning.plan import Plan, Task
from mouldwright.planning.reasons import STATES, Explanation, Link, Standing
from mouldwright.wire.answers.plan import TaskAnswer, task_answers

LinkKindName = Literal["hands", "alone", "session", "closed", "least wait", "not forced"]
CauseKindName = Literal[
    "follows", "age", "mould", "station", "room", "hands", "release", "now", "under way"
]
ResourceKindName = Literal["person", "mould", "station"]

_EXAMPLE: JsonDict = {
    "order": "1005",
    "finish": "2027-03-02T08:50:00+00:00",
    "due": "2027-03-12T13:00:00+00:00",
    "late_min": 0,
    "origin": "2027-03-01T08:30:00+00:00",
    "headline": "Ready Tue 2 Mar 08:50. Of the 1 d 20 min before: closed hours (13 h 27 min); "
    "cures and machines (10 h 20 min); work on the order (33 min).",
    "shares": [{"what": "closed hours", "minutes": 807}],
    "stretches": [
        {
            "start": "2027-03-01T13:53:00+00:00",
            "end": "2027-03-01T19:03:00+00:00",
            "kind": "alone",
            "what": "print of parts 5 to 6, 5 h 10 min",
            "why": "it follows start of parts 5 to 6, over at Mon 1 Mar 13:53",
        }
    ],
    "links": [],
}


class ShareAnswer(BaseModel):
    """What some of the time before a finish goes into."""

    what: str
    minutes: int


class StretchAnswer(BaseModel):
    """Neighbouring links of one kind, told as one."""

    start: str
    end: str
    kind: LinkKindName
    what: str
    why: str = Field(description="why it begins no sooner; empty for a wait")


class LinkAnswer(BaseModel):
    """One task or wait of the chain."""

    start: str
    end: str
    kind: LinkKindName
    task: TaskAnswer | None = Field(description="null for a wait")
    because: CauseKindName | None = Field(description="why it begins no sooner; null for a wait")
    resource: str | None = Field(description="the mould, unit or person that was busy")
    held_by: list[str] = Field(description="orders it was busy for")
    own: bool = Field(description="whether the task is for the order itself")


class ExplanationAnswer(BaseModel):
    """Why an order is ready when it is: from its finish back to an origin, without a hole."""

    model_config = ConfigDict(json_schema_extra={"examples": [_EXAMPLE]})

    order: str
    finish: str
    due: str | None
    late_min: int
    origin: str = Field(description="where the chain begins: now, a release, what is under way")
    headline: str
    shares: list[ShareAnswer] = Field(description="together the time from origin to finish")
    stretches: list[StretchAnswer] = Field(description="the last first")
    links: list[LinkAnswer] = Field(description="the last first")

    @classmethod
    def of(cls, why: Explanation, plan: Plan) -> ExplanationAnswer:
        """Return the answer for an explanation."""
        at = partial(_time, plan.zone)
        chain = why.chain
        late = 0 if chain.due is None else max(0, chain.finish - chain.due)
        return cls(
            order=chain.order,
            finish=at(chain.finish),
            due=None if chain.due is None else at(chain.due),
            late_min=late,
            origin=at(chain.origin),
            headline=why.headline,
            shares=[ShareAnswer(what=s.what, minutes=s.minutes) for s in why.shares],
            stretches=[
                StretchAnswer(start=at(s.start), end=at(s.end), kind=s.kind, what=s.what, why=s.why)
                for s in why.stretches
            ],
            links=[_link(link, plan.tasks, plan.zone) for link in chain.links],
        )


class ResourceAnswer(BaseModel):
    """What a person, a mould or a station unit does while the plan lasts."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "kind": "mould",
                    "name": "stabiliser-pressed 3",
                    "horizon_min": 20463,
                    "used_min": 8857,
                    "kept_min": 12975,
                    "minutes": {"hands": 217, "alone": 8640, "closed": 3627, "nothing": 7979},
                }
            ]
        }
    )

    kind: ResourceKindName
    name: str
    horizon_min: int = Field(description="from now to the plan's last end")
    used_min: int
    kept_min: int = Field(description="kept by some hold, its waits within included")
    minutes: dict[str, int] = Field(description="in each state; together the horizon")


class ResourcesAnswer(BaseModel):
    """The standing of everything in the shop."""

    states: dict[str, str] = Field(description="what each state means, in words")
    resources: list[ResourceAnswer]

    @classmethod
    def of(cls, standings: Iterable[Standing]) -> ResourcesAnswer:
        """Return the answer for standings."""
        return cls(
            states={str(state): words for state, words in STATES.items()},
            resources=[
                ResourceAnswer(
                    kind=s.kind,
                    name=s.name,
                    horizon_min=s.horizon_min,
                    used_min=s.used_min,
                    kept_min=s.kept_min,
                    minutes={str(state): minutes for state, minutes in s.minutes.items()},
                )
                for s in standings
            ],
        )


def _time(zone: str, minute: int) -> str:
    return local(minute, zone).isoformat()


def _link(link: Link, tasks: Sequence[Task], zone: str) -> LinkAnswer:
    cause = link.cause
    return LinkAnswer(
        start=_time(zone, link.start),
        end=_time(zone, link.end),
        kind=link.kind,
        task=None if link.task is None else task_answers([tasks[link.task]], zone)[0],
        because=None if cause is None else cause.kind,
        resource=None if cause is None else cause.resource,
        held_by=[] if cause is None else list(cause.orders),
        own=link.own,
    )
