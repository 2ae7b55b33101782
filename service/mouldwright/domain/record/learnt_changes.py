"""What the log would have changed in the shop: beside the standard, with its evidence.

Nothing here changes anything: a person does, or leaves it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Literal

from mouldwright.domain.record.learnt_failures import LearntFailures, learnt_failures
from mouldwright.domain.record.learnt_losses import LearntLoss, learnt_losses
from mouldwright.domain.record.learnt_times import LearntTime, learnt_times
from mouldwright.domain.record.learnt_yields import LearntYield, learnt_yields
from mouldwright.domain.shop import Shop

# With fewer the log proposes nothing, however far off they are; common practice, no source.
LEAST_TASKS = 5
LEAST_STARTS = 20
LEAST_CUPS = 5
_TENTH, _HUNDREDTH, _THOUSANDTH = Decimal("0.1"), Decimal("0.01"), Decimal("0.001")


@dataclass(frozen=True, slots=True, kw_only=True)
class LearntChange:
    """A change of one operation, or of one mix, that the log speaks for.

    Attributes:
        kind: A learning rate is proposed with the minutes of a first one, which it wants; a
            share of seconds with the yield, as the two are of the same parts.
        process: Key of the process, or of the set; empty for a mix.
        operation: Name of the operation; empty for a mix.
        material: Key of the mix whose loss it is; empty for an operation.
        was: By the name of each figure, as it stands.
        proposed: By the same names, as it would be.
        evidence: Tasks that were timed, starts that were tried, runs of a
            machine, or cups that were weighed.
        entries: Numbers of the log's entries it rests on.
    """

    kind: Literal["time", "learning", "yield", "failures", "loss"]
    process: str
    operation: str
    was: Mapping[str, Decimal]
    proposed: Mapping[str, Decimal]
    evidence: int
    entries: tuple[int, ...]
    material: str = ""

    @property
    def key(self) -> str:
        """Return what it is called among all of its shop: the same as more evidence comes."""
        if self.material:
            return f"{self.kind}:{self.material}"
        return f"{self.kind}:{self.process}:{self.operation}"


@dataclass(frozen=True, slots=True, kw_only=True)
class LearntAtBench:
    """All the log says of times, yields, failures and losses, and the changes it speaks for."""

    times: tuple[LearntTime, ...]
    yields: tuple[LearntYield, ...]
    failures: tuple[LearntFailures, ...]
    losses: tuple[LearntLoss, ...]
    changes: tuple[LearntChange, ...]

    def change(self, key: str) -> LearntChange | None:
        """Return a change by its key; None where the log does not speak for it."""
        return next((change for change in self.changes if change.key == key), None)


def learnt_at_bench(shop: Shop) -> LearntAtBench:
    """Return what a shop's log says of its operations and its mixes."""
    times, yields, failures = learnt_times(shop), learnt_yields(shop), learnt_failures(shop)
    losses = learnt_losses(shop)
    found = [
        *(_of_time(each) for each in times),
        *(_of_yield(each) for each in yields),
        *(_of_failures(each) for each in failures),
        *(_of_loss(each) for each in losses),
    ]
    return LearntAtBench(
        times=times,
        yields=yields,
        failures=failures,
        losses=losses,
        changes=tuple(change for change in found if change is not None),
    )


def _of_time(learnt: LearntTime) -> LearntChange | None:
    """Return the change of an operation's minutes; of its learning rate too where that is sure."""
    operation, usual, curve = learnt.operation, learnt.usual, learnt.curve
    way = "attended" if operation.attended else "unattended"
    minutes = {f"{way}_min": operation.fixed_min, f"{way}_each_min": operation.each_min}
    was = {name: each for name, each in minutes.items() if each}
    kind: Literal["time", "learning"] = "time"
    proposed = {name: _minutes(float(each) * usual.share) for name, each in was.items()}
    apart = usual.tasks >= LEAST_TASKS and not usual.least <= 1 <= usual.most
    if curve.is_sure and curve.rate is not None and curve.first is not None:
        assert curve.least is not None  # it comes with the rate
        assert curve.most is not None  # so does this
        if not curve.least <= float(operation.learning_rate) <= curve.most:
            kind, apart = "learning", True
            proposed = {name: _minutes(float(each) * curve.first) for name, each in was.items()}
            was["learning_rate"] = operation.learning_rate
            proposed["learning_rate"] = _rounded(curve.rate, _HUNDREDTH)
    if not learnt.is_for_the_log or not apart or proposed == was or not all(proposed.values()):
        return None
    return LearntChange(
        kind=kind,
        process=learnt.process,
        operation=operation.name,
        was=was,
        proposed=proposed,
        evidence=usual.tasks,
        entries=tuple(number for task in learnt.tasks for number in task.entries),
    )


def _of_yield(learnt: LearntYield) -> LearntChange | None:
    operation, rate = learnt.operation, _rounded(learnt.rate, _THOUSANDTH)
    was, proposed = {"good_rate": operation.good_rate}, {"good_rate": rate}
    if learnt.has_seconds:
        was["second_rate"] = operation.second_rate
        # Both rounded up, they might come to more than all there are.
        proposed["second_rate"] = min(_rounded(learnt.second, _THOUSANDTH), 1 - rate)
    if learnt.tried < LEAST_STARTS or not learnt.differs or proposed == was or not rate:
        return None
    return LearntChange(
        kind="yield",
        process=learnt.process,
        operation=operation.name,
        was=was,
        proposed=proposed,
        evidence=learnt.tried,
        entries=learnt.entries,
    )


def _of_failures(learnt: LearntFailures) -> LearntChange | None:
    standard = learnt.operation.failures_per_hour
    # Two figures, as far as so few failures ever reach.
    step = Decimal(1).scaleb(Decimal(str(learnt.rate)).adjusted() - 1)
    rate = _rounded(learnt.rate, step)
    if learnt.runs < LEAST_STARTS or not learnt.differs or rate == standard:
        return None
    return LearntChange(
        kind="failures",
        process=learnt.process,
        operation=learnt.operation.name,
        was={"failures_per_hour": standard},
        proposed={"failures_per_hour": rate},
        evidence=learnt.runs,
        entries=learnt.entries,
    )


def _of_loss(learnt: LearntLoss) -> LearntChange | None:
    proposed = _rounded(learnt.usual.usual_g, _TENTH)
    if learnt.usual.cups < LEAST_CUPS or not learnt.differs or proposed == learnt.standard_g:
        return None
    return LearntChange(
        kind="loss",
        process="",
        operation="",
        material=learnt.material,
        was={"lost_g": learnt.standard_g},
        proposed={"lost_g": proposed},
        evidence=learnt.usual.cups,
        entries=learnt.entries,
    )


def _minutes(value: float) -> Decimal:
    """Return minutes as a person would write them down: whole ones from ten up."""
    return _rounded(value, Decimal(1) if value >= 10 else _TENTH if value >= 1 else _HUNDREDTH)


def _rounded(value: float, step: Decimal) -> Decimal:
    return Decimal(str(value)).quantize(step, rounding=ROUND_HALF_EVEN)
