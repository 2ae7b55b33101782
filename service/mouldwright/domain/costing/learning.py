"""Learning curves: hands get quicker with repetition, machines do not.

With ``b = log2(rate)``: the unit theory (Crawford) says that unit n takes ``first * n**b``;
the average theory (Wright) says that the mean of the first n takes that long. Costing
uses the unit theory; Wright's is here to convert a curve that was stated in it.
"""

from __future__ import annotations

from functools import lru_cache
from math import log2

_BLOCK = 16384


def exponent(rate: float) -> float:
    """Return b = log2(rate), below 0 for a rate below 1.

    Raises:
        ValueError: if the rate is not above 0 and at most 1.
    """
    if not 0 < rate <= 1:
        raise ValueError("a learning rate lies above 0 and is at most 1, such as 0.9")
    return log2(rate)


def unit_share(n: int, rate: float) -> float:
    """Return what unit ``n`` takes as a share of the first (unit theory).

    Raises:
        ValueError: if n is below 1 or the rate is out of range.
    """
    if n < 1:
        raise ValueError("units are counted from 1")
    return float(n ** exponent(rate))


def total_share(n: int, rate: float) -> float:
    """Return what the first ``n`` units take together, in first units (unit theory).

    Raises:
        ValueError: if n is below 0 or the rate is out of range.
    """
    if n < 0:
        raise ValueError("a count of units is not below 0")
    if rate == 1:
        return float(n)
    blocks, rest = divmod(n, _BLOCK)
    b, first = exponent(rate), blocks * _BLOCK + 1
    tail: float = sum(float(k) ** b for k in range(first, first + rest))
    return _blocks_total(blocks, rate) + tail


def average_share(n: int, rate: float) -> float:
    """Return the mean over the first ``n`` units as a share of the first (unit theory).

    Raises:
        ValueError: if n is below 1 or the rate is out of range.
    """
    if n < 1:
        raise ValueError("units are counted from 1")
    return total_share(n, rate) / n


def wright_average_share(n: int, rate: float) -> float:
    """Return the mean over the first ``n`` units as a share of the first (average theory)."""
    return unit_share(n, rate)


def wright_total_share(n: int, rate: float) -> float:
    """Return what the first ``n`` units take together (average theory): n**(b + 1)."""
    return n * wright_average_share(n, rate) if n else 0.0


def wright_unit_share(n: int, rate: float) -> float:
    """Return what unit ``n`` takes (average theory): the difference of two totals."""
    return wright_total_share(n, rate) - wright_total_share(n - 1, rate)


def fitted_rate(units: list[int], minutes: list[float]) -> float:
    """Return the unit-theory rate that fits logged times best: a straight line in logs.

    Args:
        units: Number of each unit in the run, from 1, at least two different ones.
        minutes: What each took, above 0.

    Raises:
        ValueError: if the lists differ in length or hold fewer than two different units.
    """
    if len(units) != len(minutes) or len(set(units)) < 2:
        raise ValueError("a curve needs the times of at least two different units")
    xs, ys = [log2(u) for u in units], [log2(m) for m in minutes]
    x_mean, y_mean = sum(xs) / len(xs), sum(ys) / len(ys)
    slope = sum((x - x_mean) * (y - y_mean) for x, y in zip(xs, ys, strict=True))
    slope /= sum((x - x_mean) ** 2 for x in xs)
    return float(2**slope)


@lru_cache(maxsize=4096)
def _blocks_total(blocks: int, rate: float) -> float:
    """Return the total of whole blocks of units, so that a long sweep adds each unit once."""
    if blocks == 0:
        return 0.0
    b = exponent(rate)
    first = (blocks - 1) * _BLOCK + 1
    block: float = sum(float(k) ** b for k in range(first, first + _BLOCK))
    return _blocks_total(blocks - 1, rate) + block
