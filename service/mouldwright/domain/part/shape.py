"""The shapes a section may have, as written down; ``section.py`` turns them into numbers.

In every shape x runs along the chord or width and y is normal to it; the load acts along y.
Root sizes come first; a ``tip_`` size, where given, is reached linearly at the tip.
"""

from __future__ import annotations

from dataclasses import dataclass

Point = tuple[float, float]
Loop = tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Naca4:
    """A NACA 4-digit section with the open trailing edge (0.1015)."""

    code: str
    chord_mm: float
    tip_chord_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Coordinates:
    """An airfoil from a two-column coordinate file, in shares of the chord.

    Attributes:
        points: One closed loop, trailing edge over the top to the trailing edge again.
        source: Name of the file, for messages.
    """

    points: Loop
    chord_mm: float
    tip_chord_mm: float | None = None
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Polygon:
    """A polygon in mm with holes; ``tip_scale`` scales it towards the tip."""

    points_mm: Loop
    holes_mm: tuple[Loop, ...] = ()
    tip_scale: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Rectangle:
    """A rectangle; its width lies along x."""

    width_mm: float
    height_mm: float
    tip_width_mm: float | None = None
    tip_height_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ellipse:
    """An ellipse by its full axes."""

    width_mm: float
    height_mm: float
    tip_width_mm: float | None = None
    tip_height_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tube:
    """A round tube; ``inner_mm`` may be 0 for a round bar."""

    outer_mm: float
    inner_mm: float = 0.0
    tip_outer_mm: float | None = None
    tip_inner_mm: float | None = None


Shape = Naca4 | Coordinates | Polygon | Rectangle | Ellipse | Tube
