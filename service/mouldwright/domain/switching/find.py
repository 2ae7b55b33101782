"""What would change the answer: every number's switching value, the nearest first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.quantity import exact
from mouldwright.domain.standing import Aim, Standing, best_under
from mouldwright.domain.switching.asked_inputs import asked_inputs
from mouldwright.domain.switching.input import Enquiry, Input, Moves
from mouldwright.domain.switching.process_inputs import of_all
from mouldwright.domain.switching.search import Nearest, Search
from mouldwright.domain.switching.shop_inputs import shop_inputs
from mouldwright.domain.switching.standings import Standings

# A number is followed down to nothing and up to this many times itself.
FARTHEST_TIMES = 3
# What an answer follows; a number that moves none of it cannot change it.
_WHAT_COUNTS: Mapping[Aim, frozenset[Moves]] = {
    "soonest": frozenset({"time", "strength"}),
    "stiffest": frozenset({"strength"}),
    "lightest": frozenset({"strength"}),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SwitchAt:
    """The value of one number at which another process wins.

    Attributes:
        at: The nearest value, that way, at which it does.
        holds_to: The last one before it, a step of the number away, at which it does not.
        instead: Key of the process that wins then; None where none can be recommended.
        looked_every: None where no nearer change can have been passed over; else how far apart
            the values looked at on the way lay.
    """

    input: Input
    at: Decimal
    holds_to: Decimal
    instead: str | None
    looked_every: Decimal | None

    @property
    def change(self) -> Fraction | None:
        """Return the share by which it must move; None where it is nothing now."""
        if not self.input.value:
            return None
        return exact(self.at - self.input.value) / exact(self.input.value)


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatChanges:
    """What would change the answer, and what would not.

    Attributes:
        aim: What the answer is the best of.
        process: Key of the process that wins as all is written; None where none can.
        switches: The nearest value each way of every number that has one, nearest first.
        steady: The numbers that change nothing from none to ``FARTHEST_TIMES`` times what is
            written, or as far as they may go.
    """

    part: str
    quantity: int
    aim: Aim
    process: str | None
    switches: tuple[SwitchAt, ...]
    steady: tuple[Input, ...]


def what_changes(
    enquiry: Enquiry,
    *,
    now: int,
    aim: Aim = "recommended",
    by: int | None = None,
    among: Iterable[Input] | None = None,
) -> WhatChanges:
    """Return the nearest value of every number, each way, at which another process wins.

    Each number moves alone. Dates, where they count, are by the rate alone.

    Args:
        enquiry: What is asked.
        now: Minutes since the epoch.
        aim: What the answer is the best of.
        by: Minute the parts are wanted, None where there is no date.
        among: The numbers looked at; None looks at all.

    Raises:
        NotFound: if the shop has no such part, or a process of it is not there.
    """
    standings = Standings(enquiry, now=now, with_dates=by is not None or aim == "soonest")
    switches: list[SwitchAt] = []
    steady: list[Input] = []
    for each in inputs_of(enquiry) if among is None else among:
        found = _both_ways(enquiry, each, standings, aim, by)
        switches.extend(found)
        if not found:
            steady.append(each)
    return WhatChanges(
        part=enquiry.part,
        quantity=enquiry.quantity,
        aim=aim,
        process=best_under(standings.as_written, aim, by=by),
        switches=tuple(sorted(switches, key=_closeness)),
        steady=tuple(steady),
    )


def inputs_of(enquiry: Enquiry) -> Iterator[Input]:
    """Yield every number that the answer rests on."""
    processes = [enquiry.shop.process(key) for key in enquiry.made.made_by]
    yield from asked_inputs(enquiry)
    yield from shop_inputs(enquiry.shop, processes)
    yield from of_all(enquiry.shop, enquiry.part, processes)


def _both_ways(
    enquiry: Enquiry, each: Input, standings: Standings, aim: Aim, by: int | None
) -> list[SwitchAt]:
    if not each.moves & _WHAT_COUNTS.get(aim, each.moves):
        return []
    found = []
    for way in (1, -1):

        def at(step: int, way: int = way) -> tuple[Standing, ...]:
            if not step:
                return standings.as_written
            changed = each.put(enquiry, each.value + way * step * each.step)
            return standings.of(changed, moves=each.moves, processes=each.processes)

        nearest = Search(at, aim=aim, by=by).nearest(_steps(each, way, standings), each.look)
        if nearest.at is not None:
            found.append(_switch(each, way, nearest))
    return found


def _steps(each: Input, way: int, standings: Standings) -> int:
    """Return how many steps a number may go one way."""
    if way < 0:
        return int((each.value - each.least) / each.step)
    most = each.value * FARTHEST_TIMES
    if not each.value:
        # From nothing there is no share: what is money goes to where it alone would pass all
        # else that a part costs, a share to half.
        costs = [float(s.cost_each) for s in standings.as_written if s.cost_each]
        most = each.step * 100 * max(int(max(costs, default=1.0)), 1)
        most = min(most, Decimal("0.5")) if not each.unit else most
    if each.most is not None:
        most = each.most if each.key == "quantity" else min(most, each.most)
    return int((most - each.value) / each.step)


def _switch(each: Input, way: int, nearest: Nearest) -> SwitchAt:
    assert nearest.at is not None
    return SwitchAt(
        input=each,
        at=each.value + way * nearest.at * each.step,
        holds_to=each.value + way * (nearest.at - 1) * each.step,
        instead=nearest.process,
        looked_every=None if nearest.looked_every == 1 else nearest.looked_every * each.step,
    )


def _closeness(switch: SwitchAt) -> tuple[bool, Fraction, str]:
    change = switch.change
    return (change is None, abs(change or Fraction(0)), switch.input.key)
