"""From values to places: straight scales, scales by ratio, and the marks along them."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """Values from low to high over places from start to end; ``by_ratio`` is logarithmic."""

    low: float
    high: float
    start: float
    end: float
    by_ratio: bool = False

    def __post_init__(self) -> None:
        """Raise ValueError where the scale has no length, or a ratio has no foot."""
        if not self.low < self.high:
            raise ValueError(f"a scale runs upwards, not from {self.low:g} to {self.high:g}")
        if self.by_ratio and self.low <= 0:
            raise ValueError(f"a scale by ratio begins above nought, not at {self.low:g}")

    def __call__(self, value: float) -> float:
        """Return the place of a value."""
        if self.by_ratio:
            share = math.log(value / self.low) / math.log(self.high / self.low)
        else:
            share = (value - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)


def round_steps(low: float, high: float, about: int) -> tuple[float, ...]:
    """Return about so many round values from low to high, 1, 2 or 5 times a power of ten apart."""
    raw = (high - low) / max(about, 1)
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(m * power for m in (1, 2, 5, 10) if m * power >= raw * 0.999)
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    return tuple(round(at * step, 10) for at in range(first, last + 1))


def ratio_steps(low: float, high: float) -> tuple[float, ...]:
    """Return 1, 2 and 5 times each power of ten from low to high; past four tens, powers alone."""
    first, last = math.floor(math.log10(low)), math.ceil(math.log10(high))
    times = (1, 2, 5) if high / low <= 1e4 else (1,)
    every = (m * 10.0**power for power in range(first, last + 1) for m in times)
    # Rounded to digits, not to decimals: a tiny value must not become nought, which has no ratio.
    return tuple(float(f"{v:.10g}") for v in every if low * 0.999999 <= v <= high * 1.000001)
