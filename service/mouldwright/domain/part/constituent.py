"""What goes into one part, by material: what is loaded and what stays."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Constituent:
    """One material in one part.

    Attributes:
        material: Its key.
        finished_g: Grams that stay in the part.
        loaded_g: Grams loaded; more than stays where excess is squeezed out.
        metres: Length, for a material that comes by the metre; 0 for the rest.
        density_kg_m3: Its density.
    """

    material: str
    finished_g: float
    loaded_g: float
    density_kg_m3: float
    metres: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Charge:
    """All that is loaded for one part.

    Attributes:
        volume_mm3: Of the finished part.
        fibre_share_loaded: Fibre's share of the loaded mass; None where there is no fibre.
        fibre_share_finished: The same of the finished part.
        unnamed_g: Mass of a material nobody named, which can be weighed and not charged.
    """

    constituents: tuple[Constituent, ...]
    volume_mm3: float
    fibre_share_loaded: float | None = None
    fibre_share_finished: float | None = None
    unnamed_g: float = 0.0

    @property
    def finished_g(self) -> float:
        """Return the mass of the finished part in grams."""
        return self.unnamed_g + sum(each.finished_g for each in self.constituents)

    @property
    def loaded_g(self) -> float:
        """Return what is loaded for it in grams."""
        return self.unnamed_g + sum(each.loaded_g for each in self.constituents)
