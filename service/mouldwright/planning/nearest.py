"""The nearest changes that would make possible what is not, each proven by checking again.

A change is a shop changed in one thing by the least that is needed. It is told only where the
changed shop, compiled and checked anew, no longer has what was impossible, and nothing new is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from mouldwright.domain.hours.opening import Window
from mouldwright.domain.shop import Shop
from mouldwright.planning.alone import dispatch_alone
from mouldwright.planning.construct import HorizonTooShort, Stuck, Unplaceable
from mouldwright.planning.impossible import Impossible
from mouldwright.planning.more.changes import longer
from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.remedies import Remedy, remedies, with_operation, with_pot_life
from mouldwright.planning.routing import NEVER, Routing, Step

# A limit is loosened by no more than this; beyond it the hours are what is wrong.
FURTHEST_MIN = 14 * 1440
# Nor is a day's opening made longer by more than this.
LONGEST_MORE_MIN = 12 * 60
# Further reasons are told without changes that are proven.
MOST_PROVEN = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Nearest:
    """Finds the nearest changes of a problem.

    Attributes:
        reasons: All that is impossible in it.
        recheck: Says what is impossible in a changed shop.
    """

    problem: Problem
    reasons: Sequence[Impossible]
    recheck: Callable[[Shop], Sequence[Impossible]]

    def told(self) -> list[str]:
        """Return every reason with the changes that are proven to do."""
        return [
            reason.told([r.title for r in self.changes(reason)] if place < MOST_PROVEN else ())
            for place, reason in enumerate(self.reasons)
        ]

    def changes(self, reason: Impossible) -> list[Remedy]:
        """Return the changes that are proven to take a reason away and to bring no other."""
        known = {each.place for each in self.reasons}
        found = []
        for remedy in (*remedies(self.problem.shop, reason), *self._loosened(reason)):
            left = {each.place for each in self.recheck(remedy.shop)}
            if reason.place not in left and left <= known:
                found.append(remedy)
        return found

    def _loosened(self, reason: Impossible) -> Iterator[Remedy]:
        """Yield the least change of each limit, and of the hours, that lets a block be placed."""
        if reason.kind != "alone":
            return
        problem, shop = self.problem, self.problem.shop
        lot = next(
            lot
            for lot in problem.lots
            if (problem.routings[lot.routing].key, lot.part) == (reason.process, reason.part)
        )
        for step in problem.routings[lot.routing].steps:
            if step.name not in reason.steps:
                continue
            if step.wait_max < NEVER:
                least = _least_limit(problem, lot, step, "wait_max", step.wait_max)
                if least is not None:
                    yield from with_operation(
                        shop, reason.process, step.name,
                        f"a greatest wait of {least} min before {step.name}",
                        wait_max_min=least,
                    )  # fmt: skip
            if step.pot_until >= 0 and step.pot_life_min < NEVER:
                least = _least_limit(problem, lot, step, "pot_life_min", step.pot_life_min)
                if least is not None and step.operation.material is not None:
                    yield from with_pot_life(shop, step.operation.material, least)
        more = _least(1, LONGEST_MORE_MIN, lambda m: _fits(_with_hours(problem, m), lot))
        if more is not None:
            yield Remedy(title=f"everyone in for {more} min longer each day", shop=_in(shop, more))


def _in(shop: Shop, minutes: int) -> Shop:
    """Return the shop with every opening day of everyone so many minutes longer."""
    people = {
        key: person
        if person.weekly is None
        else replace(person, weekly=longer(person.weekly, minutes))
        for key, person in shop.people.items()
    }
    hours = replace(shop.hours, weekly=longer(shop.hours.weekly, minutes))
    return replace(shop, people=people, hours=hours)


def _least(low: int, high: int, fits: Callable[[int], bool]) -> int | None:
    """Return the least figure from ``low`` to ``high`` that fits; None where the highest does not.

    More never takes away what less allows, so halving finds it.
    """
    if not fits(high):
        return None
    low -= 1
    while high - low > 1:
        middle = (low + high) // 2
        if fits(middle):
            high = middle
        else:
            low = middle
    return high


def _least_limit(problem: Problem, lot: Lot, step: Step, name: str, limit: int) -> int | None:
    return _least(
        limit + 1,
        limit + FURTHEST_MIN,
        lambda minutes: _fits(_with_step(problem, lot, step, {name: minutes}), lot),
    )


def _fits(problem: Problem, lot: Lot) -> bool:
    try:
        dispatch_alone(problem, lot, 1)
    except (Unplaceable, HorizonTooShort, Stuck):
        return False
    return True


def _with_hours(problem: Problem, minutes: int) -> Problem:
    """Return a problem in which everyone stays so many minutes longer at the end of each day."""
    return replace(
        problem, windows=tuple(_extended(windows, minutes) for windows in problem.windows)
    )


def _extended(windows: Sequence[Window], minutes: int) -> tuple[Window, ...]:
    """Return windows each so much longer where none follows within that time, else joined."""
    found: list[Window] = []
    for place, (opens, closes) in enumerate(windows):
        following = windows[place + 1][0] if place + 1 < len(windows) else None
        # A break within the day stays a break.
        ends = closes + minutes
        if following is not None and following < ends:
            ends = closes
        found.append((opens, ends))
    return tuple(found)


def _with_step(problem: Problem, lot: Lot, step: Step, changed: dict[str, Any]) -> Problem:
    """Return a problem with one step of a lot's routing changed."""
    routing = _with(problem.routings[lot.routing], step, changed)
    routings = tuple(
        routing if i == lot.routing else other for i, other in enumerate(problem.routings)
    )
    return replace(problem, routings=routings)


def _with(routing: Routing, step: Step, changed: dict[str, Any]) -> Routing:
    """Return a routing with one of its steps changed."""
    other = replace(step, **changed)

    def put(steps: tuple[Step, ...]) -> tuple[Step, ...]:
        return tuple(other if each.index == step.index else each for each in steps)

    return replace(
        routing,
        steps=put(routing.steps),
        blocks=tuple(replace(block, steps=put(block.steps)) for block in routing.blocks),
    )
