"""Which parts turn out good in each run, and how many are made anew: drawn before any time is.

Each part passes each operation by chance, independently, or with its whole pull; an uncertain
rate is drawn once for a run. Where too few are good, more pulls are begun by the shop's own
rule, as often as it takes; all of them count towards the order.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

import numpy as np
from numpy.typing import NDArray

from mouldwright.domain.costing.scrap import fewest_starts
from mouldwright.planning.odds.lots import Loss, LotFacts

NEVER_LOST = 32_000
NOT_BEGUN = -1
# After its last step: all that is planned for a second is done.
LOST_BEFORE = NEVER_LOST - 1
_MOST_ROUNDS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class LotOutcome:
    """What became of the parts of one lot.

    Attributes:
        lost_at: Step at which each part (rows: planned ones, then remade) is lost in each
            run; ``NEVER_LOST`` where it is good, ``NOT_BEGUN`` where it was not needed.
        rounds: How many units were added in each round of remaking, at most.
        was_short: Runs in which the planned starts were not enough.
    """

    lost_at: NDArray[np.int16]
    rounds: tuple[int, ...]
    was_short: NDArray[np.bool_]


def draw_outcome(
    facts: LotFacts, runs: int, rng: np.random.Generator, level: Decimal | None
) -> LotOutcome | None:
    """Return what becomes of a lot's parts; None where nothing is ever lost."""
    if not facts.losses:
        return None
    lot = facts.lot
    rates = [1 - loss.share * (1 - _rate(loss, runs, rng)) for loss in facts.losses]
    drawn = [_as_told(facts, _draw(facts, rates, lot.units, rng, passed=lot.passed))]
    good = (drawn[0] == NEVER_LOST).sum(axis=0)
    was_short = good < facts.needed
    rounds: list[int] = []
    while len(rounds) < _MOST_ROUNDS:
        short = np.maximum(facts.needed - good, 0)
        if not short.any():
            break
        pulls = _pulls(facts, short, level)
        more = int(pulls.max())
        found = _draw(facts, rates, more, rng)
        begun = np.repeat(np.arange(more)[:, None] < pulls[None, :], lot.cavities, axis=0)
        found[~begun] = NOT_BEGUN
        drawn.append(found)
        rounds.append(more)
        good = good + (found == NEVER_LOST).sum(axis=0)
    return LotOutcome(
        lost_at=np.concatenate(drawn, axis=0), rounds=tuple(rounds), was_short=was_short
    )


def _as_told(facts: LotFacts, drawn: NDArray[np.int16]) -> NDArray[np.int16]:
    """Return what becomes of planned parts: what was lost, dropped or is a second is not good."""
    lot = facts.lot
    for place in (*lot.ended, *lot.seconds):
        drawn[place] = NOT_BEGUN if lot.ended.get(place) == -1 else LOST_BEFORE
    return drawn


def _rate(loss: Loss, runs: int, rng: np.random.Generator) -> NDArray[np.float64]:
    if loss.estimate is None:
        return np.full(runs, loss.rate)
    return np.minimum(loss.estimate.at(rng.standard_normal(runs)), 1.0)


def _draw(
    facts: LotFacts,
    rates: list[NDArray[np.float64]],
    units: int,
    rng: np.random.Generator,
    *,
    passed: Mapping[int, int] | None = None,
) -> NDArray[np.int16]:
    cavities = facts.lot.cavities
    runs = len(rates[0])
    lost = np.full((units * cavities, runs), NEVER_LOST, dtype=np.int16)
    for loss, rate in zip(facts.losses, rates, strict=True):
        rows = units if loss.by_pull else units * cavities
        fails = rng.random((rows, runs), dtype=np.float32) >= rate[None, :]
        if loss.by_pull:
            fails = np.repeat(fails, cavities, axis=0)
        # A step that a part is through has not lost it.
        through = [place for place, step in (passed or {}).items() if step >= loss.step]
        fails[through] = False
        lost[fails & (lost == NEVER_LOST)] = loss.step
    return lost


def _pulls(facts: LotFacts, short: NDArray[np.int64], level: Decimal | None) -> NDArray[np.int64]:
    """Return the pulls begun for each number of missing parts, by the shop's rule."""
    by_missing = {0: 0}
    for missing in np.unique(short):
        if missing:
            starts = fewest_starts(
                int(missing), facts.rates, cavities=facts.lot.cavities, service_level=level
            )
            by_missing[int(missing)] = starts.pulls
    return np.array([by_missing[int(missing)] for missing in short], dtype=np.int64)
