"""One try at a plan under a policy, and what it is worth."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass, replace

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.order import Order
from mouldwright.domain.shop import Shop
from mouldwright.planning.alone import largest_batch
from mouldwright.planning.assemble import objective_of, weighted_finishes, without_idle_upkeep
from mouldwright.planning.bench import Bench
from mouldwright.planning.compiling import build_problem
from mouldwright.planning.construct import CutOff, Dispatch, HorizonTooShort, Stuck, Unplaceable
from mouldwright.planning.logged.missed import Missed
from mouldwright.planning.placed import Placed, Progress
from mouldwright.planning.plan import Task
from mouldwright.planning.policy import Policy
from mouldwright.planning.precheck import refuse_impossible
from mouldwright.planning.problem import Problem
from mouldwright.planning.queues import Queues
from mouldwright.planning.rules import batch_limits, portfolio

# Hours are laid out no further than this; a plan that needs more is refused.
FURTHEST_MIN = 40 * 366 * 1440
# Nor this far where all work stopped before half of it.
NEAR_MIN = 3 * 366 * 1440

# Weighted lateness, last finish, every order's finish by weight, attended minutes: the first
# that differs decides.
Value = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Attempt:
    """A whole plan as placed, and its worth.

    Attributes:
        value: Weighted lateness, last finish, finishes of all orders by weight, attended
            minutes: smaller is better.
        decisions: Blocks placed to build it.
    """

    value: Value
    tasks: list[Placed]
    progress: Progress
    policy: Policy
    decisions: int = 0


def value_of(problem: Problem, tasks: Sequence[Placed]) -> Value:
    """Return what a whole plan is worth."""
    worth = objective_of(problem, tasks)
    finishes = weighted_finishes(problem, tasks)
    return worth.weighted_late_min, worth.finish_min, finishes, worth.attended_min


class Engine:
    """Dispatches a problem again and again under different policies.

    Attributes:
        most: For each lot, the most units a batch may have.
        count: How many dispatches were run.
        least_finish: For each order, a minute before which it cannot finish; empty until known.
    """

    def __init__(self, problem: Problem, orders: Sequence[Order] | None = None) -> None:
        """Work on that problem; ``orders`` are those it was compiled from.

        Raises:
            HardLimit: if some work can never be done.
        """
        self.problem, self._orders = problem, orders
        self._refuse_impossible()
        self.queues = Queues(problem)
        self.most = tuple(
            largest_batch(problem, lot, most)
            for lot, most in zip(
                problem.lots, batch_limits(problem, with_others=False), strict=True
            )
        )
        self.unit_names = Bench(problem).unit_names
        self.count = 0
        self.least_finish: tuple[int, ...] = ()

    @classmethod
    def for_shop(
        cls,
        shop: Shop,
        *,
        now: int,
        orders: Sequence[Order] | None = None,
        running: Sequence[Task] = (),
        all_that_wait: bool = False,
        missed: Container[Missed] = (),
    ) -> Engine:
        """Compile a shop's open orders; arguments as in :func:`build_problem`."""
        problem = build_problem(
            shop,
            now=now,
            orders=orders,
            running=running,
            all_that_wait=all_that_wait,
            missed=missed,
        )
        return cls(problem, orders)

    def portfolio(self) -> Iterator[Policy]:
        """Yield the rules to begin with."""
        return portfolio(self.problem, self.queues, self.most, least_finish=self.least_finish)

    def attempt(self, policy: Policy) -> Attempt:
        """Return the plan a policy gives.

        Raises:
            HardLimit: if some work fits nowhere, however far hours are laid out.
        """
        attempt = self.attempt_within(policy, None)
        if attempt is None:
            raise ValueError("only a plan with a limit can be cut off")
        return attempt

    def attempt_within(self, policy: Policy, worst: Value | None) -> Attempt | None:
        """Return the plan a policy gives, or None once it is sure to be worse than ``worst``."""
        given = policy
        while True:
            self.count += 1
            dispatch = Dispatch(self.problem, self.queues, policy, worst)
            try:
                tasks = without_idle_upkeep(dispatch.run())
            except CutOff:
                return None
            except Stuck:
                if policy.careful:
                    raise HardLimit([self._stuck(dispatch)]) from None
                policy = replace(policy, careful=True)
                continue
            except HorizonTooShort:
                reached = max((task.end for task in dispatch.tasks), default=0)
                idle = 2 * reached < self.problem.horizon
                if idle and not policy.careful:
                    policy = replace(policy, careful=True)
                    continue
                if self.problem.horizon >= (NEAR_MIN if idle else FURTHEST_MIN):
                    raise HardLimit([self._stuck(dispatch)]) from None
                self.problem = self._laid_out_further()
                self.queues = Queues(self.problem)
                continue
            except Unplaceable as found:
                raise HardLimit([self._unplaceable(found)]) from None
            return Attempt(
                value=value_of(self.problem, tasks),
                tasks=tasks,
                progress=dispatch.progress,
                policy=given,
                decisions=dispatch.decisions,
            )

    def untouched(self) -> list[int]:
        """Return, for each lot, its units of which nothing has begun."""
        if not self.problem.has_begun:
            return [lot.units for lot in self.problem.lots]
        return Dispatch(self.problem, self.queues, next(self.portfolio())).underway.untouched()

    def _refuse_impossible(self) -> None:
        """Refuse what cannot be in the hours laid out, and not in hours further off either."""
        while True:
            try:
                far = self.problem.horizon >= NEAR_MIN
                refuse_impossible(self.problem, thorough=far, orders=self._orders)
            except HardLimit:
                if far:
                    raise
                self.problem = self._laid_out_further()
            else:
                return

    def _laid_out_further(self) -> Problem:
        """Return the problem with hours laid out twice as far."""
        problem = self.problem
        return build_problem(
            problem.shop,
            now=problem.now,
            orders=self._orders,
            running=problem.running,
            horizon=2 * problem.horizon,
        )

    def _stuck(self, dispatch: Dispatch) -> str:
        """Name what is left waiting when nothing can go on."""
        names = []
        for q, waiting in enumerate(dispatch.waiting):
            queue = self.queues.all[q]
            if waiting and queue.block is not None:
                lot = self.problem.lots[queue.lot]
                process = self.problem.routings[lot.routing].key
                names.append(f"{process}: {queue.block.steps[0].name} of {lot.part}")
        what = "; ".join(names[:5]) or "some work"
        return f"no hours, moulds or stations allow this to go on: {what}."

    def _unplaceable(self, found: Unplaceable) -> str:
        lot = self.problem.lots[found.lot]
        process = self.problem.routings[lot.routing].key
        first, last = found.block.steps[0].name, found.block.steps[-1].name
        span = first if first == last else f"{first} to {last}"
        return (
            f"{process}: {span} must be done in one go, and no hours allow it; "
            "a longer greatest wait, a longer pot life or longer hours would."
        )
