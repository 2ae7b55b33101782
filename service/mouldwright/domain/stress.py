"""How hard each material of a bent part is stressed, and what that is of its strength.

σ = E κ |y - ȳ|, with the curvature κ = M / EI and y the fibre of that material furthest from the
elastic centroid (any text on mechanics of materials). Bending alone: what shear, the bond of a rod
or its end do is not computed, nor is fatigue.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from mouldwright.domain.part.beam import STATIONS, Bending
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.made import Made, Stressed


@dataclass(frozen=True, slots=True, kw_only=True)
class Stress:
    """How hard one material of a part is stressed.

    Attributes:
        of: The material, as people call it.
        root_mpa: Its greatest bending stress at the root.
        greatest_mpa: The same wherever along the span it is greatest.
        strength_mpa: What it bears in bending; None where nobody states it.
    """

    of: str
    root_mpa: float
    greatest_mpa: float
    strength_mpa: float | None

    @property
    def share(self) -> float | None:
        """Return the share of its strength that is used; None where that is not stated."""
        return None if self.strength_mpa is None else self.greatest_mpa / self.strength_mpa


def stresses_of(shop: Shop, process: Process, bent: Bending, done: Made) -> tuple[Stress, ...]:
    """Return how hard each material is stressed, the base material first.

    The base material's strength is the process's, of parts made so, else its own.
    """
    found = []
    for number, each in enumerate(done.stressed):
        material = shop.materials.get(each.material or "")
        strength = material.strength_mpa if material else None
        if number == 0 and process.strength_mpa is not None:
            strength = process.strength_mpa
        found.append(
            Stress(
                of=material.title if material else "the material as made",
                root_mpa=bent.root_moment_n_mm * each.root_per_moment,
                greatest_mpa=_greatest(bent, each),
                strength_mpa=strength,
            )
        )
    return tuple(found)


def worst_of(stresses: Sequence[Stress]) -> Stress | None:
    """Return what uses most of its strength; None where no strength is stated."""
    known = [each for each in stresses if each.share is not None]
    return max(known, key=lambda each: each.share or 0.0, default=None)


def _greatest(bent: Bending, stressed: Stressed) -> float:
    stations = STATIONS.ravel() * bent.x_mm[-1]
    each = np.interp(bent.x_mm, stations, stressed.per_moment.ravel())
    each[0] = stressed.root_per_moment
    return float((np.abs(bent.moment_n_mm) * each).max())
