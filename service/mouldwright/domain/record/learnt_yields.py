"""Which share passes each operation, and which comes out as a second, by the log.

Of n parts (or pulls, where the rate is by pull) g come out good, s as seconds and the others as
scrap. With a Dirichlet prior as sure as ``PRIOR_STARTS`` of them at the standard, k of them, each
share by itself is beta: the good one, with p as its standard, is (k p + g) / (k + n), and its
interval the beta distribution's of k p + g and k (1 - p) + n - g; likewise the seconds'. Gelman et
al., Bayesian Data Analysis, 3rd ed., sections 2.4 and 3.4, from memory.
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
LEAST_FAILED = 2
_HALF = 0.5
_Work = tuple[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class LearntYield:
    """What the log says of one operation's yield.

    Attributes:
        process: Key of the process.
        tried: Parts that went through it, or pulls where its rate is by pull.
        scrapped: Of those, scrapped in it.
        seconds: Of those, seconds by it that were not scrapped in it too.
        rate: Share that passes as good, drawn toward the standard.
        least: With 90 % confidence it lies from here
        most: to here.
        second: Share that comes out as seconds, drawn toward the standard.
        second_least: With 90 % confidence it lies from here
        second_most: to here.
        entries: Numbers of the entries that scrapped or made seconds.
    """

    process: str
    operation: Operation
    tried: int
    scrapped: int
    seconds: int
    rate: float
    least: float
    most: float
    second: float
    second_least: float
    second_most: float
    entries: tuple[int, ...]

    @property
    def differs(self) -> bool:
        """Return whether either share is not its standard, as surely as its interval is."""
        standard = float(self.operation.good_rate)
        if standard == 1:
            return self.scrapped + self.seconds >= LEAST_FAILED
        return not self.least <= standard <= self.most or self.second_differs

    @property
    def second_differs(self) -> bool:
        """Return whether the seconds are not their standard, as surely as their interval is."""
        standard = float(self.operation.second_rate)
        if not standard:
            return self.seconds >= LEAST_FAILED
        return not self.second_least <= standard <= self.second_most

    @property
    def has_seconds(self) -> bool:
        """Return whether there is anything to say of seconds: a standard, or more than chance."""
        return self.operation.second_rate > 0 or self.seconds >= LEAST_FAILED


def learnt_yields(shop: Shop) -> tuple[LearntYield, ...]:
    """Return what the log says of the yield of every operation that anything went through.

    A scrapped part and a second count where their entry says it showed; where it says nothing, at
    the last operation that was noted of it before. What one operation made a second and scrapped
    too counts as scrapped.
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
    scrapped: dict[tuple[str, str], dict[_Work, int]] = {key: {} for key in written}
    seconds: dict[tuple[str, str], dict[_Work, int]] = {key: {} for key in written}
    told = {Happening.SCRAPPED: scrapped, Happening.SECOND: seconds}
    for entry in in_force(shop.log):
        if entry.what not in told:
            continue
        members = entry.members or (entry.task.members if entry.task is not None else ())
        for part in _parts(members, numbers):
            where = _where(entry, parts_through.get(part, ()))
            if where in written:
                work = _counted(part, written[where], numbers)
                tried[where].add(work)
                told[entry.what][where].setdefault(work, entry.number)
    return tuple(
        _learnt(key[0], operation, len(tried[key]), scrapped[key], seconds[key])
        for key, operation in written.items()
        if tried[key] and (operation.good_rate < 1 or scrapped[key] or seconds[key])
    )


def learnt_rate(standard: float, tried: int, good: int) -> tuple[float, float, float]:
    """Return a share drawn toward its standard, and its interval's two ends.

    Args:
        standard: From 0 to 1.
        tried: At least ``good``.
        good: Of those that were tried: how many came out as the share counts.
    """
    passes = min(max(PRIOR_STARTS * standard, _HALF), PRIOR_STARTS - _HALF)
    a, b = passes + good, PRIOR_STARTS - passes + tried - good
    low, high = (1 - CONFIDENCE) / 2, (1 + CONFIDENCE) / 2
    return a / (a + b), float(betaincinv(a, b, low)), float(betaincinv(a, b, high))


def _learnt(
    process: str,
    operation: Operation,
    tried: int,
    scrapped: dict[_Work, int],
    told_seconds: dict[_Work, int],
) -> LearntYield:
    seconds = {work: number for work, number in told_seconds.items() if work not in scrapped}
    good = tried - len(scrapped) - len(seconds)
    rate, least, most = learnt_rate(float(operation.good_rate), tried, good)
    second = learnt_rate(float(operation.second_rate), tried, len(seconds))
    return LearntYield(
        process=process,
        operation=operation,
        tried=tried,
        scrapped=len(scrapped),
        seconds=len(seconds),
        rate=rate,
        least=least,
        most=most,
        second=second[0],
        second_least=second[1],
        second_most=second[2],
        entries=tuple(sorted({*scrapped.values(), *seconds.values()})),
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
