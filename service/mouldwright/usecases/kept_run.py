"""Long work and what comes of it: runs that plan a shop, and the plans they leave."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from mouldwright.planning.plan import Plan

RunState = Literal["waiting", "running", "done", "stale", "cancelled", "impossible", "set aside"]
ENDED: frozenset[RunState] = frozenset({"done", "stale", "cancelled", "impossible", "set aside"})
MOST_ATTEMPTS = 3
PLAN = "plan"
# What is asked of a plan that shall keep nothing of the one that holds.
FROM_NOTHING = "from nothing"


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """What a plan was made from.

    Attributes:
        shop_version: Version of the shop.
        book_version: One more with every order booked, changed or called off, with every pin, and
            with every entry of the log that a plan made before knows nothing of.
    """

    shop_version: int
    book_version: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TrailStep:
    """A better plan, or a higher bound, and when it was found.

    Attributes:
        seconds: Since the run began to look.
        weighted_late_min: Of the best plan by then, as the next.
        bound: On the first of the two that is not zero; None while unknown.
    """

    seconds: float
    weighted_late_min: int
    finish_min: int
    bound: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RunProgress:
    """Where a search stands.

    Attributes:
        weighted_late_min: Of the best plan so far, as the next two.
        bound: On the first of them that is not zero; None while unknown.
        trying: What is being tried, in words.
        trail: How it came there, each time a better plan was found or the bound rose.
        done: Of a question at length: plans made so far, and ``total`` to be made; both 0 for
            a plan, and the figures above 0 for such a question.
    """

    weighted_late_min: int
    finish_min: int
    attended_min: int
    bound: int | None
    gap: float | None
    trying: str
    tries: int
    trail: tuple[TrailStep, ...] = ()
    done: int = 0
    total: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One piece of long work: a plan of all that a shop has booked, or a question at length.

    Attributes:
        why: What it was asked for, in words.
        attempts: How often it was taken up, counted when it is taken.
        worker: Who has it, or had it last.
        basis: What it plans, from when it was taken up.
        problems: Why there is no plan, in words.
        plan_version: The plan it left, None where it left none.
        cancel_asked: Whether it should stop with the best so far.
        publishes: Whether its plan holds as it ends; else someone looks at it first.
        subject: What it is: "plan", or a question such as "one more". Of one shop and
            subject no two wait and no two run.
        traceparent: The trace of the request it was asked for by (W3C Trace Context); empty where
            nobody listens.
        ask: What is asked besides, as JSON; of a plan empty or ``FROM_NOTHING``.
    """

    id: str
    shop: str
    state: RunState
    why: str
    seconds: float
    seed: int
    asked_at: datetime
    attempts: int = 0
    worker: str = ""
    begun_at: datetime | None = None
    ended_at: datetime | None = None
    cancel_asked: bool = False
    publishes: bool = True
    basis: Basis | None = None
    progress: RunProgress | None = None
    problems: tuple[str, ...] = ()
    plan_version: int | None = None
    subject: str = PLAN
    ask: str = ""
    traceparent: str = ""

    @property
    def keeps(self) -> bool:
        """Return whether what stands of the plan that holds is kept."""
        return self.is_plan and self.ask != FROM_NOTHING

    @property
    def is_plan(self) -> bool:
        """Return whether a plan comes of it."""
        return self.subject == PLAN

    @property
    def ended(self) -> bool:
        """Return whether nothing more will come of it."""
        return self.state in ENDED


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPlan:
    """A plan as it was published.

    Attributes:
        version: From 1 for each shop; the highest holds.
        run: Id of the run that made it.
    """

    version: int
    plan: Plan
    basis: Basis
    run: str
    made_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """Which entries of a list are wanted.

    Attributes:
        limit: How many at most.
        after: The number after which they begin, in the order of the list; None from the start.
    """

    limit: int = 50
    after: int | None = None
