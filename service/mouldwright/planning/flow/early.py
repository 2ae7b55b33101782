"""How much work can have been done by a minute at the most, early idle hands counted.

On the first day there is often less to do than there are hands: moulds are filled and then
everyone waits for the cure. Work done by a minute m is at most what can have been done by an
earlier minute s if hands were without number, plus the person-minutes open from s to m. Without
number of hands the k-th unit to take a copy of a pool of c takes it no earlier than the
(k div c)-th round of the pool's shortest visits allows, and goes on from there through the
openings; of the orders that share the pool, the one that asks for most is counted.
"""

from __future__ import annotations

from collections.abc import Sequence

from mouldwright.planning.flow.chains import Visit
from mouldwright.planning.flow.finish import FinishBound
from mouldwright.planning.flow.stages import NEVER

# Later there is work enough for all hands, or the bound does not turn on it.
LOOK_AT_MOMENTS = 16


def most_work(finish: FinishBound, moments: Sequence[int]) -> list[int]:
    """Return, for each minute, the most person-minutes of work that can be done before it.

    Args:
        finish: The instance's bounds.
        moments: Minutes, ascending.
    """
    reach = finish.reach
    found = [reach.person_minutes(at) for at in moments]
    spare = 0
    for index, since in enumerate(moments[:LOOK_AT_MOMENTS]):
        spare = max(spare, found[index] - _without_hands(finish, since))
        found[index] -= spare
    return [
        minutes - (spare if index >= LOOK_AT_MOMENTS else 0) for index, minutes in enumerate(found)
    ]


def _without_hands(finish: FinishBound, until: int) -> int:
    """Return the most work that can be done before a minute by hands without number."""
    stages = finish.reach.stages
    # Orders whose first stage takes a copy of a pool wait for each other there.
    sharing: dict[int, list[Visit]] = {}
    for visit in finish.chains.visits:
        if visit.taken_at == stages.first[visit.order]:
            sharing.setdefault(visit.pool, []).append(visit)
    total = 0
    counted: set[int] = set()
    for pool, visits in sharing.items():
        mine = [visit for visit in visits if visit.order not in counted]
        rounds = finish.chains.rounds(pool, until)
        if rounds is None:
            continue
        units = sum(stages.units[visit.taken_at] for visit in mine)
        for since in rounds:
            here = min(stages.copies(pool), units)
            units -= here
            total += here * max(
                (_one_unit(finish, visit.order, since, until) for visit in mine), default=0
            )
        counted |= {visit.order for visit in mine}
    for order in range(stages.orders):
        if order not in counted:
            total += _alone(finish, order, until)
    return total


def _one_unit(finish: FinishBound, order: int, since: int, until: int) -> int:
    """Return the work on one unit, begun at a minute or later, that lies before another."""
    reach, stages = finish.reach, finish.reach.stages
    now, done = max(since, stages.release[order]), 0
    for stage in stages.stages_of(order):
        start = reach.fit(now, stages.duration[stage])
        if start >= min(until, NEVER):
            break
        done += min(stages.duration[stage], until - start)
        now = start + stages.duration[stage] + stages.lag[stage]
    return done


def _alone(finish: FinishBound, order: int, until: int) -> int:
    """Return the work on an order before a minute as its own units' windows allow."""
    stages = finish.reach.stages
    return sum(
        min(stages.duration[stage], max(0, until - start))
        for row in finish.units.earliest_starts(order)
        for stage, start in zip(stages.stages_of(order), row, strict=True)
    )
