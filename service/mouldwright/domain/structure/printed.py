"""A printed shell with infill.

The shell is what lies within walls x wall width of the outline; the inside has
E = Es · infillⁿ (Gibson and Ashby, "Cellular Solids"; n = 2 for an open, bending-dominated
filling, 1 for a stretch-dominated one; from memory). No single power law holds over all
fillings, so the shop states n.
"""

from __future__ import annotations

import numpy as np

from mouldwright.domain.material import Material
from mouldwright.domain.part.beam import STATIONS
from mouldwright.domain.part.constituent import Charge, Constituent
from mouldwright.domain.part.integrals import Array
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.part.section import section_at
from mouldwright.domain.structure.kinds import PrintStructure
from mouldwright.domain.structure.made import (
    Made,
    PartShape,
    Stressed,
    along,
    at_stations,
    too_thin,
)
from mouldwright.domain.structure.mix import modulus_of, shear_modulus_gpa
from mouldwright.domain.structure.shell import solid_and_core

_CUTS = 9


def infill_stiffness(infill: float, exponent: float) -> float:
    """Return E/Es of a filling, infill ** exponent."""
    return float(infill**exponent)


def shell_shares(
    part: Part, share: float, shell_mm: float, infill: float, exponent: float
) -> tuple[float, float]:
    """Return a printed section's bending stiffness and mass as shares of the solid one's.

    Where the section is thinner than two shells there is no inside, and both are 1.
    """
    solid, core = solid_and_core(part.section, share, shell_mm)
    soft = 1 - infill_stiffness(infill, exponent)
    stretch = solid.area - soft * core.area
    first = solid.first_y - soft * core.first_y
    second = solid.second_yy - soft * core.second_yy
    bending = (second - first**2 / stretch) / solid.central().second_yy
    mass = 1 - (1 - infill) * core.area / solid.area
    return bending, mass


def made_of_print(
    part: Part, shape: PartShape, structure: PrintStructure, material: Material
) -> Made:
    """Return what printing makes of a part.

    Raises:
        InvalidInput: if the material has no modulus.
    """
    shell = structure.walls * structure.wall_mm
    cuts = np.array([0.0]) if is_straight(part) else np.linspace(0.0, 1.0, _CUTS)
    shares = np.array(
        [
            shell_shares(part, float(cut), shell, structure.infill, structure.infill_exponent)
            for cut in cuts
        ]
    )
    stations = STATIONS.ravel()
    bending_share = between_cuts(stations, shares[:, 0])
    mass_share = between_cuts(stations, shares[:, 1])
    stiff = modulus_of(material) * 1000 * structure.layer_factor
    line, root = shape.line, shape.root
    grams_mm = material.density_kg_m3 * 1e-6 * line.area_mm2 * mass_share
    grams = along(grams_mm, part.span_mm)
    bending = stiff * line.second_moment_x_mm4 * bending_share
    root_bending = stiff * root.second_moment_x_mm4 * float(shares[0, 0])
    shear = shear_modulus_gpa(material) * 1000 * structure.layer_factor
    return Made(
        bending_n_mm2=at_stations(bending),
        shear_n=at_stations(shear * line.shear_area_mm2 * mass_share),
        gyration_mm2=at_stations(line.second_moment_x_mm4 / line.area_mm2),
        mass_g_mm=at_stations(grams_mm),
        torsion_n_mm2=at_stations(shear * line.torsion_constant_mm4 * mass_share),
        root_bending_n_mm2=root_bending,
        stressed=(
            Stressed(
                material=material.key,
                per_moment=at_stations(stiff * line.extreme_fibre_mm / bending),
                root_per_moment=stiff * root.extreme_fibre_mm / root_bending,
            ),
        ),
        charge=Charge(
            constituents=(
                Constituent(
                    material=material.key,
                    finished_g=grams,
                    loaded_g=grams,
                    density_kg_m3=material.density_kg_m3,
                ),
            ),
            volume_mm3=shape.volume_mm3,
        ),
        rule=f"shell of {shell:g} mm with {structure.infill * 100:g} % infill, "
        f"E/Es = infill^{structure.infill_exponent:g} (Gibson-Ashby), layers "
        f"x {structure.layer_factor:g}",
        reasons=too_thin(
            part,
            structure.wall_mm
            if structure.least_thickness_mm is None
            else structure.least_thickness_mm,
            "printing",
        ),
    )


def between_cuts(stations: Array, values: Array, *, most: float = 1.0) -> Array:
    """Return values between even cuts along the span, by parabolas through three cuts each.

    Where the inside ends within a parabola it may pass the most there can be, which is cut off.
    """
    if len(values) == 1:
        return np.full_like(stations, values[0])
    pieces = (len(values) - 1) // 2
    piece = np.minimum((stations * pieces).astype(np.intp), pieces - 1)
    at = 2 * (stations * pieces - piece)
    first, middle, last = (values[2 * piece + n] for n in range(3))
    curve: Array = first + at * (middle - first)
    curve = curve + at * (at - 1) / 2 * (first - 2 * middle + last)
    return np.minimum(curve, most)


def is_straight(part: Part) -> bool:
    """Return whether a part has one section from root to tip."""
    root, tip = section_at(part.section, 0.0), section_at(part.section, 1.0)
    return root.width_mm == tip.width_mm and root.area_mm2 == tip.area_mm2
