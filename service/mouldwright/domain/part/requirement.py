"""What a part must bear, and the part itself."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from mouldwright.domain.part.shape import Shape

Support = Literal["cantilever", "simply supported", "both ends fixed", "elastic mounts"]
LoadShape = Literal["end", "centre", "uniform", "triangular"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Requirement:
    """A load case and the most the part may bend under it.

    The load is ``force_n``, or follows from speed, lift coefficient and fluid density
    on the part's own plan area.

    Attributes:
        support: How the part is held; a cantilever is clamped at its root chord.
        load: Where the force acts; "triangular" is greatest at the root.
        force_n: Total force.
        deflection_mm: Greatest deflection allowed.
        factor: Safety factor on the load.
        mount_n_mm_per_rad: Rotational stiffness of each elastic mount.
        mass_g: Greatest mass allowed, where one is.
        must_be_fit_to_sell: Whether only a process marked fit to sell will do.
        service_temperature_c: The hottest the part gets.
        angle_deg: In place of a lift coefficient: the angle to the flow, from which it follows.
        span_efficiency: e of the lifting line.
        root_on_wall: Whether the root stands on a hull or a wall, which mirrors the foil.
        torque_n_mm: Twists it, at the tip of a cantilever, else in the middle.
        twist_deg: Most it may twist under that.
        root_stress_share: Most of the process's strength that the stress at the root may use.
    """

    support: Support
    load: LoadShape
    deflection_mm: float
    force_n: float | None = None
    speed_m_s: float | None = None
    lift_coefficient: float | None = None
    fluid_density_kg_m3: float | None = None
    factor: float = 1.0
    mount_n_mm_per_rad: float | None = None
    mass_g: float | None = None
    must_be_fit_to_sell: bool = False
    service_temperature_c: float | None = None
    angle_deg: float | None = None
    span_efficiency: float = 0.95
    root_on_wall: bool = True
    torque_n_mm: float | None = None
    twist_deg: float | None = None
    root_stress_share: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part as drawn.

    Attributes:
        span_mm: Length between root and tip, or between supports.
        made_by: Keys of the processes that may make it.
        second_price: What a second is sold at; None where seconds are not sold.
        spare_pack: Pieces of a pack of spares; None where it is not sold as a spare.
        bears_load: Whether a failure of the part could hurt someone; cautions follow.
    """

    key: str
    title: str
    span_mm: float
    section: Shape
    requirement: Requirement | None = None
    made_by: tuple[str, ...] = ()
    second_price: Decimal | None = None
    spare_pack: int | None = None
    bears_load: bool = True
