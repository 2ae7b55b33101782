"""A shape turned into numbers, at one place or all along the span.

x runs from the leading edge (the left end of a width, the least x of a polygon), y from the
chord line (the middle of a height, the y = 0 of a polygon). Second moments are about axes
through the centroid, parallel to those.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from functools import lru_cache

import numpy as np

from mouldwright.domain.part.integrals import AreaIntegrals, Array, principal
from mouldwright.domain.part.naca import (
    SYMMETRIC_THICKEST,
    digits,
    naca_integrals,
    naca_outline,
)
from mouldwright.domain.part.polygon import (
    region_integrals,
    sound_loop,
    sound_region,
    thickest,
    thickest_across,
)
from mouldwright.domain.part.shape import (
    Coordinates,
    Ellipse,
    Naca4,
    Polygon,
    Rectangle,
    Shape,
    Tube,
)
from mouldwright.domain.part.shear import (
    RECTANGLE_SHARE,
    ellipse_share,
    slice_share,
    tube_share,
)
from mouldwright.domain.part.torsion import (
    ellipse_torsion,
    rectangle_torsion,
    region_torsion,
    slender_torsion,
)

ROUND_PANELS = 180


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One section's numbers.

    Attributes:
        second_moment_x_mm4: ∫y² dA about the centroid: what resists a load along y.
        product_mm4: ∫xy dA about the centroid.
        principal_angle_rad: From x to the axis of the greatest second moment, anticlockwise.
        torsion_constant_mm4: Closed form or estimate, see ``torsion.py``.
        shear_area_mm2: For a load along y, see ``shear.py``.
        extreme_fibre_mm: Greatest distance from the centroid, along y.
        width_mm: Chord or width.
        thickness_mm: Where it is thickest: of a foil across the chord, of a tube its wall,
            else the largest circle that fits in.
        least_thickness_mm: The thinnest place the shape itself names: a foil's tail, a
            tube's wall; else as ``thickness_mm``.
    """

    area_mm2: float
    centroid_x_mm: float
    centroid_y_mm: float
    second_moment_x_mm4: float
    second_moment_y_mm4: float
    product_mm4: float
    torsion_constant_mm4: float
    shear_area_mm2: float
    extreme_fibre_mm: float
    width_mm: float
    thickness_mm: float
    least_thickness_mm: float

    @property
    def principal(self) -> tuple[float, float, float]:
        """Return greatest and least second moment (mm⁴) and the angle of the first's axis."""
        return principal(self.second_moment_x_mm4, self.second_moment_y_mm4, self.product_mm4)

    @property
    def greatest_second_moment_mm4(self) -> float:
        """Return the greater principal second moment."""
        return self.principal[0]

    @property
    def least_second_moment_mm4(self) -> float:
        """Return the lesser principal second moment."""
        return self.principal[1]

    @property
    def principal_angle_rad(self) -> float:
        """Return the angle from x to the axis of the greatest second moment."""
        return self.principal[2]


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionLine:
    """The same numbers at many places along the span, as arrays of one shape.

    Attributes:
        shares: Where, as shares of the span.
    """

    shares: Array
    area_mm2: Array
    centroid_x_mm: Array
    centroid_y_mm: Array
    second_moment_x_mm4: Array
    second_moment_y_mm4: Array
    product_mm4: Array
    torsion_constant_mm4: Array
    shear_area_mm2: Array
    extreme_fibre_mm: Array
    width_mm: Array
    thickness_mm: Array
    least_thickness_mm: Array


def linear(root: float, tip: float | None, shares: Array) -> Array:
    """Return a size that runs straight from root to tip; unset, the tip is as the root."""
    end = root if tip is None else tip
    run: Array = root + (end - root) * shares
    return run


def section_at(shape: Shape, share: float = 0.0) -> Section:
    """Return a section at a share of the span, 0 at the root.

    Raises:
        ValueError: if the shape is not sound.
    """
    line = sections_along(shape, np.array([share]))
    return Section(**{f.name: float(getattr(line, f.name)[0]) for f in fields(Section)})


def sections_along(shape: Shape, shares: Array) -> SectionLine:
    """Return the sections at many shares of the span.

    Raises:
        ValueError: if the shape is not sound, or a size is not above zero at some end.
    """
    check_sizes(shape)
    if isinstance(shape, Rectangle):
        return _rectangles(shape, shares)
    if isinstance(shape, Ellipse):
        return _ellipses(shape, shares)
    if isinstance(shape, Tube):
        return _tubes(shape, shares)
    return _similar(drawn_section(shape), scale_along(shape, shares), shares)


