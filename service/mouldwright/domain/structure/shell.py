"""A section and what lies inside its shell: what a printed and a skinned part both ask for."""

from __future__ import annotations

from functools import lru_cache

from mouldwright.domain.part.erosion import core_integrals
from mouldwright.domain.part.integrals import AreaIntegrals
from mouldwright.domain.part.polygon import region_integrals
from mouldwright.domain.part.section import outline_at
from mouldwright.domain.part.shape import Shape


@lru_cache(maxsize=1024)
def solid_and_core(
    shape: Shape, share: float, shell_mm: float
) -> tuple[AreaIntegrals, AreaIntegrals]:
    """Return the integrals of a whole section, and of what is further in than a shell.

    Remembered: materials, filling and skins are tried by the dozen on one shape.

    Args:
        shape: The section.
        share: Where, as a share of the span from the root.
        shell_mm: Thickness of the shell.

    Raises:
        ValueError: if the shape is not sound.
    """
    loops = outline_at(shape, share)
    return region_integrals(loops), core_integrals(loops, shell_mm)
