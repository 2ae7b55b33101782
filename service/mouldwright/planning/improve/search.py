"""Anytime local search over policies.

Late acceptance: a change is kept if its plan is no worse than the one held so many tries
ago (Burke and Bykov 2017; from memory). It needs no temperature, compares the parts of
the objective in their order, and gives the same plan for the same seed and number of tries.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from mouldwright.planning.attempt import Attempt, Engine, Value
from mouldwright.planning.improve.moves import Moves

# How many tries ago the plan was made that a new one must match.
MEMORY = 25
# After so many tries without a better plan the search goes back to the best.
RETURN_AFTER = 200
# Once no plan can be less late or finish sooner, so many tries go to the other orders' finishes.
SETTLE_TRIES = 150


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """Where a search stands.

    Attributes:
        best: Weighted minutes late, last finish, finishes by weight and attended minutes of
            the best plan so far.
        bound: Lower bound on the first of them that is not zero; None where unknown.
        gap: (value - bound) / value for that part.
        trying: What is being tried, in words.
        tries: How many plans were built.
    """

    best: Value
    bound: int | None
    gap: float | None
    trying: str
    tries: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """When a search stops, whichever comes first.

    Attributes:
        until: Reading of the monotonic clock; infinite where only work counts.
        tries: Plans built; None for no limit.
        good_enough: Weighted lateness, last finish and, if it is known, finishes by weight
            that no plan can beat.
        cancelled: Asked before every try.
        rules_until: Reading of the clock at which no further rule is begun.
        least: Plans that are built whatever the clock says, so that what a small shop is told
            does not hang on how busy the machine is.
    """

    until: float
    tries: int | None
    good_enough: tuple[int, ...]
    cancelled: Callable[[], bool] | None = None
    rules_until: float = math.inf
    least: int = 0

    def proven(self, best: Value) -> bool:
        """Return whether no plan is less late or finishes sooner."""
        return best[0] <= self.good_enough[0] and best[1] <= self.good_enough[1]

    def reached(self, best: Value, tries: int) -> bool:
        """Return whether the search should stop."""
        return (
            all(a <= b for a, b in zip(best, self.good_enough, strict=False))
            or (self.tries is not None and tries >= self.tries)
            or (tries >= self.least and time.monotonic() >= self.until)
            or (self.cancelled is not None and self.cancelled())
        )


def first_plans(
    engine: Engine, best: Attempt, limits: Limits, report: Callable[[Attempt, str], None]
) -> Attempt:
    """Return the best of a plan and those of the portfolio, as far as the limits allow."""
    for policy in engine.portfolio():
        if limits.proven(best.value) or limits.reached(best.value, engine.count):
            break
        if engine.count >= limits.least and time.monotonic() >= limits.rules_until:
            break
        if policy == best.policy:
            continue
        attempt = engine.attempt_within(policy, best.value)
        if attempt is not None and attempt.value < best.value:
            best = attempt
        report(best, policy.name)
    return best


def improve(
    engine: Engine,
    start: Attempt,
    *,
    seed: int,
    limits: Limits,
    report: Callable[[Attempt, str], None],
) -> Attempt:
    """Return the best plan found from ``start``."""
    random = Random(seed)
    moves = Moves(engine.problem, engine.queues, engine.most)
    best = current = start
    memory: list[Value] = [start.value] * MEMORY
    since_best = tries = settling = 0
    while not limits.reached(best.value, engine.count):
        if limits.proven(best.value):
            settling += 1
            if settling > SETTLE_TRIES:
                break
        policy = moves.change(current.policy, random, current.value[1], current.decisions)
        worst = max(memory[tries % MEMORY], current.value)
        attempt = engine.attempt_within(policy, worst)
        tries += 1
        since_best += 1
        if attempt is not None:
            if attempt.value <= current.value or attempt.value <= memory[tries % MEMORY]:
                current = attempt
            if attempt.value < best.value:
                best, since_best = attempt, 0
                report(best, "changes of priority")
        memory[tries % MEMORY] = current.value
        if since_best >= RETURN_AFTER:
            current, since_best = best, 0
            memory = [best.value] * MEMORY
    return best