def check_sizes(shape: Shape) -> None:
    """Raise ValueError, naming the size, unless every size is above zero."""
    for field in fields(shape):
        value = getattr(shape, field.name)
        least_is_zero = field.name in ("inner_mm", "tip_inner_mm")
        if isinstance(value, (int, float)) and not (
            math.isfinite(value) and (value > 0 or (least_is_zero and value == 0))
        ):
            raise ValueError(f"{field.name} is {value:g}; it must be above zero")
    if isinstance(shape, Tube):
        tip_outer = shape.outer_mm if shape.tip_outer_mm is None else shape.tip_outer_mm
        tip_inner = shape.inner_mm if shape.tip_inner_mm is None else shape.tip_inner_mm
        for where, outer, inner in (
            ("root", shape.outer_mm, shape.inner_mm),
            ("tip", tip_outer, tip_inner),
        ):
            if inner >= outer:
                raise ValueError(
                    f"the tube has no wall at its {where}: inner {inner:g} mm, outer {outer:g} mm"
                )


def drawn_thickness_mm(shape: Shape) -> float:
    """Return the greatest thickness at the root along the load: what a caliper finds there.

    Of a foil it is the thickness across the chord, whatever its camber.

    Raises:
        ValueError: if the shape is not sound.
    """
    if isinstance(shape, Naca4 | Coordinates):
        return section_at(shape).thickness_mm
    return float(np.ptp(outline_at(shape)[0][:, 1]))


def scale_along(shape: Naca4 | Coordinates | Polygon, shares: Array) -> Array:
    """Return the local size as a share of the root's."""
    if isinstance(shape, Polygon):
        return linear(1.0, shape.tip_scale, shares)
    return linear(shape.chord_mm, shape.tip_chord_mm, shares) / shape.chord_mm


def outline_at(shape: Shape, share: float = 0.0) -> tuple[Array, ...]:
    """Return outer loop and holes in mm at a share of the span; curves as many short edges.

    Raises:
        ValueError: if the shape is not sound.
    """
    at = np.array([share])
    if isinstance(shape, Rectangle):
        half = linear(shape.height_mm, shape.tip_height_mm, at)[0] / 2
        width = linear(shape.width_mm, shape.tip_width_mm, at)[0]
        return (np.array([[0.0, -half], [width, -half], [width, half], [0.0, half]]),)
    if isinstance(shape, Ellipse):
        width = linear(shape.width_mm, shape.tip_width_mm, at)[0]
        height = linear(shape.height_mm, shape.tip_height_mm, at)[0]
        return (_round(width, height, width / 2),)
    if isinstance(shape, Tube):
        outer = linear(shape.outer_mm, shape.tip_outer_mm, at)[0]
        inner = linear(shape.inner_mm, shape.tip_inner_mm, at)[0]
        holes = (_round(inner, inner, outer / 2),) if inner > 0 else ()
        return (_round(outer, outer, outer / 2), *holes)
    scale = scale_along(shape, at)[0]
    return tuple(loop * scale for loop in _drawn_loops(shape))


def _round(width: float, height: float, middle_x: float) -> Array:
    turn = np.linspace(0, 2 * math.pi, ROUND_PANELS, endpoint=False)
    return np.column_stack([middle_x + width / 2 * np.cos(turn), height / 2 * np.sin(turn)])


@lru_cache(maxsize=64)
def _drawn_loops(shape: Naca4 | Coordinates | Polygon) -> tuple[Array, ...]:
    """Return the loops at the root, in mm."""
    if isinstance(shape, Naca4):
        return (naca_outline(shape.code) * shape.chord_mm,)
    if isinstance(shape, Coordinates):
        return (sound_loop(shape.points) * shape.chord_mm,)
    loops = sound_region(shape.points_mm, shape.holes_mm)
    nose = np.array([loops[0][:, 0].min(), 0.0])
    return tuple(loop - nose for loop in loops)


@lru_cache(maxsize=64)
def drawn_section(shape: Naca4 | Coordinates | Polygon) -> Section:
    """Return the root section of a shape that keeps its form along the span.

    Raises:
        ValueError: if the shape is not sound.
    """
    loops = _drawn_loops(shape)
    low, high = float(loops[0][:, 1].min()), float(loops[0][:, 1].max())
    if isinstance(shape, Naca4):
        found = _scaled(naca_integrals(shape.code), shape.chord_mm)
        width, said = shape.chord_mm, digits(shape.code)
        if said.camber == 0:
            thick = SYMMETRIC_THICKEST * said.thickness * width
            low, high = -thick / 2, thick / 2
        else:
            thick = thickest_across(loops[0])
    else:
        found = region_integrals(loops)
        if isinstance(shape, Coordinates):
            width, thick = shape.chord_mm, thickest_across(loops[0])
        else:
            width, thick = float(np.ptp(loops[0][:, 0])), thickest(loops)
    least = thick if isinstance(shape, Polygon) else _tail(loops[0], width)
    central = found.central()
    x, y = found.centroid
    torsion = (
        region_torsion(loops)
        if isinstance(shape, Polygon)
        else slender_torsion(found.area, central.second_yy, width)
    )
    return Section(
        area_mm2=found.area,
        centroid_x_mm=x,
        centroid_y_mm=y,
        second_moment_x_mm4=central.second_yy,
        second_moment_y_mm4=central.second_xx,
        product_mm4=central.second_xy,
        torsion_constant_mm4=torsion,
        shear_area_mm2=slice_share(loops) * found.area,
        extreme_fibre_mm=max(high - y, y - low),
        width_mm=width,
        thickness_mm=thick,
        least_thickness_mm=least,
    )


