"""What is loaded for one part, ready to weigh."""

from __future__ import annotations

from mouldwright.domain.part.constituent import Charge, Constituent
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.making import made

__all__ = ["Charge", "Constituent", "charge"]


def charge(shop: Shop, part: Part, process: Process) -> Charge:
    """Return what goes into one part by a process.

    The fibre follows from the cavity's volume and is exact; matrix is loaded in excess.

    Raises:
        CannotBeMade: if the process names no structure, or the shape is not sound.
        NotFound: if the structure names a material that is not there.
        InvalidInput: if a material lacks what its structure needs.
    """
    return made(part, process, shop.materials).charge
