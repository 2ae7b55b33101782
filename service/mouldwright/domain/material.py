"""Materials: what parts are made of and what is mixed from what."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Literal

from mouldwright.domain.estimate import Range
from mouldwright.domain.warmth import Warmth


@dataclass(frozen=True, slots=True, kw_only=True)
class Fibre:
    """A chopped fibre.

    Attributes:
        length_range: Least and most its length may be, as shares of it; None where certain.
    """

    length_mm: float
    diameter_um: float
    length_range: Range | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rod:
    """A rod bought by the metre.

    Attributes:
        diameter_range: Least and most its diameter may be, as shares of it; None where certain.
    """

    diameter_mm: float
    inner_diameter_mm: float = 0.0
    diameter_range: Range | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Mix:
    """How a material is mixed from stocked components.

    Attributes:
        parts: Parts of each component, by mass or by volume.
        by: What the parts are parts of.
        pot_life_min: From the end of mixing until it can no longer be worked.
        most_mixed_g: The most that may safely be mixed at once, ``lost_g`` included.
        least_mixed_g: The least worth mixing; below it, this much is mixed and charged.
        lost_g: Left in the cup and on the stick, each mix.
        lost_share: Lost besides, as a share of what the parts take.
    """

    parts: Mapping[str, Decimal]
    pot_life_min: int
    most_mixed_g: Decimal
    by: Literal["mass", "volume"] = "mass"
    least_mixed_g: Decimal = Decimal(0)
    lost_g: Decimal = Decimal(0)
    lost_share: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """One material, stocked or mixed.

    Attributes:
        modulus_gpa: Young's modulus, along the fibre for a fibre or rod.
        transverse_modulus_gpa: Across a fibre.
        shear_modulus_gpa: Where unset, derived from ``poisson_ratio``.
        cost_per_kg: What it costs where no offer holds it.
        cost_per_m: The same for a material measured in metres.
        modulus_range: Least and most its stiffness may really be, as shares of what is stated;
            None where certain.
        density_range: The same of its density.
        price_range: Least and most its price may turn out, as shares of it; None where certain.
        warmth: What its sheet says of temperature; None where its times are taken as they are.
        strength_mpa: What it bears in bending by its sheet, for rods, skins and cores; None where
            nobody states it.
        greatest_c: The hottest it may get in a part; None where that is not stated.
        cautions: The usual cautions; the maker's data sheet goes before them.
    """

    key: str
    title: str
    density_kg_m3: float
    modulus_gpa: float | None = None
    transverse_modulus_gpa: float | None = None
    shear_modulus_gpa: float | None = None
    poisson_ratio: float = 0.35
    fibre: Fibre | None = None
    rod: Rod | None = None
    mix: Mix | None = None
    shelf_life_days: int | None = None
    cost_per_kg: Decimal | None = None
    cost_per_m: Decimal | None = None
    greatest_c: Decimal | None = None
    strength_mpa: float | None = None
    warmth: Warmth | None = None
    modulus_range: Range | None = None
    density_range: Range | None = None
    price_range: Range | None = None
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """An amount in stock: grams, or metres of a material that comes by the metre.

    Attributes:
        expires: The last day it may be used.
        arrives: The day from which it is there; None where it is on the shelf.
        name: What is written on it; empty where nothing is.
        paid: What was paid for all of it, shipping left out; None where that is not known.
    """

    material: str
    grams: Decimal | None = None
    metres: Decimal | None = None
    expires: date | None = None
    arrives: date | None = None
    name: str = ""
    paid: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """All that is in stock, by material."""

    lots: Mapping[str, tuple[Lot, ...]] = field(default_factory=dict)
