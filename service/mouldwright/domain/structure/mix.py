"""Chopped fibre in a matrix: fractions, density, modulus by published rules.

Mass to volume fractions: Vf = (Wf/ρf) / (Wf/ρf + (1 - Wf)/ρm), and 1/ρ = Wf/ρf + (1 - Wf)/ρm
(Hull and Clyne, "An Introduction to Composite Materials"; from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.material import Material
from mouldwright.domain.part.constituent import Charge, Constituent
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.structure.kinds import MixStructure
from mouldwright.domain.structure.made import (
    Made,
    PartShape,
    at_stations,
    stressed_evenly,
    too_thin,
)

# Krenchel's orientation efficiencies (Krenchel, "Fibre Reinforcement", 1964; from memory).
_ORIENTATION = {"planar random": 3 / 8, "random": 1 / 5, "aligned": 1.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Fractions:
    """What a mix is made of, finished and loaded.

    Attributes:
        fibre_mass: Fibre's share of the finished mass.
        fibre_mass_loaded: Its share of what is loaded.
        fibre_volume: Its share of the finished volume without voids.
        density_kg_m3: Of the finished part, voids included.
    """

    fibre_mass: float
    fibre_mass_loaded: float
    fibre_volume: float
    density_kg_m3: float


def volume_fraction(fibre_mass: float, fibre_density: float, matrix_density: float) -> float:
    """Return the fibre's share of the volume from its share of the mass."""
    fibre, matrix = fibre_mass / fibre_density, (1 - fibre_mass) / matrix_density
    return fibre / (fibre + matrix)


def mass_fraction(fibre_volume: float, fibre_density: float, matrix_density: float) -> float:
    """Return the fibre's share of the mass from its share of the volume."""
    fibre, matrix = fibre_volume * fibre_density, (1 - fibre_volume) * matrix_density
    return fibre / (fibre + matrix)


def density(fibre_mass: float, fibre_density: float, matrix_density: float) -> float:
    """Return the density of a mix without voids."""
    return 1 / (fibre_mass / fibre_density + (1 - fibre_mass) / matrix_density)


def void_share(theoretical_density: float, measured_density: float) -> float:
    """Return the share of voids from two densities (ASTM D2734; from memory)."""
    return (theoretical_density - measured_density) / theoretical_density


def finished_mass_fraction(loaded: float, squeeze_out: Decimal | float) -> float:
    """Return the fibre's finished share where excess matrix is squeezed out and fibre stays."""
    return loaded / (loaded + (1 - loaded) / (1 + float(squeeze_out)))


def fractions(
    structure: MixStructure, fibre: Material, matrix: Material, squeeze_out: Decimal
) -> Fractions:
    """Return a structure's fractions, finished and loaded, and its density."""
    extra = 1 + float(squeeze_out)
    stated = structure.fibre_mass_fraction
    if structure.fractions == "loaded":
        loaded, finished = stated, finished_mass_fraction(stated, squeeze_out)
    else:
        loaded, finished = stated / (stated + (1 - stated) * extra), stated
    solid = density(finished, fibre.density_kg_m3, matrix.density_kg_m3)
    return Fractions(
        fibre_mass=finished,
        fibre_mass_loaded=loaded,
        fibre_volume=volume_fraction(finished, fibre.density_kg_m3, matrix.density_kg_m3),
        density_kg_m3=solid * (1 - structure.void_fraction),
    )


def halpin_tsai(fibre_gpa: float, matrix_gpa: float, volume: float, xi: float) -> float:
    """Return E = Em (1 + ξηV)/(1 - ηV), η = (Ef/Em - 1)/(Ef/Em + ξ).

    Source: Halpin and Kardos, "The Halpin-Tsai equations: a review", 1976 (from memory).
    """
    ratio = fibre_gpa / matrix_gpa
    eta = (ratio - 1) / (ratio + xi)
    return matrix_gpa * (1 + xi * eta * volume) / (1 - eta * volume)


def planar_random(along_gpa: float, across_gpa: float) -> float:
    """Return E = 3/8 E_L + 5/8 E_T (Tsai and Pagano, 1968; from memory)."""
    return 3 / 8 * along_gpa + 5 / 8 * across_gpa


