"""A wet skin is charged as it lies on the core until its trim is stated, and that is said."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import builders as build

from mouldwright.domain.consistency.check import faults_of
from mouldwright.domain.costing.cost_model import cost_model
from mouldwright.domain.costing.material_cost import needs
from mouldwright.domain.costing.skin_waste import skin_without_waste
from mouldwright.domain.material import Material
from mouldwright.domain.part.mass import charge
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import HybridStructure

SKIN, FOAM, A, B = (
    build.mixed("skin"),
    Material(
        key="foam", title="Foam", density_kg_m3=60.0, modulus_gpa=0.05, cost_per_kg=Decimal(1)
    ),
    Material(key="skin-a", title="Cloth", density_kg_m3=1100.0, cost_per_kg=Decimal(30)),
    Material(key="skin-b", title="Resin", density_kg_m3=1100.0, cost_per_kg=Decimal(20)),
)


def wrapped(**mix: Decimal) -> tuple[Shop, Process]:
    process = build.process(
        build.hands("mix", 2, per="batch", material="skin", pot_life_until="lay up"),
        build.hands("lay up", 3),
        structure=HybridStructure(skin="skin", skin_mm=0.5, core="foam"),
    )
    skin = replace(SKIN, mix=replace(SKIN.mix, **mix))
    shop = build.shop(
        process,
        people=[build.person("ana")],
        moulds=[build.moulds(1)],
        materials=[skin, FOAM, A, B],
    )
    return shop, process


def cloth_drawn(shop: Shop, process: Process) -> Fraction:
    part = shop.part("fin")
    model = cost_model(shop, part, process, charge=charge(shop, part, process))
    return needs(model.rules, model.counts(model.starts(4)))["skin-a", "g"]


def test_a_skin_without_stated_waste_is_warned_of_and_said_beside_its_cost() -> None:
    shop, process = wrapped()
    (found,) = (f for f in faults_of(shop) if f.path == "processes.pressed.structure.skin")
    assert found.is_warning
    assert "materials.skin.mix" in found.remedy
    part = shop.part("fin")
    model = cost_model(shop, part, process, charge=charge(shop, part, process))
    assert any("cut off its cloth is in no cost" in said for said in model.cautions)


def test_stated_waste_is_drawn_on_top_and_nothing_more_is_said() -> None:
    # 15 % of what lies on the core: 1.15 times the cloth.
    bare, process = wrapped()
    stated, _ = wrapped(lost_share=Decimal("0.15"))
    assert cloth_drawn(stated, process) == cloth_drawn(bare, process) * Fraction(115, 100)
    assert skin_without_waste(process, stated.materials) is None
    assert not [f for f in faults_of(stated) if "skin" in f.path]


def test_a_skin_that_nothing_mixes_has_the_waste_of_its_process() -> None:
    shop, process = wrapped()
    dry = replace(process, operations=process.operations[1:])
    assert skin_without_waste(dry, shop.materials) is None
