"""Parts and what they must bear, as they are written down."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from mouldwright.domain.part import requirement as domain
from mouldwright.domain.part.shape import Loop
from mouldwright.wire.model import Key, Model, Text, key, title_from
from mouldwright.wire.numbers import Above, Anywhere, Count, Money, ShareAbove, money_text, wrong
from mouldwright.wire.shape import Section, section_of, shape_from

_FLOW = ("speed_m_s", "lift_coefficient", "fluid_density_kg_m3")


class Requirement(Model):
    """The load case and the most the part may bend under it."""

    support: Literal["cantilever", "simply supported", "both ends fixed", "elastic mounts"] = key(
        "How the part is held; a cantilever is clamped at its root chord."
    )
    load: Literal["end", "centre", "uniform", "triangular"] = key(
        'Where the force acts; "triangular" is greatest at the root.'
    )
    force_n: Above | None = key("Total force.", default=None, unit="N")
    speed_m_s: Above | None = key(
        "In place of a force: speed of the flow.", default=None, unit="m/s"
    )
    lift_coefficient: Above | None = key(
        "In place of a force: lift coefficient on the part's plan area.", default=None
    )
    fluid_density_kg_m3: Above | None = key(
        "In place of a force: density of the fluid.", default=None, unit="kg/m³"
    )
    angle_deg: Above | None = key(
        "In place of a lift coefficient: angle to the flow, from which it follows with what is "
        "lost at the ends.",
        default=None,
        unit="°",
    )
    span_efficiency: ShareAbove = key(
        "How near to the best the lift is spread along the span; with angle_deg.", default=0.95
    )
    root_on_wall: bool = key(
        "Whether the root stands on a hull or a wall, which mirrors the foil; with angle_deg.",
        default=True,
    )
    deflection_mm: Above = key("Greatest deflection allowed.", unit="mm")
    factor: Above = key("Safety factor on the load.", default=1.0)
    mount_n_mm_per_rad: Above | None = key(
        "Rotational stiffness of each elastic mount.", default=None, unit="N·mm/rad"
    )
    mass_g: Above | None = key("Greatest mass allowed.", default=None, unit="g")
    must_be_fit_to_sell: bool = key(
        "Whether only a process marked fit to sell will do.", default=False
    )
    service_temperature_c: Anywhere | None = key(
        "The hottest the part gets.", default=None, unit="°C"
    )

    torque_n_mm: Above | None = key(
        "Torque at the tip of a cantilever, else in the middle.", default=None, unit="N·mm"
    )
    twist_deg: Above | None = key("Most it may twist under that torque.", default=None, unit="°")
    root_stress_share: ShareAbove | None = key(
        "Most of the process's strength_mpa that the bending stress at the root may use.",
        default=None,
    )

    def model_post_init(self, _context: object) -> None:
        """Want one whole form of the load, and a mount where there is one."""
        self._twisted()
        if self.angle_deg is not None and self.lift_coefficient is not None:
            raise wrong(
                "the lift is given twice.",
                "Write lift_coefficient or angle_deg.",
                key="angle_deg",
            )
        given = [name for name in _FLOW if getattr(self, name) is not None]
        if self.angle_deg is not None:
            given.append("lift_coefficient")
        if self.force_n is not None and given:
            raise wrong(
                "the load is given twice.", f"Write force_n or {', '.join(_FLOW)}.", key=given[0]
            )
        if self.force_n is None and len(given) < len(_FLOW):
            lacking = next(name for name in _FLOW if name not in given) if given else "force_n"
            raise wrong(
                "the load is not given.",
                f"Write force_n, or {', '.join(_FLOW[:-1])} and {_FLOW[-1]}.",
                key=lacking,
            )
        if self.support == "elastic mounts" and self.mount_n_mm_per_rad is None:
            raise wrong(
                "elastic mounts need their stiffness.",
                "Write mount_n_mm_per_rad.",
                key="mount_n_mm_per_rad",
            )
        if self.load == "end" and self.support != "cantilever":
            raise wrong(
                "a part held at both ends has no free end to load.",
                'Write "centre", "uniform" or "triangular".',
                key="load",
            )

    def _twisted(self) -> None:
        if (self.torque_n_mm is None) == (self.twist_deg is None):
            return
        lacking = "twist_deg" if self.twist_deg is None else "torque_n_mm"
        raise wrong(
            "a torque and the twist it may cause go together.",
            f"Write {lacking} too.",
            key=lacking,
        )


class Part(Model):
    """One part as drawn; the table's key is its name everywhere else."""

    title: Text | None = key("As people read it; left out, made from the key.", default=None)
    span_mm: Above = key("Length between root and tip, or between supports.", unit="mm")
    section: Section = key("Its cross-section.")
    requirement: Requirement | None = key("What it must bear.", default=None)
    made_by: list[Key] = key("Keys of the processes that may make it.", default=[])
    second_price: Money | None = key(
        "What a second is sold at; left out, seconds are not sold.", default=None
    )
    spare_pack: Count | None = key(
        "Pieces of a pack of spares; left out, it is not sold as a spare.", default=None
    )
    bears_load: bool = key("Whether a failure could hurt someone; cautions follow.", default=True)

    def part(self, name: str, coordinates: Mapping[str, Loop]) -> domain.Part:
        """Return the part of that key, its coordinate files being read already."""
        return domain.Part(
            key=name,
            title=self.title or title_from(name),
            span_mm=self.span_mm,
            section=shape_from(self.section, coordinates),
            requirement=domain.Requirement(**dict(self.requirement)) if self.requirement else None,
            made_by=tuple(self.made_by),
            second_price=self.second_price,
            spare_pack=self.spare_pack,
            bears_load=self.bears_load,
        )

    @classmethod
    def of(cls, part: domain.Part) -> Part:
        """Return the part as it would be written."""
        needed = part.requirement
        return cls.written(
            title=None if part.title == title_from(part.key) else part.title,
            span_mm=part.span_mm,
            section=section_of(part.section),
            requirement=Requirement.written(
                **{name: getattr(needed, name) for name in Requirement.model_fields}
            )
            if needed
            else None,
            made_by=list(part.made_by),
            second_price=money_text(part.second_price),
            spare_pack=part.spare_pack,
            bears_load=part.bears_load,
        )
