"""The numbers of what is asked: how many, under what load, how stiff, how light."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from mouldwright.domain.compare import LARGEST_QUANTITY_SWEPT
from mouldwright.domain.key_path import key_path
from mouldwright.domain.switching.input import (
    Enquiry,
    Input,
    finest,
    number,
    with_entry,
    with_value,
)

_ASKED = (
    ("force_n", "the load", "N", "0.1"),
    ("speed_m_s", "the speed", "m/s", "0.01"),
    ("lift_coefficient", "the lift coefficient", "", "0.01"),
    ("fluid_density_kg_m3", "the density of what it moves in", "kg/m³", "1"),
    ("angle_deg", "the angle to the flow", "°", "0.1"),
    ("factor", "the safety factor", "", "0.01"),
    ("deflection_mm", "the most it may bend", "mm", "0.01"),
    ("mass_g", "the most it may weigh", "g", "0.1"),
    ("mount_n_mm_per_rad", "the stiffness of each mount", "N mm/rad", "1"),
    ("torque_n_mm", "the torque", "N mm", "1"),
    ("twist_deg", "the most it may twist", "°", "0.01"),
    ("root_stress_share", "the share of its strength that may be used", "", "0.01"),
)


def asked_inputs(enquiry: Enquiry) -> Iterator[Input]:
    """Yield how many are wanted, and every number of what the part must bear."""
    yield Input(
        key="quantity",
        title="the quantity",
        unit="good",
        value=Decimal(enquiry.quantity),
        step=Decimal(1),
        least=Decimal(1),
        most=Decimal(max(LARGEST_QUANTITY_SWEPT, enquiry.quantity)),
        look="each",
        moves=frozenset({"cost", "time"}),
        put=lambda e, v: replace(e, quantity=int(v)),
    )
    asked = enquiry.made.requirement
    if asked is None:
        return
    for name, title, unit, usual in _ASKED:
        value = getattr(asked, name)
        if not value:
            continue

        def put(e: Enquiry, v: Decimal, name: str = name) -> Enquiry:
            was = e.made.requirement
            assert was is not None
            changed = with_value(was, name, float(v))
            return replace(e, shop=with_entry(e.shop, "parts", e.part, requirement=changed))

        written = number(value)
        step = finest(written, usual)
        yield Input(
            key=key_path("parts", enquiry.part, "requirement", name),
            title=title,
            unit=unit,
            value=written,
            step=step,
            least=step,
            look="once",
            moves=frozenset({"strength"}),
            put=put,
        )
