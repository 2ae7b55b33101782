"""A few units of one lot alone in the shop: what no plan of all orders can beat or escape."""

from __future__ import annotations

from dataclasses import replace

from mouldwright.planning.construct import Dispatch, HorizonTooShort, Unplaceable
from mouldwright.planning.policy import Policy
from mouldwright.planning.problem import Demand, Lot, Problem
from mouldwright.planning.queues import Queues
from mouldwright.planning.routing import BATCH, NEVER, ORDER, least_min

# Longer than any unit takes to come to its batch.
LONG_ENOUGH = 5 * 1440


def alone(problem: Problem, lot: Lot, units: int, *, release: int | None = None) -> Problem:
    """Return the problem of that many units of one lot with every mould and person at hand."""
    steps = problem.routings[lot.routing].steps
    durations = tuple(
        least_min(s, units * lot.cavities) if s.level == ORDER else minutes
        for s, minutes in zip(steps, lot.durations, strict=True)
    )
    single = replace(
        lot,
        index=0,
        order=-1 if lot.order < 0 else 0,
        units=units,
        durations=durations,
        release=lot.release if release is None else release,
        builds=-1,
        after_lots=(),
        skips=(),
    )
    demands: tuple[Demand, ...] = ()
    if lot.order >= 0:
        demands = (replace(problem.demands[lot.order], lots=(0,), starts=units * lot.cavities),)
    return replace(
        problem,
        lots=(single,),
        demands=demands,
        tools=tuple(
            # Moulds that serve others alone are out of its way.
            replace(
                tool,
                built_by=-1,
                pulls=0,
                since=0,
                life_left=NEVER if t in lot.tools else 0,
                proof=0,
            )
            for t, tool in enumerate(problem.tools)
        ),
        running=(),
    )


def dispatch_alone(problem: Problem, lot: Lot, units: int) -> Dispatch:
    """Return a finished dispatch of that many units alone, batches as large as they can be.

    Raises:
        Unplaceable: if some block fits nowhere in the known hours.
        Stuck: if what it needs can never be had.
    """
    single = alone(problem, lot, units)
    queues = Queues(single)
    dispatch = Dispatch(
        single,
        queues,
        Policy(
            rank=tuple(range(len(queues.all))),
            batch_target=(units,),
            patience_min=(LONG_ENOUGH,),
            gate=(0,),
            name="alone",
        ),
    )
    try:
        dispatch.run()
    except HorizonTooShort:
        for q, waiting in enumerate(dispatch.waiting):
            block = queues.all[q].block
            if waiting and block is not None:
                raise Unplaceable(lot.index, block) from None
        raise
    return dispatch


def largest_batch(problem: Problem, lot: Lot, most: int) -> int:
    """Return how many units really go together, of the ``most`` that the stated limits allow.

    Pot life and hours may allow fewer; they are tried in an empty shop.
    """
    blocks = problem.routings[lot.routing].blocks
    if most <= 1 or not any(b.forms >= 0 and len(b.steps) > 1 for b in blocks):
        return most
    dispatch = dispatch_alone(problem, lot, most)
    sizes = [len(task.items) for task in dispatch.tasks if task.step.level == BATCH]
    return max(sizes, default=1)
