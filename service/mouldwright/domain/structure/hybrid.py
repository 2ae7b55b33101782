"""Skins over a core: what lies within a skin's thickness of the outline, and what it wraps.

EI about the elastic centroid, Σ Ei (Ii + Ai yi²), the two bonded (any text on mechanics of
materials). Shear and twist are carried by the core's own modulus alone, which is the safe side: a
sandwich is soft in shear where its core is. That a thin skin may wrinkle or let go is not computed.
"""

from __future__ import annotations

import numpy as np

from mouldwright.domain.material import Material
from mouldwright.domain.part.beam import STATIONS
from mouldwright.domain.part.constituent import Charge, Constituent
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.part.section import section_at
from mouldwright.domain.structure.kinds import HybridStructure
from mouldwright.domain.structure.made import (
    Made,
    PartShape,
    Stressed,
    along,
    at_stations,
    too_thin,
)
from mouldwright.domain.structure.mix import modulus_of, shear_modulus_gpa
from mouldwright.domain.structure.printed import between_cuts, is_straight
from mouldwright.domain.structure.shell import solid_and_core

_CUTS = 9


def skin_shares(part: Part, share: float, skin_mm: float, ratio: float) -> tuple[float, float]:
    """Return bending stiffness over that of solid skin, and the core's share of the area.

    Args:
        part: As drawn.
        share: Where along the span.
        skin_mm: Thickness of the skins.
        ratio: Modulus of the core over the skins'.
    """
    solid, core = solid_and_core(part.section, share, skin_mm)
    lacks = 1 - ratio
    stretch = solid.area - lacks * core.area
    first = solid.first_y - lacks * core.first_y
    second = solid.second_yy - lacks * core.second_yy
    bending = (second - first**2 / stretch) / solid.central().second_yy
    return bending, core.area / solid.area


def made_of_hybrid(
    part: Part, shape: PartShape, structure: HybridStructure, skin: Material, core: Material
) -> Made:
    """Return what skins over a core make of a part.

    Raises:
        InvalidInput: if a material has no modulus.
    """
    stiff = modulus_of(skin) * 1000 * structure.skin_factor
    ratio = modulus_of(core) * 1000 / stiff
    cuts = np.array([0.0]) if is_straight(part) else np.linspace(0.0, 1.0, _CUTS)
    shares = np.array([skin_shares(part, float(c), structure.skin_mm, ratio) for c in cuts])
    stations = STATIONS.ravel()
    most = max(1.0, float(shares[:, 0].max()))  # a core stiffer than its skins passes 1
    bending_share = between_cuts(stations, shares[:, 0], most=most)
    core_share = np.maximum(between_cuts(stations, shares[:, 1]), 0.0)
    line, root = shape.line, shape.root
    core_mm = core.density_kg_m3 * 1e-6 * line.area_mm2 * core_share
    skin_mm = skin.density_kg_m3 * 1e-6 * line.area_mm2 * (1 - core_share)
    bending = stiff * line.second_moment_x_mm4 * bending_share
    root_bending = stiff * root.second_moment_x_mm4 * float(shares[0, 0])
    shear = shear_modulus_gpa(core) * 1000
    grams = {skin.key: along(skin_mm, part.span_mm), core.key: along(core_mm, part.span_mm)}
    named = {skin.key: skin, core.key: core}
    return Made(
        bending_n_mm2=at_stations(bending),
        shear_n=at_stations(shear * line.shear_area_mm2),
        gyration_mm2=at_stations(line.second_moment_x_mm4 / line.area_mm2),
        mass_g_mm=at_stations(core_mm + skin_mm),
        root_bending_n_mm2=root_bending,
        stressed=tuple(
            Stressed(
                material=each.key,
                per_moment=at_stations(
                    mpa * np.maximum(line.extreme_fibre_mm - within_mm, 0.0) / bending
                ),
                root_per_moment=mpa * max(root.extreme_fibre_mm - within_mm, 0.0) / root_bending,
            )
            for each, mpa, within_mm in (
                (skin, stiff, 0.0),
                (core, stiff * ratio, structure.skin_mm),
            )
        ),
        torsion_n_mm2=at_stations(shear * line.torsion_constant_mm4),
        charge=Charge(
            constituents=tuple(
                Constituent(
                    material=key,
                    finished_g=each,
                    loaded_g=each,
                    density_kg_m3=named[key].density_kg_m3,
                )
                for key, each in grams.items()
            ),
            volume_mm3=shape.volume_mm3,
        ),
        rule=f"skins of {structure.skin_mm:g} mm, {structure.skin_factor:g} of {skin.title} along "
        f"the part, bonded over {core.title}",
        reasons=(
            *too_thin(part, structure.least_thickness_mm, "skins over a core"),
            *_no_core(part, structure.skin_mm),
        ),
        warnings=(
            "Thin skins may wrinkle or let go before they bend as reckoned; that is not computed.",
        ),
    )


def _no_core(part: Part, skin_mm: float) -> tuple[str, ...]:
    """Return why there is nothing between the skins, judged where the part is thickest."""
    thickest = max(section_at(part.section, share).thickness_mm for share in (0.0, 1.0))
    if 2 * skin_mm < thickest:
        return ()
    return (
        f"two skins of {skin_mm:g} mm leave no core in {thickest:.1f} mm of thickness: make them "
        f"thinner than {thickest / 2:.1f} mm",
    )
