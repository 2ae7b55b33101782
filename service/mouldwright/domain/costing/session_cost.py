"""What going in and coming out costs, and how many sessions an order is taken to have.

Without a plan an order has as few sessions as hours allow: its person-minutes of the work
over the longest opening of anyone who can do it, going in and coming out taken off, rounded
up; and never fewer than the people one task of it needs. A plan has its own sessions.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from mouldwright.domain.costing.labour import mean_hour_cost
from mouldwright.domain.costing.lines import LineRule, merged
from mouldwright.domain.costing.occurrence import Routing, scaled
from mouldwright.domain.hours.week import longest_opening, week_of
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.quantity import exact
from mouldwright.domain.room import Session
from mouldwright.domain.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class SessionNeed:
    """The work of one session in a process.

    Attributes:
        takes: Person-minutes of it by count.
        most_min: The most of it that one session holds.
        at_once: The most people one task of it needs.
        skill: The one skill all of it asks for; None where it asks for several, or none.
    """

    session: Session
    takes: Mapping[str, Fraction]
    most_min: int
    at_once: int
    skill: str | None

    @property
    def count(self) -> str:
        """Return the name of the count of its sessions."""
        return f"sessions {self.session.key}"

    def sessions(self, counts: Mapping[str, Fraction]) -> Fraction:
        """Return the fewest sessions that hold the work of those counts."""
        work = sum((each * counts[name] for name, each in self.takes.items()), Fraction(0))
        if work <= 0:
            return Fraction(0)
        return Fraction(max(-(-work // self.most_min), self.at_once))


@dataclass(frozen=True, slots=True, kw_only=True)
class SessionCost:
    """One kind of session: as planned, and as each order was reckoned by itself.

    Attributes:
        planned: How many the plan has.
        assumed: How many its orders' parts were reckoned with.
        planned_min: Minutes going in and coming out.
        assumed_min: The same as reckoned.
        planned_cost: Hands, overhead and what is used up by session; exact.
        assumed_cost: The same as reckoned; None where an hour has no cost.
    """

    session: Session
    planned: int
    assumed: int
    planned_min: int
    assumed_min: int
    planned_cost: Fraction
    assumed_cost: Fraction | None


def session_needs(shop: Shop, routing: Routing) -> tuple[SessionNeed, ...]:
    """Return the sessions that a process's work is of, its upkeep included."""
    if not shop.sessions:
        return ()
    process = routing.process
    worked = [
        (operation, routing.worked_minutes(place))
        for place, operation in enumerate(process.operations)
    ]
    upkeep = process.conditioning
    if upkeep is not None:
        minutes = exact(upkeep.fixed_min) + exact(upkeep.each_min)
        worked.append((upkeep, {"conditionings": minutes}))
    return needs_of(shop, worked)


def needs_of(
    shop: Shop, worked: Sequence[tuple[Operation, Mapping[str, Fraction]]]
) -> tuple[SessionNeed, ...]:
    """Return the sessions that some operations, each with its minutes by count, are of."""
    found = []
    for session in shop.sessions.values():
        mine = [(o, takes) for o, takes in worked if session.holds(o)]
        if not mine:
            continue
        skills = {operation.skill for operation, _ in mine}
        able = {p.key: p for o, _ in mine for p in shop.with_skill(o.skill)}.values()
        longest = max((longest_opening(week_of(shop.hours_of(p).weekly)) for p in able), default=0)
        found.append(
            SessionNeed(
                session=session,
                takes=merged(scaled(takes, o.people) for o, takes in mine),
                most_min=max(longest - session.gear_up_min - session.clean_down_min, 1),
                at_once=max(operation.people for operation, _ in mine),
                skill=next(iter(skills)) if len(skills) == 1 else None,
            )
        )
    return tuple(found)


def session_rules(shop: Shop, needs: Iterable[SessionNeed]) -> list[LineRule]:
    """Return a line rule for going in and coming out of each session, in person-hours."""
    return [
        LineRule(
            kind="labour",
            text=f"going in and coming out: {need.session.title}",
            unit="h",
            rate=mean_hour_cost(shop, need.skill),
            takes={need.count: Fraction(overhead_min(need.session), 60)},
            moves_with="wages",
            unknown=f"{need.session.title} has no hourly cost: nobody can do its work",
        )
        for need in needs
    ]


def overhead_min(session: Session) -> int:
    """Return the minutes one person takes going in and coming out."""
    return session.gear_up_min + session.clean_down_min
