"""Which share passes each operation, by the log, drawn toward the standard while few.

Of n parts (or pulls, where the rate is by pull) g pass. With a beta prior as sure as
``PRIOR_STARTS`` of them at the standard p, k of them, the share is (k p + g) / (k + n), and its
interval the beta distribution's of k p + g and k (1 - p) + n - g. Gelman et al., Bayesian Data
Analysis, 3rd ed., section 2.4, from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from mouldwright.domain.process.operation import Operation
from mouldwright.domain.record.done import DoneTask, tasks_done
from mouldwright.domain.record.kept_log import in_force
from mouldwright.domain.record.learnt_times import operations_of
from mouldwright.domain.record.log import Happening, LogEntry, LoggedMember
from mouldwright.domain.record.pulls import PartNumbers
from mouldwright.domain.shop import Shop
from mouldwright.domain.special import betaincinv

# The prior's weight, and how near to certain a standard of "always" is taken to be: half a start
# of those may fail. Common practice, no source.
PRIOR_STARTS = 20
CONFIDENCE = 0.9
# What fails of an operation that should always pass: one is chance; common practice, no source.
LEAST_SCRAPPED = 2
_HALF = 0.5
_Work = tuple[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class LearntYield:
    """What the log says of one operation's yield.

    Attributes:
        process: Key of the process.
        tried: Parts that went through it, or pulls where its rate is by pull.
        scrapped: Of those, scrapped in it.
        rate: Share that passes, drawn toward the standard.
        least: With 90 % confidence it lies from here
        most: to here.
        entries: Numbers of the entries that scrapped.
    """

    process: str
    operation: Operation
    tried: int
    scrapped: int
    rate: float
    least: float
    most: float
    entries: tuple[int, ...]

    @property
    def differs(self) -> bool:
        """Return whether it is not the standard, as surely as the interval is."""
        standard = float(self.operation.good_rate)
        if standard == 1:
            return self.scrapped >= LEAST_SCRAPPED
        return not self.least <= standard <= self.most


def learnt_yields(shop: Shop) -> tuple[LearntYield, ...]:
    """Return what the log says of the yield of every operation that anything went through.

    A scrapped part counts where its entry says it showed; where it says nothing, at the last
    operation that was noted of it before.
    """
    tasks = tasks_done(shop.log)
    numbers = PartNumbers(shop, tasks)
    written = {(process, o.name): o for process, o in operations_of(shop)}
    tried: dict[tuple[str, str], set[_Work]] = {key: set() for key in written}
    parts_through: dict[_Work, list[tuple[DoneTask, tuple[str, str]]]] = {}
    for done in tasks:
        key = (done.task.process, done.task.operation)
        if key not in written or done.state == "running":
            continue
        for part in _parts(done.task.members, numbers):
            tried[key].add(_counted(part, written[key], numbers))
            parts_through.setdefault(part, []).append((done, key))
    failed: dict[tuple[str, str], dict[_Work, int]] = {key: {} for key in written}
    for entry in in_force(shop.log):
        if entry.what is not Happening.SCRAPPED:
            continue
        members = entry.members or (entry.task.members if entry.task is not None else ())
        for part in _parts(members, numbers):
            where = _where(entry, parts_through.get(part, ()))
            if where in written:
                work = _counted(part, written[where], numbers)
                tried[where].add(work)
                failed[where].setdefault(work, entry.number)
    return tuple(
        _learnt(key[0], operation, len(tried[key]), failed[key])
        for key, operation in written.items()
        if tried[key] and (operation.good_rate < 1 or failed[key])
    )


def learnt_rate(standard: float, tried: int, good: int) -> tuple[float, float, float]:
    """Return the share that passes, drawn toward the standard, and its interval's two ends.

    Args:
        standard: From 0 to 1.
        tried: At least ``good``.
        good: Of those that were tried.
    """
    passes = min(max(PRIOR_STARTS * standard, _HALF), PRIOR_STARTS - _HALF)
    a, b = passes + good, PRIOR_STARTS - passes + tried - good
    low, high = (1 - CONFIDENCE) / 2, (1 + CONFIDENCE) / 2
    return a / (a + b), float(betaincinv(a, b, low)), float(betaincinv(a, b, high))


def _learnt(
    process: str, operation: Operation, tried: int, failed: dict[_Work, int]
) -> LearntYield:
    rate, least, most = learnt_rate(float(operation.good_rate), tried, tried - len(failed))
    return LearntYield(
        process=process,
        operation=operation,
        tried=tried,
        scrapped=len(failed),
        rate=rate,
        least=least,
        most=most,
        entries=tuple(sorted(set(failed.values()))),
    )


def _parts(members: Iterable[LoggedMember], numbers: PartNumbers) -> Iterator[_Work]:
    for member in members:
        yield from ((member.order, part) for part in member.parts)
        if not member.parts:
            for pull in member.pulls:
                yield from ((member.order, part) for part in numbers.parts_of(member.order, pull))


def _counted(part: _Work, operation: Operation, numbers: PartNumbers) -> _Work:
    """Return what an operation's rate counts: the part, or its pull."""
    if operation.good_rate_per == "part":
        return part
    pull = numbers.pull_of(*part)
    return part if pull is None else (part[0], pull)


def _where(
    entry: LogEntry, through: Iterable[tuple[DoneTask, tuple[str, str]]]
) -> tuple[str, str] | None:
    if entry.task is not None:
        return entry.task.process, entry.task.operation
    before = [each for each in through if each[0].last_known <= entry.at]
    return max(before, key=lambda each: each[0].last_known)[1] if before else None
