"""How far an end-loaded cantilever really bends, past where the straight-line theory holds.

The elastica of a uniform cantilever under an end load that keeps its direction. With α = PL²/EI and
sin φ = 1/(k√2): √α = K(k) - F(φ, k) and δ/L = 1 - 2 (E(k) - E(φ, k)) / √α. Bisshopp and Drucker,
"Large deflection of cantilever beams", 1945 (from memory).
"""

from __future__ import annotations

import math

from mouldwright.domain.special import ellipe, ellipeinc, ellipk, ellipkinc

_ROUNDS = 80
# Past this a cantilever is bent round so far that no bench would call it a part.
MOST_LOAD = 1000.0


def load_of(modulus: float) -> float:
    """Return α = PL²/EI for an elliptic modulus k between 1/√2 and 1."""
    square = modulus**2
    start = math.asin(1 / (modulus * math.sqrt(2)))
    return float(ellipk(square) - ellipkinc(start, square)) ** 2


def tip_share(load: float) -> float:
    """Return δ/L of the elastica under α = PL²/EI; the straight-line theory says α/3."""
    if load < 1e-6:
        return load / 3
    low, high = 1 / math.sqrt(2), 1 - 1e-15
    for _ in range(_ROUNDS):
        middle = (low + high) / 2
        if load_of(middle) < load:
            low = middle
        else:
            high = middle
    square = low**2
    start = math.asin(min(1.0, 1 / (low * math.sqrt(2))))
    arc = float(ellipe(square) - ellipeinc(start, square))
    return 1 - 2 * arc / math.sqrt(load)


def straight_line_excess(tip_share_by_theory: float) -> float:
    """Return by which share the straight-line deflection δ/L overstates the elastica's.

    Exact for an end load on a uniform cantilever, and near enough to say when the theory strains.
    """
    load = min(3 * tip_share_by_theory, MOST_LOAD)
    true = tip_share(load)
    return load / 3 / true - 1 if true > 0 else 0.0
