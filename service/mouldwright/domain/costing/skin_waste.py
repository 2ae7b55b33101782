"""Cloth of a wet skin whose waste nobody stated: what is cut away of it is bought too."""

from __future__ import annotations

from collections.abc import Mapping

from mouldwright.domain.material import Material
from mouldwright.domain.process.process import Process
from mouldwright.domain.structure.kinds import HybridStructure


def skin_without_waste(process: Process, materials: Mapping[str, Material]) -> Material | None:
    """Return the skin that is charged as it lies on the core, its trim left out, or None.

    A process's ``waste_share`` is of what is loaded dry; a skin that an operation mixes is charged
    as mixed, so that its trim is the mix's ``lost_share``.
    """
    if not isinstance(process.structure, HybridStructure):
        return None
    skin = materials.get(process.structure.skin)
    if skin is None or skin.mix is None or skin.mix.lost_share:
        return None
    return skin if any(o.material == skin.key for o in process.operations) else None
