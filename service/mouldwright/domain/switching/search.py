"""The nearest value at which the answer is another, one way, on the grid a number is written in.

Values are counted in steps from the one that is written. Between two of them costs are taken as
a straight line only where that is sure or was looked into:

- a cost that follows a price or a wage is a sum of minima of straight lines, so it bends down
  only; where it lies on the chord in the middle it lies on it throughout, and the crossing of
  two such lines is worked out exactly;
- any other cost is taken as straight where it lies on the chord, exactly, at three places
  between. Where it does not, the stretch is halved, down to one step, or to a 64th of the way
  where it is broken too often for that;
- a whole number is looked at value by value;
- where costs stay and what passes only gets less (or more), where one process alone gets dearer
  (or cheaper), or where all costs are lines in one quantity, the answer as written is left once
  for good, and halving finds where.

What is said of stretches that are neither straight nor a single step is said with the distance
they were looked at in.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from mouldwright.domain.standing import Aim, Standing, best_under
from mouldwright.domain.switching.input import Look

# Stretches are halved to a single step until so many places were looked at; from then on to a
# 64th of the way.
_MOST_FINE = 256
_FINEST_SHARE = 64
_PROBES = 16
_MOST_EACH = 2_000

At = Callable[[int], tuple[Standing, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Nearest:
    """Where the answer first is another.

    Attributes:
        at: Steps from the written value; None where it stays as far as was looked.
        process: What wins there; None where none can.
        looked_every: Steps between the places looked at on the way; 1 where no nearer change
            can have been passed over.
    """

    at: int | None
    process: str | None = None
    looked_every: int = 1


class Search:
    """Looks one way from the written value."""

    def __init__(self, at: At, *, aim: Aim, by: int | None) -> None:
        """Keep how standings follow the steps.

        Args:
            at: Standings so many steps along; 0 is as written.
            aim: Under which the answer is given.
            by: Minute the parts are wanted, None where there is no date.
        """
        self._at, self._aim, self._by = at, aim, by
        self._seen: dict[int, tuple[Standing, ...]] = {}
        self._coarsest = 1

    def nearest(self, steps: int, look: Look) -> Nearest:
        """Return where the answer first is another, within so many steps."""
        if steps < 1:
            return Nearest(at=None)
        self._coarsest = 1
        if look == "each" and steps <= _MOST_EACH:
            found = self._each(steps)
        elif look == "once" and self._aim in ("recommended", "cheapest"):
            found = self._halved(0, steps) if self._differs(steps) else None
        elif look in ("kinked", "stepped") and self._aim in ("recommended", "cheapest"):
            found = self._straight(0, steps, steps // _FINEST_SHARE, kinked=look == "kinked")
        else:
            found = self._probed(steps)
        process = None if found is None else self._answer(found)
        return Nearest(at=found, process=process, looked_every=self._coarsest)

    def _each(self, steps: int) -> int | None:
        return next((step for step in range(1, steps + 1) if self._differs(step)), None)

    def _probed(self, steps: int) -> int | None:
        count = min(_PROBES, steps)
        places = [steps * n // count for n in range(count + 1)]
        for start, end in pairwise(places):
            if self._differs(end):
                self._coarsest = max(self._coarsest, end - start)
                return self._halved(start, end)
            self._coarsest = max(self._coarsest, end - start)
        return None

    def _halved(self, start: int, end: int) -> int:
        """Return the first place at which the answer is another, it being so at the end."""
        while end - start > 1:
            middle = (start + end) // 2
            if self._differs(middle):
                end = middle
            else:
                start = middle
        return end

    def _straight(self, start: int, end: int, coarse: int, *, kinked: bool) -> int | None:
        """Return the first place in (start, end]; at the start the answer is as written."""
        least = 1 if len(self._seen) < _MOST_FINE else coarse
        if end - start == 1:
            return end if self._differs(end) else None
        if self._is_straight(start, end, kinked=kinked):
            found = self._crossing(start, end)
            # Worked out on the lines, and then tried: the step before must still hold.
            if found is None and not self._differs(end):
                return None
            if found is not None and self._differs(found) and not self._differs(found - 1):
                return found
        elif end - start <= least:
            self._coarsest = max(self._coarsest, end - start)
            return self._halved(start, end) if self._differs(end) else None
        middle = (start + end) // 2
        first = self._straight(start, middle, coarse, kinked=kinked)
        if first is not None:
            return first
        return self._straight(middle, end, coarse, kinked=kinked)

    def _is_straight(self, start: int, end: int, *, kinked: bool) -> bool:
        gap = end - start
        parts = (2,) if kinked else (1, 2, 3)
        between = sorted({start + gap * part // 4 for part in parts} - {start, end})
        places = [start, *between, end]
        rows = [self._standings(place) for place in places]
        for standings in zip(*rows, strict=True):
            if len({self._may_win(standing) for standing in standings}) > 1:
                return False
            costs = [standing.cost_each for standing in standings]
            if not self._may_win(standings[0]):
                continue
            first, last = costs[0], costs[-1]
            assert first is not None
            assert last is not None
            rise = (last - first) / gap
            if any(
                cost != first + rise * (place - start)
                for place, cost in zip(places, costs, strict=True)
            ):
                return False
        return True

    def _crossing(self, start: int, end: int) -> int | None:
        """Return the first whole step after the start at which another line wins."""
        heads, tails = self._standings(start), self._standings(end)
        order = [s.process for s in heads]
        held = self._answer(start)
        lines = {
            head.process: (head.cost_each, (tail.cost_each - head.cost_each) / (end - start))
            for head, tail in zip(heads, tails, strict=True)
            if self._may_win(head) and head.cost_each is not None and tail.cost_each is not None
        }
        if held is None or held not in lines:
            return None
        mine, rise = lines[held]
        found: list[int] = []
        for process, (cost, slope) in lines.items():
            closing = rise - slope
            if process == held or closing <= 0:
                continue
            meets = start + (cost - mine) / closing
            place = _first_beyond(meets, wins_ties=order.index(process) < order.index(held))
            if start < place <= end:
                found.append(place)
        return min(found, default=None)

    def _may_win(self, standing: Standing) -> bool:
        by = self._by if self._aim == "recommended" else None
        return standing.passes and standing.cost_each is not None and standing.is_in_time(by)

    def _standings(self, step: int) -> tuple[Standing, ...]:
        if step not in self._seen:
            self._seen[step] = self._at(step)
        return self._seen[step]

    def _answer(self, step: int) -> str | None:
        return best_under(self._standings(step), self._aim, by=self._by)

    def _differs(self, step: int) -> bool:
        return self._answer(step) != self._answer(0)


def _first_beyond(meets: Fraction, *, wins_ties: bool) -> int:
    """Return the first whole step at which a line that closes in is below, or level and first."""
    whole = -(-meets.numerator // meets.denominator)
    return whole + 1 if whole == meets and not wins_ties else whole
