"""The nearest change that would let work be done which fits nowhere as it is."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from mouldwright.planning.alone import dispatch_alone
from mouldwright.planning.construct import HorizonTooShort, Stuck, Unplaceable
from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.routing import NEVER, Block, Routing, Step

# A limit is loosened by no more than this; beyond it the hours are what is wrong.
FURTHEST_MIN = 14 * 1440


def nearest_changes(problem: Problem, lot: Lot, block: Block) -> list[str]:
    """Return the least change of each limit that alone would let a block be placed, in words."""
    found = []
    for step in block.steps:
        if step.wait_max < NEVER:
            least = _least(problem, lot, step, "wait_max", step.wait_max)
            if least is not None:
                found.append(f"a greatest wait of {least} min before {step.name}")
        if step.pot_until >= 0 and step.pot_life_min < NEVER:
            least = _least(problem, lot, step, "pot_life_min", step.pot_life_min)
            if least is not None:
                found.append(f"a pot life of {least} min of {step.operation.material}")
    return found


def _least(problem: Problem, lot: Lot, step: Step, name: str, limit: int) -> int | None:
    """Return the least value of one of a step's limits that lets one unit through; None for none.

    Looser limits never take away what tighter ones allow, so halving finds it.
    """
    low, high = limit, limit + FURTHEST_MIN
    if not _fits(problem, lot, step, {name: high}):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        if _fits(problem, lot, step, {name: middle}):
            high = middle
        else:
            low = middle
    return high


def _fits(problem: Problem, lot: Lot, step: Step, changed: dict[str, Any]) -> bool:
    routing = _with(problem.routings[lot.routing], step, changed)
    routings = tuple(
        routing if i == lot.routing else other for i, other in enumerate(problem.routings)
    )
    try:
        dispatch_alone(replace(problem, routings=routings), lot, 1)
    except (Unplaceable, HorizonTooShort, Stuck):
        return False
    return True


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
