"""An effective modulus and density, measured on parts of the process."""

from __future__ import annotations

from mouldwright.domain.part.constituent import Charge, Constituent
from mouldwright.domain.structure.kinds import MeasuredStructure
from mouldwright.domain.structure.made import Made, PartShape, at_stations, stressed_evenly

# Shear follows from the modulus of an isotropic solid of this Poisson's ratio.
_POISSON = 0.35


def made_as_measured(shape: PartShape, structure: MeasuredStructure) -> Made:
    """Return what a measured modulus makes of a part.

    Where the structure names no material, the part's mass is known and none is charged.
    """
    stiff = structure.modulus_gpa * 1000
    grams_mm = structure.density_kg_m3 * 1e-6
    grams = shape.volume_mm3 * grams_mm
    line, root = shape.line, shape.root
    named = (
        ()
        if structure.material is None
        else (
            Constituent(
                material=structure.material,
                finished_g=grams,
                loaded_g=grams,
                density_kg_m3=structure.density_kg_m3,
            ),
        )
    )
    return Made(
        bending_n_mm2=at_stations(stiff * line.second_moment_x_mm4),
        shear_n=at_stations(stiff / (2 * (1 + _POISSON)) * line.shear_area_mm2),
        gyration_mm2=at_stations(line.second_moment_x_mm4 / line.area_mm2),
        mass_g_mm=at_stations(grams_mm * line.area_mm2),
        torsion_n_mm2=at_stations(stiff / (2 * (1 + _POISSON)) * line.torsion_constant_mm4),
        root_bending_n_mm2=stiff * root.second_moment_x_mm4,
        stressed=(stressed_evenly(shape),),
        charge=Charge(
            constituents=named,
            unnamed_g=0.0 if named else grams,
            volume_mm3=shape.volume_mm3,
        ),
        rule=f"{structure.modulus_gpa:g} GPa",
        is_measured=True,
        source=structure.source,
    )
