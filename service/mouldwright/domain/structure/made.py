"""What a structure makes of a part: stiffness and mass along the span."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np

from mouldwright.domain.part.beam import STATIONS
from mouldwright.domain.part.constituent import Charge
from mouldwright.domain.part.integrals import Array, station_weights
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.part.section import Section, SectionLine, section_at, sections_along


@dataclass(frozen=True, slots=True, kw_only=True)
class PartShape:
    """A part's sections at the stations of a beam, and at its root.

    Attributes:
        line: Sections at ``STATIONS``, each array of shape (PANELS * 4,).
    """

    span_mm: float
    root: Section
    line: SectionLine

    @property
    def volume_mm3(self) -> float:
        """Return the volume of the whole part."""
        return along(self.line.area_mm2, self.span_mm)

    def thickened(self, by: float) -> PartShape:
        """Return the same part with every height along the load so many times as great.

        A piece off the mould is a little thicker or thinner than drawn, and its bending
        stiffness goes by the cube: 3 % of thickness is 9 % of stiffness.
        """
        return replace(self, root=_thickened(self.root, by), line=_thickened(self.line, by))


@dataclass(frozen=True, slots=True, kw_only=True)
class Stressed:
    """How a bending moment stresses one material of a part.

    Attributes:
        material: Its key; None for what is one material only as made.
        per_moment: Its greatest stress over the moment at the same place, MPa per N mm, at
            ``STATIONS``; nothing where it does not reach.
        root_per_moment: The same at the root.
    """

    material: str | None
    per_moment: Array
    root_per_moment: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A part made one way.

    Attributes:
        bending_n_mm2: EI about the chord-parallel axis at ``STATIONS``, shape (PANELS, 4).
        shear_n: Shear area times shear modulus there.
        mass_g_mm: Mass per length there.
        gyration_mm2: Second moment of the section over its area there.
        root_bending_n_mm2: EI at the root.
        stressed: Each material that bears bending, the base material first.
        torsion_n_mm2: GJ at ``STATIONS``.
        rule: Which published rule gave the stiffness, in words.
        is_measured: Whether it was measured, so that no theory factor applies.
        source: Where measured figures come from; None where nobody says.
        reasons: Why the part cannot be made so; empty where it can.
        warnings: What the reader should know besides.
    """

    bending_n_mm2: Array
    shear_n: Array
    mass_g_mm: Array
    gyration_mm2: Array
    root_bending_n_mm2: float
    stressed: tuple[Stressed, ...]
    charge: Charge
    rule: str
    torsion_n_mm2: Array
    is_measured: bool = False
    source: str | None = None
    reasons: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()


_AnySection = TypeVar("_AnySection", Section, SectionLine)


def _thickened(section: _AnySection, by: float) -> _AnySection:
    return replace(
        section,
        area_mm2=section.area_mm2 * by,
        centroid_y_mm=section.centroid_y_mm * by,
        second_moment_x_mm4=section.second_moment_x_mm4 * by**3,
        second_moment_y_mm4=section.second_moment_y_mm4 * by,
        product_mm4=section.product_mm4 * by**2,
        torsion_constant_mm4=section.torsion_constant_mm4 * by**3,
        shear_area_mm2=section.shear_area_mm2 * by,
        extreme_fibre_mm=section.extreme_fibre_mm * by,
        thickness_mm=section.thickness_mm * by,
        least_thickness_mm=section.least_thickness_mm * by,
    )


def shape_of(part: Part) -> PartShape:
    """Return a part's sections where a beam needs them.

    Raises:
        ValueError: if the shape is not sound.
    """
    return PartShape(
        span_mm=part.span_mm,
        root=section_at(part.section, 0.0),
        line=sections_along(part.section, STATIONS.ravel()),
    )


def along(values: Array, span_mm: float) -> float:
    """Return the integral along the span of values at ``STATIONS``."""
    return float(values.ravel() @ station_weights(STATIONS)) * span_mm


def reached(length_share: float) -> Array:
    """Return which share of each station's panel something from the root reaches.

    1 before its end, 0 past it, and between them in the one panel it ends in.
    """
    panels = len(STATIONS)
    each = np.clip(length_share * panels - np.arange(panels), 0.0, 1.0)
    return np.repeat(each, STATIONS.shape[1])


def at_stations(values: Array) -> Array:
    """Return a flat array at ``STATIONS`` in the beam's shape (PANELS, 4)."""
    return values.reshape(STATIONS.shape)


def stressed_evenly(shape: PartShape) -> Stressed:
    """Return how bending stresses a part that is one material throughout: y / I."""
    line, root = shape.line, shape.root
    return Stressed(
        material=None,
        per_moment=at_stations(line.extreme_fibre_mm / line.second_moment_x_mm4),
        root_per_moment=root.extreme_fibre_mm / root.second_moment_x_mm4,
    )


def too_thin(part: Part, least_mm: float | None, what: str) -> tuple[str, ...]:
    """Return why a part is too thin, judged where its thinnest section is thickest.

    The thin tail of every foil would rule every foil out, so the tail is not what counts.
    """
    if least_mm is None:
        return ()
    thickest = min(section_at(part.section, share).thickness_mm for share in (0.0, 1.0))
    if thickest >= least_mm:
        return ()
    return (
        f"{what} needs {least_mm:g} mm of thickness and the thinnest section has "
        f"{thickest:.1f} mm: thicken it by {least_mm - thickest:.1f} mm",
    )
