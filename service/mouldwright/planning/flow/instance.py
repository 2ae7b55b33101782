"""The flow model: what is given and what a solution says.

Units of orders go through a chain of steps. An attended step takes one person for its
whole length, inside one opening, and may wait for its turn; an unattended step starts
exactly when the step before it ends and runs through closed time. A hold keeps one
copy of a pool (a mould, a printer) from the start of one step to the end of a later
one, waiting included. People are interchangeable and counted per opening. Times are
whole minutes on any one axis; intervals are half-open.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

# Per order, per unit, the start of each step.
Starts = tuple[tuple[tuple[int, ...], ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowStep:
    """One step of every unit of an order."""

    name: str
    duration_min: int
    attended: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowHold:
    """One copy of a pool, held from the start of step ``first`` to the end of ``last``.

    Attributes:
        first: Place of a step in the chain, from 0; an attended one.
        last: Place of the same or a later step.
    """

    pool: str
    first: int
    last: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowOrder:
    """So many identical units.

    Attributes:
        release: Minute before which no step starts.
        due: Minute the last unit should end by; None where there is no date.
        weight: What a minute late counts.
    """

    id: str
    quantity: int
    release: int
    due: int | None
    weight: int
    steps: tuple[FlowStep, ...]
    holds: tuple[FlowHold, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowInstance:
    """A problem of plain flow.

    The value to make small is ``lateness_weight`` x sum(weight x minutes late) +
    ``finish_weight`` x minutes from ``origin`` to the end of the last step of all.

    Attributes:
        origin: Minute from which the finish is counted.
        windows: Openings (open, close, persons), in order and apart.
        pools: Copies of each pool.
    """

    origin: int
    windows: tuple[tuple[int, int, int], ...]
    pools: Mapping[str, int]
    orders: tuple[FlowOrder, ...]
    lateness_weight: int
    finish_weight: int

    def __post_init__(self) -> None:
        """Raise ValueError where the model cannot be planned by this engine."""
        last = None
        for opens, closes, persons in self.windows:
            if opens >= closes or persons < 0 or (last is not None and opens < last):
                raise ValueError("openings must be in order, apart and not empty")
            last = closes
        if min(self.lateness_weight, self.finish_weight) < 0:
            raise ValueError("the weights of the objective are not negative")
        if len({order.id for order in self.orders}) != len(self.orders):
            raise ValueError("every order needs an id of its own")
        for order in self.orders:
            _check_order(order, self.pools)
        if _waits_in_a_circle(self.orders):
            raise ValueError("orders take pools in opposite order and could block each other")


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowResult:
    """A plan and how good it is proven to be.

    Attributes:
        starts: Per order (as given), per unit, the start of each step.
        value: The objective, in its own units.
        weighted_late_min: Sum of weight x minutes late.
        finish_min: Minutes from the origin to the last end.
        finishes: Sum over orders of weight x minutes from the origin to the order's last end.
        bound: Proven lower bound on ``value``.
        bound_name: Which argument gave it, in words.
        proven: Whether no plan can be better.
    """

    starts: Starts
    value: int
    weighted_late_min: int
    finish_min: int
    finishes: int
    bound: int
    bound_name: str
    proven: bool


def _check_order(order: FlowOrder, pools: Mapping[str, int]) -> None:
    """Raise ValueError where an order breaks a rule of the model."""
    steps = order.steps
    if order.quantity < 1 or not steps or order.weight < 0:
        raise ValueError(f"order {order.id} needs units, steps and a weight that is not negative")
    if not steps[0].attended:
        raise ValueError(f"order {order.id}: someone starts a unit, so its first step is attended")
    if any(step.duration_min < 0 for step in steps):
        raise ValueError(f"order {order.id}: a step is too short")
    for hold in order.holds:
        if pools.get(hold.pool, 0) < 1:
            raise ValueError(f"order {order.id}: pool {hold.pool} is empty or unknown")
        if not 0 <= hold.first <= hold.last < len(steps):
            raise ValueError(f"order {order.id}: a hold lies outside the chain")
        if not steps[hold.first].attended:
            raise ValueError(f"order {order.id}: a hold must begin with an attended step")


def _waits_in_a_circle(orders: tuple[FlowOrder, ...]) -> bool:
    """Return whether some unit may wait for a pool while holding one wanted the other way."""
    after: dict[str, set[str]] = {}
    for order in orders:
        for held in order.holds:
            for wanted in order.holds:
                if held is wanted or not held.first <= wanted.first <= held.last:
                    continue
                if held.pool == wanted.pool:
                    return True
                if held.first < wanted.first:
                    after.setdefault(held.pool, set()).add(wanted.pool)
    done: set[str] = set()

    def circles(pool: str, above: frozenset[str]) -> bool:
        if pool in above:
            return True
        if pool in done:
            return False
        if any(circles(other, above | {pool}) for other in after.get(pool, ())):
            return True
        done.add(pool)
        return False

    return any(circles(pool, frozenset()) for pool in after)


def value_of(instance: FlowInstance, finishes: Mapping[str, int]) -> tuple[int, int, int]:
    """Return (value, weighted minutes late, finish in minutes) of orders ending so.

    Args:
        instance: The problem.
        finishes: Minute of the last end of each order, by id.
    """
    late = sum(
        order.weight * max(0, finishes[order.id] - order.due)
        for order in instance.orders
        if order.due is not None
    )
    finish = max(finishes.values(), default=instance.origin) - instance.origin
    value = instance.lateness_weight * late + instance.finish_weight * finish
    return value, late, finish
