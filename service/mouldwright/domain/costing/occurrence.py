"""How often each operation happens for an order, and over how many members in all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from mouldwright.domain.costing.learning import total_share
from mouldwright.domain.costing.lines import merged
from mouldwright.domain.costing.scrap import Starts
from mouldwright.domain.process.batch import Batching
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.printing_risk import minutes_lost
from mouldwright.domain.process.process import Process
from mouldwright.domain.quantity import exact

LEVELS = ("order", "batch", "pull", "part")


@dataclass(frozen=True, slots=True, kw_only=True)
class Routing:
    """A process with its batches formed, ready to be counted.

    Attributes:
        parts_each: Parts of a pull; 1 in a process without pulls.
    """

    process: Process
    batchings: tuple[Batching, ...]
    parts_each: int

    def run(self, place: int) -> int:
        """Return which run of batch operations a batch operation belongs to."""
        return next(i for i, run in enumerate(self.batchings) if run.first <= place <= run.last)

    def times(self, place: int) -> str:
        """Return the name of the count of an operation's occurrences."""
        per = self.process.operations[place].per
        if per == "batch":
            return f"batches {self.run(place)}"
        return {"order": "order", "pull": "pulls", "part": "starts"}[per]

    def minutes(self, place: int) -> dict[str, Fraction]:
        """Return an operation's minutes by count: the fixed ones each time, the others by part."""
        operation = self.process.operations[place]
        share = exact(operation.applies_to_share)
        # Batches are counted as those of the share that goes into them.
        times = Fraction(1) if operation.per == "batch" else share
        return merged(
            [
                {self.times(place): exact(operation.fixed_min) * times},
                {"starts": exact(operation.each_min) * share},
            ]
        )

    def worked_minutes(self, place: int) -> dict[str, Fraction]:
        """Return the same for hands that get quicker: counts shrink by the learning curve."""
        operation = self.process.operations[place]
        if operation.learning_rate >= 1:
            return self.minutes(place)
        return {
            f"learnt {place} times": exact(operation.fixed_min),
            f"learnt {place} members": exact(operation.each_min),
        }

    def counts(self, starts: Starts) -> dict[str, Fraction]:
        """Return every count for so many starts."""
        members = starts.pulls if self.process.has_pulls else starts.starts
        counts: dict[str, Fraction] = {
            "order": Fraction(1),
            "pulls": Fraction(starts.pulls),
            "starts": Fraction(starts.starts),
            "good": Fraction(starts.quantity),
        }
        for i, run in enumerate(self.batchings):
            sizes = run.grouped(self.process.operations[run.first].taken_of(members))
            counts[f"batches {i}"] = Fraction(sum(sizes.values()))
            counts[f"squares {i}"] = Fraction(sum(size * size * n for size, n in sizes.items()))
            for j, need in enumerate(run.mixes):
                counts[f"grams {i} {j}"] = sum(
                    (need.mixed_g(size) * n for size, n in sizes.items()), Fraction(0)
                )
        for place, operation in enumerate(self.process.operations):
            if operation.attended and operation.learning_rate < 1:
                rate = float(operation.learning_rate)
                times = int(counts[self.times(place)])
                if operation.per != "batch":
                    times = operation.taken_of(times)
                counts[f"learnt {place} times"] = _learnt(times, rate)
                taken = operation.taken_of(starts.starts)
                counts[f"learnt {place} members"] = _learnt(taken, rate)
            if operation.failures_per_hour:
                counts |= self._lost(place, operation, members, starts.starts)
        return counts

    def _lost(
        self, place: int, operation: Operation, members: int, starts: int
    ) -> dict[str, Fraction]:
        """Return the mean minutes an operation loses to failures, and shares of parts in them."""
        if operation.per == "batch":
            run = self.batchings[self.run(place)]
            first = self.process.operations[run.first]
            sizes = run.grouped(first.taken_of(members))
            parts = {size * self.parts_each: n for size, n in sizes.items()}
        elif operation.per == "order":
            parts = {starts: 1}
        else:
            each = self.parts_each if operation.per == "pull" else 1
            parts = {each: operation.taken_of(starts // each)}
        lost, shares = Fraction(0), Fraction(0)
        for size, n in parts.items():
            minutes = exact(operation.fixed_min) + exact(operation.each_min) * size
            if minutes:
                gone = minutes_lost(operation.failures_per_hour, minutes) * n
                lost += gone
                shares += size * gone / minutes
        return {minutes_lost_in(place): lost, parts_lost_in(place): shares}


def minutes_lost_in(place: int) -> str:
    """Return the name of the count of minutes an operation loses to failures."""
    return f"lost minutes {place}"


def parts_lost_in(place: int) -> str:
    """Return the name of the count of parts in what fails, each by the share that was done."""
    return f"lost parts {place}"


def level(operation: Operation) -> int:
    """Return how fine an operation's grain is: 0 by order, 1 by batch, 2 by pull, 3 by part."""
    return LEVELS.index(operation.per)


def scaled(takes: Mapping[str, Fraction], factor: Fraction | int) -> dict[str, Fraction]:
    """Return a demand times a number."""
    return {name: each * factor for name, each in takes.items()}


def single(routing: Routing, places: Sequence[int]) -> Fraction:
    """Return the minutes that a single pull (or part) on its own spends in those operations."""
    total = Fraction(0)
    for place in places:
        operation = routing.process.operations[place]
        alone = routing.parts_each if operation.per in ("order", "batch", "pull") else 1
        minutes = exact(operation.fixed_min) + exact(operation.each_min) * alone
        total += minutes * exact(operation.applies_to_share)
    return total


def _learnt(times: int, rate: float) -> Fraction:
    return exact(round(total_share(times, rate), 9))