def planar_random_shear(along_gpa: float, across_gpa: float) -> float:
    """Return G = 1/8 E_L + 1/4 E_T (Tsai and Pagano, 1968; from memory)."""
    return along_gpa / 8 + across_gpa / 4


def length_efficiency(
    length_mm: float,
    diameter_um: float,
    fibre_gpa: float,
    matrix_shear_gpa: float,
    volume: float,
) -> float:
    """Return Cox's η = 1 - tanh(βl/2)/(βl/2), β² = 2 Gm / (Ef r² ln(R/r)), R/r = V^-1/2.

    Source: Cox, "The elasticity and strength of paper and other fibrous materials", 1952
    (from memory).
    """
    radius_mm = diameter_um / 2000
    beta = math.sqrt(
        2 * matrix_shear_gpa / (fibre_gpa * radius_mm**2 * math.log(1 / math.sqrt(volume)))
    )
    half = beta * length_mm / 2
    return 1 - math.tanh(half) / half


def cox_krenchel(
    fibre_gpa: float, matrix_gpa: float, volume: float, orientation: float, length: float
) -> float:
    """Return E = ηo ηl Ef Vf + Em Vm (Krenchel, 1964; from memory)."""
    return orientation * length * fibre_gpa * volume + matrix_gpa * (1 - volume)


def void_knock_down(share: float) -> float:
    """Return 1 - 1.9 p + 0.9 p², what round closed voids leave of a modulus.

    Source: Coble and Kingery, "Effect of porosity on physical properties of sintered
    alumina", 1956 (from memory).
    """
    return 1 - 1.9 * share + 0.9 * share**2


def shear_modulus_gpa(material: Material) -> float:
    """Return a material's shear modulus, from its Poisson's ratio where none is stated.

    Raises:
        InvalidInput: if it has no modulus.
    """
    if material.shear_modulus_gpa is not None:
        return material.shear_modulus_gpa
    return modulus_of(material) / (2 * (1 + material.poisson_ratio))


def modulus_of(material: Material) -> float:
    """Return a material's modulus in GPa.

    Raises:
        InvalidInput: if it has none.
    """
    if material.modulus_gpa is None:
        raise InvalidInput(
            [
                Fault(
                    path=f"materials.{material.key}.modulus_gpa",
                    value="",
                    problem="stiffness needs a modulus.",
                    remedy="Give it in GPa, from the maker's data sheet or a test.",
                )
            ]
        )
    return material.modulus_gpa


def modulus_gpa(structure: MixStructure, fibre: Material, matrix: Material, volume: float) -> float:
    """Return the modulus of a mix by the rule it names, voids taken off.

    Raises:
        InvalidInput: if the fibre or the matrix lacks a modulus or the fibre its size.
    """
    if fibre.fibre is None:
        raise InvalidInput(
            [
                Fault(
                    path=f"materials.{fibre.key}.fibre",
                    value="",
                    problem="a chopped fibre needs a length and a diameter.",
                    remedy="Say both, such as 6 mm and 7 µm.",
                )
            ]
        )
    own, resin = modulus_of(fibre), modulus_of(matrix)
    knock_down = void_knock_down(structure.void_fraction)
    if volume == 0:
        return resin * knock_down
    if structure.rule == "cox-krenchel":
        length = length_efficiency(
            fibre.fibre.length_mm,
            fibre.fibre.diameter_um,
            own,
            shear_modulus_gpa(matrix),
            volume,
        )
        share = _ORIENTATION[structure.orientation]
        return cox_krenchel(own, resin, volume, share, length) * knock_down
    slenderness = 2 * fibre.fibre.length_mm / (fibre.fibre.diameter_um / 1000)
    across_own = fibre.transverse_modulus_gpa or own
    along = halpin_tsai(own, resin, volume, slenderness)
    across = halpin_tsai(across_own, resin, volume, 2.0)
    if structure.orientation == "aligned":
        return along * knock_down
    if structure.orientation == "random":
        # Three-dimensional random: E = 1/5 E_L + 4/5 E_T (Lavengood and Goettler, 1971;
        # from memory).
        return (along / 5 + across * 4 / 5) * knock_down
    return planar_random(along, across) * knock_down


