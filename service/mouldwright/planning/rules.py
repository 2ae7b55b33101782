"""The portfolio of rules a plan is begun with. No single one is safe."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from mouldwright.planning.policy import Policy
from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.queues import Queues
from mouldwright.planning.routing import NEVER, duration_min

# How long a batch waits for more at the least, where it is told to wait.
PATIENCE_MIN = 45

# How much a block counts against another of the same lot: lower goes first.
BlockRule = Callable[[int, int, bool], float]


def mould_first(index: int, count: int, keeps: bool) -> float:
    """Prefer what a mould or station waits for, the later step first."""
    return (count - index) / (count + 1) + (0.0 if keeps else 1.0)


def finish_first(index: int, count: int, keeps: bool) -> float:
    """Prefer what is nearest to being finished."""
    return (count - index) / (count + 1)


def start_first(index: int, count: int, keeps: bool) -> float:
    """Prefer what has most still to come."""
    return index / (count + 1)


def mould_then_start(index: int, count: int, keeps: bool) -> float:
    """Prefer what a mould or station waits for, the earlier step first."""
    return index / (count + 1) + (0.0 if keeps else 1.0)


# The most promising first; likewise the rules for orders below.
BLOCK_RULES: dict[str, BlockRule] = {
    "moulds, then starts": mould_then_start,
    "moulds first": mould_first,
    "finish first": finish_first,
    "start first": start_first,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Weights:
    """What a rank is made of.

    Attributes:
        lots: For each lot its urgency, lower first; equal lots compete by block.
        blocks: For each routing, what each block counts.
        by_lot: Whether the lot decides before the block does.
    """

    lots: tuple[float, ...]
    blocks: tuple[tuple[float, ...], ...]
    by_lot: bool


def block_weights(problem: Problem, rule: BlockRule) -> tuple[tuple[float, ...], ...]:
    """Return what each block of each routing counts under a rule."""
    found = []
    for routing in problem.routings:
        count = len(routing.blocks)
        found.append(
            tuple(
                rule(block.index, count, any(step.within for step in block.steps))
                for block in routing.blocks
            )
        )
    return tuple(found)


def ranks(problem: Problem, queues: Queues, weights: Weights) -> tuple[int, ...]:
    """Return each queue's rank, all different."""
    keys: list[tuple[float, float, int]] = []
    upkeep: dict[int, tuple[float, float]] = {}
    for q, queue in enumerate(queues.all[: queues.upkeep_base]):
        lot = problem.lots[queue.lot]
        block = queue.block.index if queue.block else 0
        urgency, cost = weights.lots[queue.lot], weights.blocks[lot.routing][block]
        key = (urgency, cost) if weights.by_lot else (cost, urgency)
        keys.append((*key, q))
        if queue.block is not None and queue.block.takes_mould:
            for family in {problem.tools[t].family for t in lot.tools}:
                upkeep[family] = min(upkeep.get(family, key), key)
    for f in range(len(problem.families)):
        # A mould is conditioned as urgently as it is wanted.
        first, second = upkeep.get(f, (0.0, 0.0))
        keys.append((first, second, -1 - f))
    order = sorted(range(len(keys)), key=lambda q: keys[q])
    found = [0] * len(keys)
    for rank, q in enumerate(order):
        found[q] = rank
    return tuple(found)


def tails(problem: Problem) -> list[int]:
    """Return the minutes one unit of each lot takes from its first step to its last."""
    found = []
    for lot in problem.lots:
        steps = problem.routings[lot.routing].steps
        found.append(
            sum(lot.durations[s.index] or duration_min(s.operation, lot.cavities) for s in steps)
        )
    return found


