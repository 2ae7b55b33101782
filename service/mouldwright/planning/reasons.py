"""Why a plan stands as it does, as it is kept and shown: chains, causes, use and idle time.

Instants are whole minutes since 1970-01-01T00:00Z; tasks are named by their place in
``plan.tasks``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

CauseKind = Literal[
    "follows", "age", "mould", "station", "room", "hands", "release", "now", "under way"
]
LinkKind = Literal["hands", "alone", "session", "closed", "least wait", "not forced"]
ResourceKind = Literal["person", "mould", "station"]
State = Literal[
    "hands", "alone", "closed", "people", "mould", "station", "room", "cure", "too short",
    "release", "not forced", "nothing",
]  # fmt: skip

# In words, in the order they are told.
STATES: dict[State, str] = {
    "hands": "worked at",
    "alone": "cure or machine running",
    "closed": "closed",
    "people": "waits for people",
    "mould": "waits for a mould",
    "station": "waits for a station",
    "room": "waits for a room in another state",
    "cure": "waits for a cure, a machine or a set wait",
    "too short": "what comes next does not fit before closing",
    "release": "what comes next may not begin yet",
    "not forced": "nothing in the plan forces it",
    "nothing": "nothing to do",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """One reason why a task begins no sooner.

    Attributes:
        kind: "follows" is what the routing asks for, "age" what its parts must be; "mould",
            "station" and "hands" were busy, a "room" was in another state; "release" is the
            order's, "now" the minute the plan was made for.
        ended: When that was over.
        since: From when on the task could begin for it: ``ended`` and the least wait.
        fits: The first minute from then on at which hours hold the work.
        slack_min: Minutes from then to the start that this does not account for.
        task: Place of the task behind it; None where there is none.
        resource: The mould, unit, room or person that was busy.
        orders: Numbers of the orders it was busy for; none for a mould's upkeep.
        through: Place of the task that really waited, where this one had to be near it.
    """

    kind: CauseKind
    ended: int
    since: int
    fits: int
    slack_min: int
    task: int | None = None
    resource: str | None = None
    orders: tuple[str, ...] = ()
    through: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """One stretch of a chain, half-open like all intervals.

    Attributes:
        start, end: Minutes since the epoch. A task that ran on beside the one it held up is
            cut where that one began.
        kind: "hands" and "alone" are tasks with and without people; "session" is gearing up
            or cleaning down, "closed" a wait for hours, "least wait" one the routing asks for,
            and "not forced" one that nothing found in the plan asks for.
        task: Place of the task in the plan; None for a wait.
        cause: Why this begins no sooner; None for a wait, which has the cause of what
            follows it, and for what goes on after a pause.
        waits: Place of the task that a wait is for; None for a task.
        own: Whether the task is for the order that is explained.
    """

    start: int
    end: int
    kind: LinkKind
    task: int | None = None
    cause: Cause | None = None
    waits: int | None = None
    own: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """What fixes one order's finish.

    Attributes:
        origin: Minute before which nothing could be: where the chain begins.
        links: The last one first; each ends where the one after it in this list begins
            to count, down to the origin.
    """

    order: str
    finish: int
    due: int | None
    origin: int
    links: tuple[Link, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Neighbouring links of one kind, told as one.

    Attributes:
        what: What goes on, in words.
        why: Why it begins no sooner, in words; empty for a wait.
        because: The kind of that cause; empty for a wait.
        tasks: Places of its tasks, the last first.
    """

    start: int
    end: int
    kind: LinkKind
    what: str
    why: str
    because: str
    tasks: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """What some of the time before a finish goes into, in words, and how many minutes."""

    what: str
    minutes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What one person, mould or unit does while a plan lasts.

    Attributes:
        horizon_min: Minutes from the plan's now to its last end.
        minutes: How many of them in each state; together they are the horizon.
        kept_min: Minutes it is kept by some hold, its waits within included.
    """

    kind: ResourceKind
    name: str
    horizon_min: int
    minutes: dict[State, int]
    kept_min: int = 0

    @property
    def used_min(self) -> int:
        """Return the minutes of use."""
        return self.minutes.get("hands", 0) + self.minutes.get("alone", 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """Why one order is ready when it is.

    Attributes:
        chain: Every stretch from its finish back to where it begins.
        stretches: The same in words, like neighbours joined, the last first.
        shares: What the time goes into, the most first.
        headline: The most of them in a sentence.
    """

    chain: Chain
    stretches: tuple[Stretch, ...]
    shares: tuple[Share, ...]
    headline: str