def in_plane_shear_gpa(
    structure: MixStructure, fibre: Material, matrix: Material, volume: float
) -> float:
    """Return the shear modulus in the plane of the fibres, which carries a flat part's twist.

    Tsai and Pagano's average where the fibres lie so, voids taken off; else the matrix's own,
    which is the safe one.

    Raises:
        InvalidInput: if the fibre or the matrix lacks a modulus.
    """
    if structure.orientation != "planar random" or fibre.fibre is None or volume == 0:
        return shear_modulus_gpa(matrix)
    own, resin = modulus_of(fibre), modulus_of(matrix)
    slenderness = 2 * fibre.fibre.length_mm / (fibre.fibre.diameter_um / 1000)
    along = halpin_tsai(own, resin, volume, slenderness)
    across = halpin_tsai(fibre.transverse_modulus_gpa or own, resin, volume, 2.0)
    return planar_random_shear(along, across) * void_knock_down(structure.void_fraction)


def made_of_mix(
    part: Part,
    shape: PartShape,
    structure: MixStructure,
    fibre: Material,
    matrix: Material,
    squeeze_out: Decimal,
) -> Made:
    """Return what a pressed mix makes of a part.

    Shear is carried by the matrix's own modulus: across the plane the fibres lie in,
    they help little, and the lower figure is the safe one.

    Raises:
        InvalidInput: if a material lacks what the rule needs.
    """
    share = fractions(structure, fibre, matrix, squeeze_out)
    modulus = modulus_gpa(structure, fibre, matrix, share.fibre_volume)
    line, root = shape.line, shape.root
    grams = share.density_kg_m3 * 1e-6
    finished = shape.volume_mm3 * grams
    stays = finished * (1 - share.fibre_mass)
    rule = {
        "halpin-tsai": "Halpin-Tsai with the Tsai-Pagano planar average",
        "cox-krenchel": "Cox-Krenchel",
    }[structure.rule]
    warnings = []
    if fibre.transverse_modulus_gpa is None and structure.rule == "halpin-tsai":
        warnings.append(
            f"{fibre.key} states no modulus across the fibre: its modulus along the fibre is "
            f"used across it too, which overstates the stiffness."
        )
    if share.fibre_volume > 0.55:
        warnings.append(
            f"{share.fibre_volume * 100:.0f} % fibre by volume is more than random fibre packs to "
            f"by hand; check the fractions."
        )
    return Made(
        bending_n_mm2=at_stations(modulus * 1000 * line.second_moment_x_mm4),
        shear_n=at_stations(shear_modulus_gpa(matrix) * 1000 * line.shear_area_mm2),
        gyration_mm2=at_stations(line.second_moment_x_mm4 / line.area_mm2),
        mass_g_mm=at_stations(grams * line.area_mm2),
        torsion_n_mm2=at_stations(
            in_plane_shear_gpa(structure, fibre, matrix, share.fibre_volume)
            * 1000
            * line.torsion_constant_mm4
        ),
        root_bending_n_mm2=modulus * 1000 * root.second_moment_x_mm4,
        stressed=(stressed_evenly(shape),),
        charge=Charge(
            constituents=(
                Constituent(
                    material=fibre.key,
                    finished_g=finished * share.fibre_mass,
                    loaded_g=finished * share.fibre_mass,
                    density_kg_m3=fibre.density_kg_m3,
                ),
                Constituent(
                    material=matrix.key,
                    finished_g=stays,
                    loaded_g=stays * (1 + float(squeeze_out)),
                    density_kg_m3=matrix.density_kg_m3,
                ),
            ),
            volume_mm3=shape.volume_mm3,
            fibre_share_loaded=share.fibre_mass_loaded,
            fibre_share_finished=share.fibre_mass,
        ),
        rule=f"{rule}, {structure.orientation}, {share.fibre_volume * 100:.1f} % fibre by volume, "
        f"{structure.void_fraction * 100:g} % voids",
        reasons=too_thin(part, structure.least_thickness_mm, "pressing"),
        warnings=tuple(warnings),
    )
