"""What nine parts in ten will surely reach, from a few that were measured."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from mouldwright.domain.special import nctdtrit, ndtri

SHARE_OF_PARTS = 0.90
CONFIDENCE = 0.95
FEWEST = 2


def tolerance_factor(
    count: int, *, share: float = SHARE_OF_PARTS, confidence: float = CONFIDENCE
) -> float:
    """Return k, so that mean - k·s is passed by ``share`` of all with that confidence.

    One-sided, for values that scatter normally: k = t'(confidence; n - 1, z √n) / √n with the
    noncentral t and z the normal quantile of the share. CMH-17-1G, section 8.5, tabulates it
    (from memory); with 90 % and 95 % it is called the B-basis.

    Raises:
        ValueError: if fewer than two were measured.
    """
    if count < FEWEST:
        raise ValueError("a spread takes two measurements at least")
    off = float(ndtri(share)) * math.sqrt(count)
    return float(nctdtrit(count - 1, off, confidence)) / math.sqrt(count)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """A tolerance limit and what it comes from.

    Attributes:
        spread: Standard deviation, by n - 1.
        factor: k.
        limit: mean - k · spread.
    """

    count: int
    mean: float
    spread: float
    factor: float
    limit: float


def lower_limit(
    values: Sequence[float], *, share: float = SHARE_OF_PARTS, confidence: float = CONFIDENCE
) -> Tolerance:
    """Return the limit that ``share`` of all pass, from some that were measured.

    Raises:
        ValueError: if fewer than two were measured.
    """
    factor = tolerance_factor(len(values), share=share, confidence=confidence)
    mean, spread = float(np.mean(values)), float(np.std(values, ddof=1))
    return Tolerance(
        count=len(values), mean=mean, spread=spread, factor=factor, limit=mean - factor * spread
    )
