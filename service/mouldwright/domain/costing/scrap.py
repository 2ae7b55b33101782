"""How many parts to begin so that enough of them turn out good.

Each part passes an operation by chance, independently of the others; a rate given by
pull loses every part of that pull together. Starts are whole pulls times cavities.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from math import comb

import numpy as np

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.process.process import Process
from mouldwright.domain.quantity import Exact, divide_up, exact
from mouldwright.domain.special import bdtr, bdtrc

# A chance this near the level asked is settled in exact arithmetic.
_NEAR = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class GoodRates:
    """The chance that a part passes everything.

    Attributes:
        part: Product of the rates given by part.
        pull: Product of the rates given by pull; a lost pull loses all its parts.
    """

    part: Fraction
    pull: Fraction = Fraction(1)

    def __post_init__(self) -> None:
        """Raise InvalidInput where a rate is not above 0 and at most 1."""
        for name, rate in (("good_rate", self.part), ("good_rate by pull", self.pull)):
            if not 0 < rate <= 1:
                raise InvalidInput([_bad_rate(name, rate)])

    @property
    def each(self) -> Fraction:
        """Return the chance that any one part begun turns out good."""
        return self.part * self.pull


@dataclass(frozen=True, slots=True, kw_only=True)
class Starts:
    """How many to begin for a quantity of good parts.

    Attributes:
        quantity: Good parts wanted.
        starts: Parts begun: pulls x cavities, or single parts where there are no pulls.
        pulls: Pulls; 0 for a process without.
        chance: Chance that at least ``quantity`` turn out good.
        expected_good: Mean number of good parts.
    """

    quantity: int
    starts: int
    pulls: int
    chance: float
    expected_good: Fraction

    def of_pulls(self, pulls: int) -> Starts:
        """Return the starts of so many pulls (or single parts) instead; chances left alone."""
        each = self.starts // self.pulls if self.pulls else 1
        return replace(self, starts=pulls * each, pulls=pulls if self.pulls else 0)

    @property
    def expected_spare(self) -> Fraction:
        """Return how many more good parts than wanted come out on average, shortfalls taken off.

        Below zero it is the mean number missing.
        """
        return self.expected_good - self.quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class StillNeeded:
    """What is left to do once some pulls have been judged.

    Attributes:
        good_missing: Good parts still wanted.
        pulls: Further pulls (or starts, without pulls) to plan.
        pulls_in_all: Those and the ones already done.
        chance: Chance that they give the missing good parts.
    """

    good_missing: int
    pulls: int
    pulls_in_all: int
    chance: float

    def more_than(self, planned: int) -> int:
        """Return by how many pulls the plan grows."""
        return max(self.pulls_in_all - planned, 0)


def good_rates(process: Process, loss_rate: Exact = 0) -> GoodRates:
    """Return a process's good rates: the product over its operations and reworks, exact.

    In a process without pulls a rate given by pull is one by part. A pull that loses its mould,
    by the chance given, loses its parts.

    Raises:
        InvalidInput: if an operation's rate is not above 0 and at most 1.
    """
    part, pull = Fraction(1), 1 - exact(loss_rate)
    faults = []
    for rework in process.reworks:
        if rework.by_pulls and process.has_pulls:
            pull *= rework.good_rate
        else:
            part *= rework.good_rate
    for operation in process.operations:
        rate = exact(operation.good_rate)
        if operation.rework:
            continue
        if not 0 < rate <= 1:
            path = f'processes.{process.key}.operations["{operation.name}"].good_rate'
            faults.append(_bad_rate(path, operation.good_rate))
            continue
        # Those it is not done to pass it by.
        rate = 1 - exact(operation.applies_to_share) * (1 - rate)
        if operation.good_rate_per == "pull" and process.has_pulls:
            pull *= rate
        else:
            part *= rate
    if faults:
        raise InvalidInput(faults)
    return GoodRates(part=part, pull=pull)


def starts_for(
    quantity: int,
    process: Process,
    cavities: int,
    service_level: Decimal | float | None,
    *,
    loss_rate: Exact = 0,
) -> Starts:
    """Return how many parts to begin for ``quantity`` good ones.

    Args:
        quantity: Good parts wanted, a whole number of at least 1.
        process: Its operations' good rates.
        cavities: Parts from one pull; of no matter in a process without pulls.
        service_level: Least chance of enough good parts; None for the mean rule,
            good / yield rounded up to whole pulls.
        loss_rate: Chance that a pull loses its mould.

    Raises:
        InvalidInput: if the quantity, a rate or the level cannot be right.
    """
    return fewest_starts(
        quantity,
        good_rates(process, loss_rate),
        cavities=cavities if process.has_pulls else 1,
        service_level=service_level,
        by_pulls=process.has_pulls,
    )


def fewest_starts(
    quantity: int,
    rates: GoodRates,
    *,
    cavities: int = 1,
    service_level: Decimal | float | None = None,
    by_pulls: bool = True,
) -> Starts:
    """Return the fewest whole pulls that give ``quantity`` good parts often enough.

    Raises:
        InvalidInput: if the quantity, the cavities or the level cannot be right.
    """
    faults = [
        fault
        for fault in (
            _not_whole("quantity", quantity),
            _not_whole("cavities", cavities),
            _bad_level(service_level, rates),
        )
        if fault
    ]
    if faults:
        raise InvalidInput(faults)
    if service_level is None:
        pulls = divide_up(quantity, rates.each * cavities)
    else:
        pulls = _fewest_pulls(quantity, cavities, rates, exact(service_level))
    starts = pulls * cavities
    return Starts(
        quantity=quantity,
        starts=starts,
        pulls=pulls if by_pulls else 0,
        chance=chance_of(quantity, pulls, cavities, rates),
        expected_good=starts * rates.each,
    )


def still_needed(
    quantity: int,
    rates: GoodRates,
    *,
    pulls_done: int,
    good_so_far: int,
    cavities: int = 1,
    service_level: Decimal | float | None = None,
) -> StillNeeded:
    """Return the pulls still to plan after some were judged, by the same rule as at first.

    Give the rates learnt from the log to see what follows if they last.
    """
    missing = max(quantity - good_so_far, 0)
    if not missing:
        return StillNeeded(good_missing=0, pulls=0, pulls_in_all=pulls_done, chance=1.0)
    more = fewest_starts(missing, rates, cavities=cavities, service_level=service_level)
    return StillNeeded(
        good_missing=missing,
        pulls=more.pulls,
        pulls_in_all=pulls_done + more.pulls,
        chance=more.chance,
    )


def chance_of(quantity: int, pulls: int, cavities: int, rates: GoodRates) -> float:
    """Return the chance of at least ``quantity`` good parts from so many pulls.

    A binomial tail: over the parts where no rate is by pull; else over the pulls that
    survive and, of each number of them, over their parts.
    """
    if pulls * cavities < quantity:
        return 0.0
    if rates.each == 1:
        return 1.0
    if rates.pull == 1 or cavities == 1:
        return float(bdtrc(quantity - 1, pulls * cavities, float(rates.each)))
    survive = np.arange(-(-quantity // cavities), pulls + 1)
    by_pull = float(rates.pull)
    weight = bdtr(survive, pulls, by_pull) - bdtr(survive - 1, pulls, by_pull)
    enough = bdtrc(quantity - 1, survive * cavities, float(rates.part))
    enough = np.where(survive * cavities >= quantity, enough, 0.0) if rates.part < 1 else 1.0
    return float(min(np.sum(weight * enough), 1.0))


def exact_chance_of(quantity: int, pulls: int, cavities: int, rates: GoodRates) -> Fraction:
    """Return the same chance as a fraction; slow for hundreds of pulls."""
    if rates.pull == 1 or cavities == 1:
        return _tail(quantity, pulls * cavities, rates.each)
    total = Fraction(0)
    for survive in range(-(-quantity // cavities), pulls + 1):
        weight = comb(pulls, survive) * rates.pull**survive
        weight *= (1 - rates.pull) ** (pulls - survive)
        total += weight * _tail(quantity, survive * cavities, rates.part)
    return total


@lru_cache(maxsize=8192)
def _fewest_pulls(quantity: int, cavities: int, rates: GoodRates, level: Fraction) -> int:
    least = -(-quantity // cavities)
    high = max(least, divide_up(quantity, rates.each * cavities))
    while not _reaches(quantity, high, cavities, rates, level):
        least, high = high + 1, high + max(high // 8, 2)
    while least < high:
        middle = (least + high) // 2
        if _reaches(quantity, middle, cavities, rates, level):
            high = middle
        else:
            least = middle + 1
    return high


def _reaches(quantity: int, pulls: int, cavities: int, rates: GoodRates, level: Fraction) -> bool:
    chance = chance_of(quantity, pulls, cavities, rates)
    if abs(chance - float(level)) > _NEAR:
        return chance > level
    return exact_chance_of(quantity, pulls, cavities, rates) >= level


def _tail(quantity: int, trials: int, rate: Fraction) -> Fraction:
    """Return P(X >= quantity) for X binomial, in integers over one denominator."""
    if quantity <= 0:
        return Fraction(1)
    top, bottom = rate.numerator, rate.denominator
    miss = bottom - top
    ways = sum(
        comb(trials, good) * top**good * miss ** (trials - good)
        for good in range(quantity, trials + 1)
    )
    return Fraction(ways, bottom**trials)


def _not_whole(path: str, value: int) -> Fault | None:
    if isinstance(value, int) and not isinstance(value, bool) and value >= 1:
        return None
    return Fault(
        path=path,
        value=str(value),
        problem="it must be a whole number of at least 1.",
        remedy=f"Give {path} as 1, 2, 3 and so on.",
    )


def _bad_level(level: Decimal | float | None, rates: GoodRates) -> Fault | None:
    if level is None or 0 < level < 1 or (level == 1 and rates.each == 1):
        return None
    problem = "it must lie above 0 and below 1."
    if level == 1:
        problem = "no number of starts makes enough good parts certain while some are lost."
    return Fault(
        path="shop.service_level",
        value=str(level),
        problem=problem,
        remedy='Write a chance such as 0.9, or "mean" for good / yield rounded up.',
    )


def _bad_rate(path: str, rate: Exact | float) -> Fault:
    return Fault(
        path=path,
        value=str(rate),
        problem="a good rate lies above 0 and is at most 1.",
        remedy="Write 0.94 where 94 of 100 pass; a step that never passes a part cannot be used.",
    )