def _tail(loop: Array, chord_mm: float) -> float:
    """Return how far a foil's tail is open; a loop runs from its upper end to its lower one."""
    run, rise = np.abs(loop[0] - loop[-1])
    # A sharp tail is one corner, and the last point is then some way up the chord.
    return float(np.hypot(run, rise)) if run < 0.02 * chord_mm else 0.0


def _scaled(found: AreaIntegrals, size: float) -> AreaIntegrals:
    return AreaIntegrals(
        area=found.area * size**2,
        first_x=found.first_x * size**3,
        first_y=found.first_y * size**3,
        second_xx=found.second_xx * size**4,
        second_yy=found.second_yy * size**4,
        second_xy=found.second_xy * size**4,
    )


def _similar(root: Section, scale: Array, shares: Array) -> SectionLine:
    two, four = scale**2, scale**4
    return SectionLine(
        shares=shares,
        area_mm2=root.area_mm2 * two,
        centroid_x_mm=root.centroid_x_mm * scale,
        centroid_y_mm=root.centroid_y_mm * scale,
        second_moment_x_mm4=root.second_moment_x_mm4 * four,
        second_moment_y_mm4=root.second_moment_y_mm4 * four,
        product_mm4=root.product_mm4 * four,
        torsion_constant_mm4=root.torsion_constant_mm4 * four,
        shear_area_mm2=root.shear_area_mm2 * two,
        extreme_fibre_mm=root.extreme_fibre_mm * scale,
        width_mm=root.width_mm * scale,
        thickness_mm=root.thickness_mm * scale,
        least_thickness_mm=root.least_thickness_mm * scale,
    )


def _rectangles(shape: Rectangle, shares: Array) -> SectionLine:
    b = linear(shape.width_mm, shape.tip_width_mm, shares)
    h = linear(shape.height_mm, shape.tip_height_mm, shares)
    thin = np.minimum(b, h)
    return SectionLine(
        shares=shares,
        area_mm2=b * h,
        centroid_x_mm=b / 2,
        centroid_y_mm=np.zeros_like(b),
        second_moment_x_mm4=b * h**3 / 12,
        second_moment_y_mm4=h * b**3 / 12,
        product_mm4=np.zeros_like(b),
        torsion_constant_mm4=rectangle_torsion(b, h),
        shear_area_mm2=RECTANGLE_SHARE * b * h,
        extreme_fibre_mm=h / 2,
        width_mm=b,
        thickness_mm=thin,
        least_thickness_mm=thin,
    )


def _ellipses(shape: Ellipse, shares: Array) -> SectionLine:
    b = linear(shape.width_mm, shape.tip_width_mm, shares)
    h = linear(shape.height_mm, shape.tip_height_mm, shares)
    area = math.pi / 4 * b * h
    thin = np.minimum(b, h)
    return SectionLine(
        shares=shares,
        area_mm2=area,
        centroid_x_mm=b / 2,
        centroid_y_mm=np.zeros_like(b),
        second_moment_x_mm4=area * h**2 / 16,
        second_moment_y_mm4=area * b**2 / 16,
        product_mm4=np.zeros_like(b),
        torsion_constant_mm4=ellipse_torsion(b, h),
        shear_area_mm2=ellipse_share(b, h) * area,
        extreme_fibre_mm=h / 2,
        width_mm=b,
        thickness_mm=thin,
        least_thickness_mm=thin,
    )


def _tubes(shape: Tube, shares: Array) -> SectionLine:
    outer = linear(shape.outer_mm, shape.tip_outer_mm, shares)
    inner = linear(shape.inner_mm, shape.tip_inner_mm, shares)
    area = math.pi / 4 * (outer**2 - inner**2)
    second = math.pi / 64 * (outer**4 - inner**4)
    wall = np.where(inner > 0, (outer - inner) / 2, outer)
    return SectionLine(
        shares=shares,
        area_mm2=area,
        centroid_x_mm=outer / 2,
        centroid_y_mm=np.zeros_like(outer),
        second_moment_x_mm4=second,
        second_moment_y_mm4=second,
        product_mm4=np.zeros_like(outer),
        torsion_constant_mm4=2 * second,
        shear_area_mm2=tube_share(outer, inner) * area,
        extreme_fibre_mm=outer / 2,
        width_mm=outer,
        thickness_mm=wall,
        least_thickness_mm=wall,
    )
