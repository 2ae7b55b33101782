"""A plan as it is kept and shown: tasks, order finishes, objective and proven bound.

Instants are whole minutes since 1970-01-01T00:00Z; intervals are half-open.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from mouldwright.domain.hours.opening import Window
from mouldwright.domain.promise.finish_odds import PlanOdds


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """What of one order takes part in a task.

    Attributes:
        order: Number of the order.
        pulls: Pull ids, unique within the order, from 1.
        parts: Part ids, unique within the order, from 1.
    """

    order: str
    pulls: tuple[int, ...] = ()
    parts: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One operation done once, on its members together.

    Attributes:
        operation: Name of the operation.
        process: Key of the process; the key of the set for an operation of a set.
        part: Key of the part; of the set for an operation of a set.
        spans: The minutes really worked, more than one only where work pauses.
        people: Keys of the people who do it, all of them the whole time.
        mould: Name of the mould, on pull and conditioning tasks.
        stations: Names of the station units held during the task.
        mixed_g: Grams mixed, on a mixing task.
    """

    operation: str
    process: str
    part: str
    spans: tuple[Window, ...]
    people: tuple[str, ...] = ()
    mould: str | None = None
    stations: tuple[str, ...] = ()
    members: tuple[Member, ...] = ()
    mixed_g: float | None = None

    @property
    def start(self) -> int:
        """Return the first minute."""
        return self.spans[0][0]

    @property
    def end(self) -> int:
        """Return the minute after the last."""
        return self.spans[-1][1]


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkSession:
    """One person's unbroken run of work that is geared up for and cleaned down after.

    Attributes:
        session: Key of the session.
        start: Minute gearing up begins; the plan's now where it had begun before.
        end: Minute after cleaning down.
        gear_up_min: Minutes of it before the first task; 0 where it had begun before now.
        clean_down_min: Minutes of it after the last task.
    """

    session: str
    person: str
    start: int
    end: int
    gear_up_min: int
    clean_down_min: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderOutcome:
    """When an order finishes and what holds it.

    Attributes:
        due: Minute it is due, None where it has no date.
        binds: What fixes the finish, in words, last cause first.
    """

    number: str
    finish: int
    due: int | None
    starts: int
    binds: tuple[str, ...] = ()

    @property
    def late_min(self) -> int:
        """Return elapsed minutes past the due date, 0 where it is met or there is none."""
        return 0 if self.due is None else max(0, self.finish - self.due)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortage:
    """A material that an order waits for; amounts to a thousandth of their unit.

    Attributes:
        unit: "g" or "m".
        needed: How much the order draws.
        short: How much of that is not on the shelf, what earlier orders take left out.
        there_on: Local day from which all of it is there.
        bought: How much of it no delivery brings, so that it has to be bought now.
        supplier: Key of who would deliver that soonest; None where nothing is bought.
    """

    order: str
    material: str
    unit: Literal["g", "m"]
    needed: float
    short: float
    there_on: date
    bought: float = 0.0
    supplier: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Objective:
    """What the search makes small, in this order.

    Attributes:
        weighted_late_min: Sum over orders of weight x minutes late.
        finish_min: Minutes from now to the end of the last task of any order.
        attended_min: Person-minutes of attended work, going in and coming out included.
    """

    weighted_late_min: int
    finish_min: int
    attended_min: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Every task of every open order, with the proof of how good it is.

    Attributes:
        now: Minute the plan was made for.
        bound: Proven lower bound on the first part of the objective that is not zero.
        bound_name: Which argument gave it, in words.
        checked: Whether the independent checker passed it.
        sessions: The sessions its tasks make, by start.
        odds: How likely each order is finished by when; None where nobody worked it out.
        shortages: Materials that orders wait for; None where the shop takes materials as there.
        cautions: What its dates rest on and may not hold, in sentences.
    """

    now: int
    zone: str
    tasks: tuple[Task, ...]
    orders: tuple[OrderOutcome, ...]
    objective: Objective
    bound: int | None = None
    bound_name: str | None = None
    checked: bool = False
    sessions: tuple[WorkSession, ...] = ()
    odds: PlanOdds | None = None
    shortages: tuple[Shortage, ...] | None = None
    cautions: tuple[str, ...] = ()

    def likely(self, number: str) -> int | None:
        """Return an order's likely day: the first minute it is ready by as often as is promised.

        None where nobody worked it out, the order was not in those runs, or it lies beyond all
        hours laid out.
        """
        known = () if self.odds is None else self.odds.orders
        return next((each.promised for each in known if each.number == number), None)

    @property
    def gap(self) -> float | None:
        """Return (value - bound) / value for the part of the objective that is bounded."""
        value = self.objective.weighted_late_min or self.objective.finish_min
        if self.bound is None or value == 0:
            return None if self.bound is None else 0.0
        return (value - self.bound) / value
