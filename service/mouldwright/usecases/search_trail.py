"""How a search came to where it stands, kept short enough to be written down each time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mouldwright.planning.plan import Plan
from mouldwright.usecases.kept_run import TrailStep
from mouldwright.usecases.ports import Clock

if TYPE_CHECKING:  # the search itself is slow to import, and only a worker needs it
    from mouldwright.planning.improve.search import Report

MOST_STEPS = 120


class Trail:
    """Notes each better plan and each higher bound, with the seconds since it was begun."""

    def __init__(self, clock: Clock) -> None:
        """Begin now."""
        self._clock, self._began = clock, clock()
        self._steps: list[TrailStep] = []

    @property
    def steps(self) -> tuple[TrailStep, ...]:
        """Return what was noted, in order."""
        return tuple(self._steps)

    def first(self, plan: Plan) -> None:
        """Note the plan that was there before the search."""
        objective = plan.objective
        self._note(objective.weighted_late_min, objective.finish_min, plan.bound)

    def note(self, report: Report) -> None:
        """Note where the search stands, if it stands better than before."""
        late, finish, *_ = report.best
        self._note(late, finish, report.bound)

    def _note(self, late: int, finish: int, bound: int | None) -> None:
        step = TrailStep(
            seconds=round((self._clock() - self._began).total_seconds(), 2),
            weighted_late_min=late,
            finish_min=finish,
            bound=bound,
        )
        if self._steps and _stands(self._steps[-1]) == _stands(step):
            return
        self._steps.append(step)
        if len(self._steps) > MOST_STEPS:
            # Every other one of the earlier goes: the shape stays, the list stays short.
            self._steps[:] = [*self._steps[:-20:2], *self._steps[-20:]]


def _stands(step: TrailStep) -> tuple[int, int, int | None]:
    return step.weighted_late_min, step.finish_min, step.bound
