"""How often machine runs fail in an hour, by the log, drawn toward the standard while few.

Failures come the same in every hour, so their number in T hours is Poisson. With a gamma prior as
sure as ``PRIOR_HOURS`` hours at the standard r, h of them, and f failures noted, the rate is
(h r + f) / (h + T), and its interval the gamma distribution's of shape h r + f and rate h + T.
Gelman et al., Bayesian Data Analysis, 3rd ed., section 2.6, from memory.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from mouldwright.domain.process.operation import Operation
from mouldwright.domain.record.done import DoneTask, tasks_done
from mouldwright.domain.record.learnt_times import operations_of, standard_of
from mouldwright.domain.record.unattended import is_machine_run
from mouldwright.domain.shop import Shop
from mouldwright.domain.special import gammaincinv

# The prior's weight: twenty prints of five hours; and how near to none a standard of "never" is
# taken to be: half a failure in those. Common practice, no source.
PRIOR_HOURS = 100
CONFIDENCE = 0.9
# Of a machine that should never fail, one failure is chance; common practice, no source.
LEAST_FAILURES = 2
_HALF = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class LearntFailures:
    """What the log says of how often one operation fails in an hour.

    Attributes:
        process: Key of the process.
        runs: That came through or failed.
        failed: Of those, noted as stopped.
        hours: That they ran, as written: a plan counts its failures by those.
        rate: Failures in an hour, drawn toward the standard.
        least: With 90 % confidence it lies from here
        most: to here.
        entries: Numbers of the entries that tell of those that failed.
    """

    process: str
    operation: Operation
    runs: int
    failed: int
    hours: float
    rate: float
    least: float
    most: float
    entries: tuple[int, ...]

    @property
    def differs(self) -> bool:
        """Return whether it is not the standard, as surely as the interval is."""
        standard = float(self.operation.failures_per_hour)
        if not standard:
            return self.failed >= LEAST_FAILURES
        return not self.least <= standard <= self.most


def learnt_failures(shop: Shop) -> tuple[LearntFailures, ...]:
    """Return what the log says of every machine run that anything went through."""
    every: dict[tuple[str, str], list[DoneTask]] = {}
    for done in tasks_done(shop.log):
        if done.state != "running":
            every.setdefault((done.task.process, done.task.operation), []).append(done)
    return tuple(
        _learnt(shop, process, operation, every[process, operation.name])
        for process, operation in operations_of(shop)
        if (process, operation.name) in every and is_machine_run(shop, process, operation)
    )


def failure_rate(standard: float, hours: float, failed: int) -> tuple[float, float, float]:
    """Return the failures in an hour, drawn toward the standard, and the interval's two ends.

    Args:
        standard: Failures in an hour, at least 0.
        hours: That were run.
        failed: Times it failed in those.
    """
    shape, whole = max(PRIOR_HOURS * standard, _HALF) + failed, PRIOR_HOURS + hours
    low, high = (1 - CONFIDENCE) / 2, (1 + CONFIDENCE) / 2
    least, most = (float(gammaincinv(shape, end)) / whole for end in (low, high))
    return shape / whole, least, most


def _learnt(
    shop: Shop, process: str, operation: Operation, tasks: Iterable[DoneTask]
) -> LearntFailures:
    tasks = tuple(tasks)
    failed = [done for done in tasks if done.state == "stopped"]
    hours = float(sum((_run_min(shop, operation, done) for done in tasks), Fraction(0))) / 60
    rate, least, most = failure_rate(float(operation.failures_per_hour), hours, len(failed))
    return LearntFailures(
        process=process,
        operation=operation,
        runs=len(tasks),
        failed=len(failed),
        hours=hours,
        rate=rate,
        least=least,
        most=most,
        entries=tuple(number for done in failed for number in done.entries),
    )


def _run_min(shop: Shop, operation: Operation, done: DoneTask) -> Fraction:
    """Return the minutes it ran: all that is written once it came through.

    One that failed ran until that was noted, and no longer than is written: nobody may have
    looked until morning. Where its start is not known either, half is as good a guess as any.
    """
    standard = standard_of(shop, operation, done)
    if done.state == "done":
        return standard
    if done.worked_min is None:
        return standard / 2
    return min(Fraction(done.worked_min), standard)
