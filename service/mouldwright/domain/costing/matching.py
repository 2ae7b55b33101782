"""Matched sets: how many good parts it takes so that enough sets match among themselves.

Parts of one making scatter in mass or stiffness. In a matched set the heaviest and the
lightest part, each beside its own nominal, may differ by no more than the window; parts that
find no partners are left over. Parts are taken as normally spread; the most sets that a lot of
parts gives are formed exactly, and the chance of enough is the share of many seeded drawings.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.order import Match, PartSet
from mouldwright.domain.quantity import divide_up, whole_up
from mouldwright.domain.shop import Shop

# Odds are off by less than two in a hundred, nineteen times in twenty.
DRAWINGS = 2_000
_SEED = 20270301
# Above this many sets the shares of leftovers hardly change any more: they are scaled up.
_MOST_DRAWN = 120
_WIDEST_SEARCH = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class MatchedGood:
    """Good parts to aim for, counted in sets' worth.

    Attributes:
        sets: Matched sets wanted.
        worth: Sets' worth of good parts to make: that many of each part, times its count.
        chance: That those give the sets wanted.
    """

    sets: int
    worth: int
    chance: float


def good_pieces(shop: Shop, sold: PartSet, sets: int) -> tuple[int, ...]:
    """Return how many good ones of each part of a set an order needs; more where they must match.

    Raises:
        HardLimit: if the window is too narrow for any sensible number of parts.
    """
    worth = sets if sold.match is None else matched_good(shop, sold, sets).worth
    return tuple(worth * each.count for each in sold.parts)


def matched_good(shop: Shop, sold: PartSet, sets: int) -> MatchedGood:
    """Return the fewest good parts that give so many matched sets at the shop's service level.

    Under the mean rule the parts are enough once the mean number of sets is.

    Raises:
        HardLimit: if the window is too narrow for any sensible number of parts.
    """
    if sold.match is None:
        return MatchedGood(sets=sets, worth=sets, chance=1.0)
    counts = tuple(each.count for each in sold.parts)
    ratio = _ratio(sold.match)
    drawn = min(sets, _MOST_DRAWN)
    found = _fewest(drawn, counts, ratio, shop.service_level)
    if found is None:
        raise HardLimit(
            [
                f"{sold.key}: parts that scatter by {sold.match.spread:f} of their "
                f"{sold.match.on} hardly ever match within {sold.match.window:f}: widen the "
                f"window or make them more alike"
            ]
        )
    worth, chance = found
    if sets > drawn:
        worth = divide_up(worth * sets, drawn)
    return MatchedGood(sets=sets, worth=worth, chance=chance)


def sets_formed(
    values: Sequence[NDArray[np.float64]], counts: Sequence[int], window: float
) -> NDArray[np.int64]:
    """Return the most matched sets that can be formed of some parts, for each drawing.

    The least part of all either goes in a set with the next ones of every kind, or in none:
    taking the least that fit leaves the most for the others, so that no other choice gives
    more sets.

    Args:
        values: A row a drawing, for each kind of part; beside its own nominal.
        counts: How many of each kind a set takes.
        window: The most that parts of a set may differ by.
    """
    ordered = [np.sort(each, axis=1) for each in values]
    drawings = len(ordered[0])
    row = np.arange(drawings)
    at = [np.zeros(drawings, dtype=np.int64) for _ in ordered]
    formed = np.zeros(drawings, dtype=np.int64)
    # Past the end there is nothing: an infinite part matches none.
    padded = [
        np.concatenate([each, np.full((drawings, count), np.inf)], axis=1)
        for each, count in zip(ordered, counts, strict=True)
    ]
    for _ in range(sum(each.shape[1] for each in ordered)):
        least = np.stack([p[row, a] for p, a in zip(padded, at, strict=True)])
        most = np.stack(
            [p[row, a + c - 1] for p, a, c in zip(padded, at, counts, strict=True)]
        ).max(axis=0)
        left = np.isfinite(most)
        if not left.any():
            break
        first = least.argmin(axis=0)
        spread = np.where(left, most, 0.0) - np.where(left, least.min(axis=0), 0.0)
        fits = left & (spread <= window)
        formed += fits
        for kind, count in enumerate(counts):
            at[kind] += np.where(fits, count, left & (first == kind))
    return formed


def _ratio(match: Match) -> float:
    """Return the window in standard deviations; parts that do not scatter always match."""
    return float("inf") if not match.spread else float(match.window / match.spread)


@lru_cache(maxsize=512)
def _fewest(
    sets: int, counts: tuple[int, ...], ratio: float, level: Decimal | None
) -> tuple[int, float] | None:
    """Return the fewest sets' worth of good parts, and the chance that they are enough."""
    if ratio == float("inf") or sum(counts) == 1:
        return sets, 1.0

    def chance_of(worth: int) -> tuple[bool, float]:
        formed = sets_formed(_drawn(worth, counts), counts, ratio)
        chance = float((formed >= sets).mean())
        enough = formed.mean() >= sets if level is None else chance >= float(level)
        return bool(enough), chance

    low, high = sets - 1, sets
    while not chance_of(high)[0]:
        low, high = high, whole_up(Decimal(high) * Decimal("1.5")) + 1
        if high > _WIDEST_SEARCH * sets:
            return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if chance_of(middle)[0] else (middle, high)
    return high, chance_of(high)[1]


def _drawn(worth: int, counts: tuple[int, ...]) -> list[NDArray[np.float64]]:
    """Return drawings of so many parts; fewer of them are the first of the same drawings."""
    return [
        np.random.default_rng([_SEED, kind]).standard_normal((worth * count, DRAWINGS)).T.copy()
        for kind, count in enumerate(counts)
    ]
