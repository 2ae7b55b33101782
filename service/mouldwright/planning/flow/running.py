"""One run of the solver: its clock and budget, what is known so far, and its reports."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

from mouldwright.planning.flow.anneal import Search
from mouldwright.planning.flow.dispatch import Dispatcher
from mouldwright.planning.flow.finish import FinishBound
from mouldwright.planning.flow.instance import FlowInstance, FlowResult, value_of
from mouldwright.planning.flow.stages import lay_out, unfold

# Least seconds between two reports of progress.
REPORT_EVERY = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """The best bound so far.

    Attributes:
        value: On the objective.
        late: On weighted minutes late.
        finish: On the minute of the last end.
        name: Which argument gave it.
    """

    value: int
    late: int
    finish: int
    name: str


class Run:
    """One run: its clock, its budget, and what is known so far."""

    def __init__(
        self,
        instance: FlowInstance,
        *,
        seconds: float,
        seed: int,
        work_limit: int | None,
        least: int,
        progress: Callable[[FlowResult], None] | None,
        cancelled: Callable[[], bool] | None,
    ) -> None:
        """Start the clock and lay the problem out; arguments as in ``solve_flow``."""
        self.began = time.monotonic()
        self.instance = instance
        self.seconds = seconds
        self.seed = seed
        self.work_limit = work_limit
        self.least = least
        self.progress = progress
        self.cancelled = cancelled
        self.stages = lay_out(instance)
        self.finish = FinishBound(self.stages)
        self.search = Search(instance, Dispatcher(self.stages), arrays=False)
        self.bound = Bound(value=0, late=0, finish=instance.origin, name="none")
        self._reported = (-1.0, -1)

    @property
    def elapsed(self) -> float:
        """Return seconds since the run began."""
        return time.monotonic() - self.began

    @property
    def over(self) -> bool:
        """Return whether its time has run out; a little work may still be owed."""
        return self.elapsed >= self.seconds

    @property
    def met(self) -> bool:
        """Return whether the best plan is proven best."""
        return self.search.best is not None and self.search.best.value <= self.bound.value

    @property
    def told_to_stop(self) -> bool:
        """Return whether whoever asked has had enough."""
        return self.cancelled is not None and self.cancelled()

    def used(self, until: float = 1.0) -> float:
        """Return the share of so much of the budget that is used."""
        if self.told_to_stop:
            return 1.0
        # Whoever asks may have spent all the time before this began.
        share = self.elapsed / (self.seconds * until) if self.seconds > 0 else 1.0
        if self.least:
            share = min(share, self.search.passes / (self.least * until))
        if self.work_limit is not None:
            share = max(share, self.search.passes / (self.work_limit * until))
        self.report()
        return share

    def search_share(self) -> float:
        """Return what ``used`` says, by work alone where the run is to repeat."""
        share = self.used()
        if self.work_limit is not None and share < 1.0:
            return self.search.passes / self.work_limit
        return share

    def report(self, *, now: bool = False) -> None:
        """Tell of a better plan, not too often."""
        best = self.search.best
        if self.progress is None or best is None:
            return
        since, value = self._reported
        if best.value != value and (now or self.elapsed - since >= REPORT_EVERY):
            self._reported = (self.elapsed, best.value)
            self.progress(self.result())

    def result(self) -> FlowResult:
        """Return the best plan and bound so far."""
        best = self.search.best
        assert best is not None
        assert best.starts is not None
        finishes = {
            order.id: at for order, at in zip(self.instance.orders, best.finishes, strict=True)
        }
        value, late, finish = value_of(self.instance, finishes)
        bound = min(self.bound.value, value)
        return FlowResult(
            starts=unfold(self.instance, self.stages, list(best.starts)),
            value=value,
            weighted_late_min=late,
            finish_min=finish,
            finishes=sum(
                order.weight * (finishes[order.id] - self.instance.origin)
                for order in self.instance.orders
            ),
            bound=bound,
            bound_name=self.bound.name,
            proven=bound == value,
        )
