"""Rework: parts that fail and can be mended go through some operations again, or for once.

Written once, a rework is laid out in the routing as its rounds, each an operation that
applies to the share of parts that still need it. All else then deals with shares alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.process.hold import Hold
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.quantity import exact


@dataclass(frozen=True, slots=True, kw_only=True)
class Rework:
    """What is done to parts that are found wanting and can be mended.

    Attributes:
        name: Its name, one of a kind within the process.
        found_at: Operation at whose end they are found; the rework follows it.
        share: Share of parts that need it.
        share_again: Share of those reworked that need it once more; None for ``share``.
        most_rounds: Rounds at most; a part that still needs one after them is scrap.
        operations: One round, in order.
        cost_each: What a round uses up, for each part.
    """

    name: str
    found_at: str
    share: Decimal
    operations: tuple[Operation, ...]
    share_again: Decimal | None = None
    most_rounds: int = 1
    cost_each: Decimal = Decimal(0)

    def share_at(self, rounds: int) -> Fraction:
        """Return the share of parts that go through that round, from 1; exact."""
        again = exact(self.share if self.share_again is None else self.share_again)
        return exact(self.share) * again ** (rounds - 1)

    @property
    def by_pulls(self) -> bool:
        """Return whether it is done to whole pulls, in a process that has them."""
        return any(operation.per in ("pull", "batch") for operation in self.operations)

    @property
    def lost(self) -> Fraction:
        """Return the share of parts that still need it after the last round: scrap."""
        return self.share_at(self.most_rounds + 1)

    @property
    def rounds_each(self) -> Fraction:
        """Return the mean rounds of a part."""
        return sum((self.share_at(n) for n in range(1, self.most_rounds + 1)), Fraction(0))

    @property
    def good_rate(self) -> Fraction:
        """Return the chance that a part comes through: mended in time, spoilt by no round."""
        again = exact(self.share if self.share_again is None else self.share_again)
        each = Fraction(1)
        for operation in self.operations:
            each *= exact(operation.good_rate)
        # From the last round back: a part passes a round, then needs no other or gets one.
        through = each * (1 - again)
        for _ in range(self.most_rounds - 1):
            through = each * (1 - again + again * through)
        return 1 - exact(self.share) + exact(self.share) * through


def round_name(name: str, number: int) -> str:
    """Return what an operation of a rework is called in a round: "fill", then "fill, round 2"."""
    return name if number == 1 else f"{name}, round {number}"


def laid_out(operations: Sequence[Operation], reworks: Iterable[Rework]) -> tuple[Operation, ...]:
    """Return a routing with the rounds of its reworks after the operations that find them.

    What follows such an operation by name follows its rework too.
    """
    routing = list(operations)
    for rework in reworks:
        rounds = [
            _in_round(operation, rework, number)
            for number in range(1, rework.most_rounds + 1)
            for operation in rework.operations
        ]
        names = [operation.name for operation in routing]
        if rework.found_at not in names or not rounds:
            continue
        place = names.index(rework.found_at) + 1
        while place < len(routing) and routing[place].round_number:
            place += 1
        routing[place:place] = rounds
        for i, operation in enumerate(routing):
            if rework.found_at in operation.after and not operation.round_number:
                after = (*operation.after, rounds[-1].name)
                routing[i] = replace(operation, after=after)
    return tuple(routing)


def as_written(operations: Iterable[Operation]) -> tuple[Operation, ...]:
    """Return a laid-out routing without the rounds of its reworks."""
    every = tuple(operations)
    rounds = {operation.name for operation in every if operation.round_number}
    return tuple(
        replace(operation, after=tuple(name for name in operation.after if name not in rounds))
        for operation in every
        if not operation.round_number
    )


def held(holds: Sequence[Hold], reworks: Iterable[Rework]) -> tuple[Hold, ...]:
    """Return the holds with those within a rework once for each of its rounds."""
    found = list(holds)
    for rework in reworks:
        own = {operation.name for operation in rework.operations}
        found += [
            replace(hold, first=round_name(hold.first, number), last=round_name(hold.last, number))
            for number in range(2, rework.most_rounds + 1)
            for hold in holds
            if hold.first in own and hold.last in own
        ]
    return tuple(found)


def of_first_rounds(holds: Iterable[Hold], operations: Iterable[Operation]) -> tuple[Hold, ...]:
    """Return the holds as written: those of later rounds left out."""
    later = {operation.name for operation in operations if operation.round_number > 1}
    return tuple(hold for hold in holds if hold.first not in later)


def _in_round(operation: Operation, rework: Rework, number: int) -> Operation:
    own = {one.name for one in rework.operations}
    until = operation.pot_life_until
    return replace(
        operation,
        name=round_name(operation.name, number),
        after=tuple(round_name(n, number) if n in own else n for n in operation.after),
        pot_life_until=round_name(until, number) if until in own and until else until,
        applies_to_share=rework.share_at(number),
        rework=rework.name,
        round_number=number,
    )