def lot_orders(problem: Problem, least_finish: Sequence[int]) -> dict[str, tuple[float, ...]]:
    """Return the urgency of every lot under each rule for orders.

    Args:
        problem: The problem.
        least_finish: For each order, a minute before which it cannot finish.
    """
    tail = tails(problem)
    due: list[float] = []
    weight: list[float] = []
    for lot in problem.lots:
        demand = problem.demands[lot.order] if lot.order >= 0 else None
        if demand is None:
            # A mould to be made is as urgent as the first order that needs it.
            users = [
                o for o in problem.lots if max(lot.builds, lot.proves) in o.tools and o.order >= 0
            ]
            dues = [problem.demands[o.order].due for o in users]
            due.append(min((d for d in dues if d is not None), default=NEVER))
            weight.append(max((problem.demands[o.order].weight for o in users), default=1))
        else:
            due.append(NEVER if demand.due is None else demand.due)
            weight.append(demand.weight)
    work = [tail[lot.index] * lot.units for lot in problem.lots]
    count = range(len(problem.lots))
    # A mould to be made has its own time to spare taken from whoever waits for it.
    least = [least_finish[lot.order] if lot.order >= 0 else tail[lot.index] for lot in problem.lots]
    return {
        "weight over work": tuple(work[i] / max(weight[i], 1) for i in count),
        "least to spare": tuple(due[i] - least[i] for i in count),
        "earliest due": tuple(due),
        "least slack": tuple(due[i] - tail[i] - work[i] / max(1, len(count)) for i in count),
        "longest first": tuple(float(-work[i]) for i in count),
        "as listed": tuple(float(i) for i in count),
    }


def batch_limits(problem: Problem, *, with_others: bool = True) -> tuple[int, ...]:
    """Return for each lot the most units a batch may have by its stated limits.

    Args:
        problem: The problem.
        with_others: Whether units of other lots that may share its batches count; else they
            count only in a load that is not mixed, for which it is worth waiting for them.
    """
    totals = [0] * len(problem.routings)
    for lot in problem.lots:
        totals[lot.routing] += lot.units if lot.order >= 0 else 0
    found = []
    for lot in problem.lots:
        routing = problem.routings[lot.routing]
        mixes = any(step.chain >= 0 and step.operation.material for step in routing.steps)
        most = lot.units
        if lot.order >= 0 and (with_others or not mixes):
            most = totals[lot.routing]
        for chain, limit in enumerate(routing.limits):
            most = min(most, limit.units, limit.parts // max(lot.cavities, 1))
            if lot.loads_ug[chain]:
                most = min(most, limit.mass_ug // lot.loads_ug[chain])
            for step in routing.steps:
                need = lot.matrix_ug.get(step.index, 0)
                if need and step.chain == chain:
                    most = min(most, limit.mixed_ug // need)
        found.append(max(int(most), 1))
    return tuple(found)


def patience(problem: Problem, lot: Lot) -> int:
    """Return how long a batch of a lot may wait for more: half of what it then takes alone."""
    longest = max(
        (
            duration_min(step.operation, lot.cavities)
            for step in problem.routings[lot.routing].steps
            if step.chain >= 0 and step.crew < 0
        ),
        default=0,
    )
    return max(PATIENCE_MIN, longest // 2)


def portfolio(
    problem: Problem,
    queues: Queues,
    most: Sequence[int],
    *,
    least_finish: Sequence[int] = (),
) -> Iterator[Policy]:
    """Yield the rules to begin with, the most promising first.

    Args:
        problem: The problem.
        queues: Its queues.
        most: For each lot, the most units a batch may have.
        least_finish: For each order, a minute before which it cannot finish; empty for unknown.
    """
    orders = lot_orders(problem, least_finish or [0] * len(problem.demands))
    one_lot = len(problem.lots) == 1
    names = ["earliest due"] if one_lot else list(orders)
    shares = [1, 3, 2] if any(m > 1 for m in most) else [1]
    plain = tuple(0 for _ in problem.lots)
    waits = tuple(patience(problem, lot) for lot in problem.lots)
    choices = itertools.product(
        enumerate(names), enumerate(BLOCK_RULES), enumerate(shares), (False,) if one_lot else (0, 1)
    )
    # A plan that is not searched for is made by the first: moulds kept turning, dates heeded.
    # After it what differs little from the best comes first, so that every kind comes soon.
    first = (names[min(1, len(names) - 1)], "moulds first", shares[0], False)
    for (_, order), (_, rule), (_, share), by_lot in sorted(
        choices,
        key=lambda c: (
            (c[0][1], c[1][1], c[2][1], c[3]) != first,
            c[0][0] + c[1][0] + c[2][0] + c[3],
            c,
        ),
    ):
        weights = Weights(
            lots=orders[order],
            blocks=block_weights(problem, BLOCK_RULES[rule]),
            by_lot=bool(by_lot),
        )
        yield Policy(
            rank=ranks(problem, queues, weights),
            batch_target=tuple(max(1, -(-m // share)) for m in most),
            patience_min=waits,
            gate=plain,
            name=f"{rule}, {order}" + (", order by order" if by_lot else ""),
        )
