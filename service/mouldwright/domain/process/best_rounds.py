"""The best sequence of plates or loads on a repeated week: which size when.

A small plate may end before the evening and a large one fill the night, so a mixture of
sizes can pass more than any one size. Starting as early as possible never ends later, so
only moments at which a unit falls free need looking at.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from mouldwright.domain.hours.week import MINUTES_A_WEEK
from mouldwright.domain.process.cycle import Step, cycles_a_week, earliest_run

# More moments of the week than this are not followed; one size is then used throughout.
_MOST_MOMENTS = 300

# From one moment a unit falls free to the next: (parts, minutes, next moment).
_Round = tuple[int, int, int]
_Rounds = Mapping[int, Sequence[_Round]]


def most_parts_a_week(sizes: Sequence[tuple[int, Sequence[Step]]]) -> Fraction | None:
    """Return the most parts a week that one unit passes, sizes mixed as is best.

    The greatest ratio of parts to minutes over all closed sequences of rounds, found by
    raising a rate until no sequence beats it.

    Args:
        sizes: The parts a round passes and its steps, for every size.

    Returns:
        Parts a week; 0 where no round ever fits; None where a round takes no time.
    """
    fixed = [(parts, cycles_a_week([steps])) for parts, steps in sizes]
    rates = [parts * rounds for parts, rounds in fixed if rounds is not None]
    if not rates or len(rates) < len(fixed):
        return None
    best = max(rates)
    found = _rounds(sizes) if len(sizes) > 1 and best > 0 else None
    while found is not None:
        better = _better(found, best / MINUTES_A_WEEK)
        if better is None:
            break
        best = better * MINUTES_A_WEEK
    return best


def _rounds(sizes: Sequence[tuple[int, Sequence[Step]]]) -> _Rounds | None:
    """Return every moment of the week reached from Monday 00:00, with the rounds from there."""
    found: dict[int, list[_Round]] = {}
    open_ = [0]
    while open_:
        moment = open_.pop()
        if moment in found:
            continue
        if len(found) >= _MOST_MOMENTS:
            return None
        found[moment] = []
        for parts, steps in sizes:
            run = earliest_run(steps, moment)
            if run:
                free = run[-1][1]
                found[moment].append((parts, free - moment, free % MINUTES_A_WEEK))
                open_.append(free % MINUTES_A_WEEK)
    return found


def _better(rounds: _Rounds, rate: Fraction) -> Fraction | None:
    """Return the rate of a closed sequence that passes more than ``rate`` a minute, if any.

    Each round is worth its parts less what the rate would have given in its minutes; a
    sequence that comes back richer than it left beats the rate.
    """
    worth = dict.fromkeys(rounds, 0)
    came: dict[int, tuple[int, _Round]] = {}
    changed: int | None = None
    for _ in range(len(rounds) + 1):
        changed = None
        for moment, choices in rounds.items():
            for choice in choices:
                parts, minutes, after = choice
                gain = parts * rate.denominator - minutes * rate.numerator
                if worth[moment] + gain > worth[after]:
                    worth[after] = worth[moment] + gain
                    came[after] = (moment, choice)
                    changed = after
        if changed is None:
            return None
    assert changed is not None
    for _ in rounds:  # go back far enough to be inside the sequence that closes
        changed = came[changed][0]
    parts_in_all = minutes_in_all = 0
    moment = changed
    while True:
        moment, (parts, minutes, _) = came[moment]
        parts_in_all += parts
        minutes_in_all += minutes
        if moment == changed:
            return Fraction(parts_in_all, minutes_in_all)
