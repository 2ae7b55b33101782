"""Shops, plans and comparisons become figures: the right values in the right places."""

from __future__ import annotations

import dataclasses
from fractions import Fraction

import builders as build
import pytest

from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.judgement import judge
from mouldwright.domain.part.requirement import Requirement
from mouldwright.domain.part.shape import Naca4, Tube
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import (
    CastStructure,
    MeasuredStructure,
    MixStructure,
    PrintStructure,
    RodPlace,
)
from mouldwright.figures.board import BoardBar
from mouldwright.figures.board_drawing import draw_board
from mouldwright.figures.board_of import board_of
from mouldwright.figures.enquiry_of import (
    cost_chart_of,
    price_bar_of,
    stiffness_bars_of,
    time_chart_of,
)
from mouldwright.figures.look import ink_of, pattern_of
from mouldwright.figures.marks import marks_for, marks_of_shop
from mouldwright.figures.part_of import bent_of, planform_of, section_of
from mouldwright.figures.strip_of import strip_of
from mouldwright.planning.plan import Plan
from mouldwright.scenario.demo.shipped import open_demo
from mouldwright.usecases.enquiry import compare, finish_by_rate

EIGHT = build.at("2027-03-01 08:00")
MIX = MixStructure(fibre="f", matrix="m", fibre_mass_fraction=0.3)
CAST = CastStructure(matrix="m", rods=(RodPlace(material="rod", at=(0.3, 0.02), length_share=0.5),))
PRINT = PrintStructure(material="p", walls=2, wall_mm=0.4, infill=0.2)


def pressed_shop() -> Shop:
    """Return one mould, one press, Ann from 8 to 16; load 20 min, cure 480, demould 10."""
    routing = build.process(
        build.hands("load", 20, skill="wet", station="press"),
        build.alone("cure", 480),
        build.hands("demould", 10, skill="wet"),
        holds=[build.hold("load", "demould"), build.hold("load", "demould", "clamps")],
    )
    due = build.instant("2027-03-02 06:00")
    return build.shop(
        routing,
        [build.order("1001", due=due)],
        people=[build.person("ann", ["wet"])],
        moulds=[build.moulds(1)],
        stations=[build.station("press"), build.station("clamps", 5)],
        hours=build.opening((build.times("08:00-16:00"),) * 7),
    )


def planned(shop: Shop) -> Plan:
    """Load at 8, cured at 16:20 when the shop is shut, out at 8 next day."""
    on, clamp = "fin-mould 1", "clamps 1"
    nine, done = EIGHT + 20, EIGHT + 500
    out = EIGHT + 1440
    tasks = [
        build.task(
            "load", EIGHT, nine, "ann", mould=on, stations=["press 1", clamp], pull=1, order="1001"
        ),
        build.task("cure", nine, done, mould=on, stations=[clamp], pull=1, order="1001"),
        build.task(
            "demould", out, out + 10, "ann", mould=on, stations=[clamp], pull=1, order="1001"
        ),
    ]  # fmt: skip
    return build.plan(shop, EIGHT, tasks, starts={"1001": 1})


def demo() -> Shop:
    """Return the demo shop as it ships."""
    return open_demo("foil-bench").shop


def by_key(bars: tuple[BoardBar, ...]) -> dict[str, BoardBar]:
    return {bar.key: bar for bar in bars}


def test_a_task_stands_on_its_mould_and_is_shown_with_its_station_and_people() -> None:
    shop = pressed_shop()
    found = board_of(shop, planned(shop), marks={"pressed": 0}, zoom="days")
    load = by_key(found.bars)["t0"]
    assert (load.row, load.also) == ("fin-mould 1", ("press 1", "ann"))
    assert load.spans == ((EIGHT, EIGHT + 20),)
    assert load.kind == "hands"
    assert by_key(found.bars)["t1"].kind == "alone"
    assert load.name == (
        "load, order 1001 pull 1, fin-mould 1, Mon 1 Mar 08:00 to Mon 1 Mar 08:20, ann"
    )
    assert by_key(found.bars)["t1"].name.endswith("nobody needed")


def test_a_cure_that_ends_when_the_shop_is_shut_leaves_its_mould_waiting() -> None:
    shop = pressed_shop()
    found = board_of(shop, planned(shop), marks={"pressed": 0}, zoom="days")
    waits = [bar for bar in found.bars if bar.kind == "waits"]
    # 16:20 to 08:00 is 15 h 40.
    assert [(bar.row, bar.spans, bar.labels) for bar in waits] == [
        ("fin-mould 1", ((EIGHT + 500, EIGHT + 1440),), ("15 h 40 min",))
    ]


def test_many_like_units_are_a_level_that_stays_up_while_they_are_held() -> None:
    shop = pressed_shop()
    found = board_of(shop, planned(shop), marks={"pressed": 0}, zoom="days")
    (clamps,) = found.levels
    assert clamps.places == 5
    assert clamps.steps == ((EIGHT, 1), (EIGHT + 1450, 0))
    assert [row.key for row in found.rows] == ["fin-mould 1", "press 1"]


def test_a_late_order_is_bound_by_its_last_task_on_a_mould() -> None:
    shop = pressed_shop()
    found = board_of(shop, planned(shop), marks={"pressed": 0}, zoom="days")
    (order,) = found.orders
    # Due at 06:00, out at 08:10.
    assert order.late_min == 130
    assert order.bound_by == "t2"
    assert by_key(found.bars)["t2"].is_binding
    assert not by_key(found.bars)["t1"].is_binding
    assert "Late: 1001 by 2 h 10 min." in draw_board(found).summary


def test_only_what_is_in_sight_is_on_the_board() -> None:
    shop = pressed_shop()
    found = board_of(shop, planned(shop), marks={"pressed": 0}, zoom="hour")
    assert set(by_key(found.bars)) == {"t0", "t1"}
    assert (found.first, found.last) == (EIGHT, EIGHT + 60)
    later = board_of(shop, planned(shop), marks={}, zoom="hour", first=EIGHT + 1440)
    assert set(by_key(later.bars)) == {"t2"}


def test_an_unknown_zoom_is_refused_with_those_there_are() -> None:
    shop = pressed_shop()
    with pytest.raises(ValueError, match="'year' is no zoom of the board: choose one of hour,"):
        board_of(shop, planned(shop), marks={}, zoom="year")


def test_the_first_of_each_kind_looks_as_it_is_made() -> None:
    made = [
        build.process(key="a", structure=PRINT),
        build.process(key="b", structure=CAST),
        build.process(key="c", structure=MIX),
    ]
    assert marks_for(made) == {"a": 2, "b": 1, "c": 0}


def test_a_second_of_a_kind_keeps_the_pattern_in_another_ink_unless_they_are_rivals() -> None:
    made = [
        build.process(key="b", structure=CAST),
        build.process(key="c", structure=CAST),
        build.process(key="m", structure=MeasuredStructure(modulus_gpa=3, density_kg_m3=1200)),
    ]
    apart, rivals = marks_for(made), marks_for(made, [("b", "c", "m")])
    assert pattern_of(apart["c"]) == pattern_of(apart["b"])
    assert ink_of(apart["c"]) != ink_of(apart["b"])
    assert len({pattern_of(m) for m in rivals.values()}) == 3
    assert len({ink_of(m) for m in rivals.values()}) == 3


def test_rivals_of_the_demo_differ_in_pattern_and_ink() -> None:
    shop = demo()
    marks = marks_of_shop(shop)
    for part in shop.parts.values():
        shown = [marks[key] for key in part.made_by]
        assert len({pattern_of(m) for m in shown}) == len(shown)
        assert len({ink_of(m) for m in shown}) == len(shown)


def test_a_section_shows_the_rods_that_reach_so_far() -> None:
    shop = demo()
    rod = next(m for m in shop.materials.values() if m.rod is not None)
    part = build.part(section=Naca4(code="0012", chord_mm=100, tip_chord_mm=50))
    materials = {"rod": rod}
    root = section_of(part, structure=CAST, materials=materials)
    # 0.30 and 0.02 of a chord of 100 mm.
    assert [(r.x_mm, r.y_mm) for r in root.rods] == [(30.0, 2.0)]
    assert (root.note, root.chord_mm) == ("NACA 0012", 100.0)
    # NACA's thickest is the 12 of its name, in per cent of the chord.
    assert root.thickness_mm == pytest.approx(12.0, abs=0.02)
    assert section_of(part, structure=CAST, materials=materials, share=0.9).rods == ()


def test_a_tube_has_its_hole() -> None:
    found = section_of(build.part(section=Tube(outer_mm=20, inner_mm=16)))
    assert len(found.holes_mm) == 1
    xs = [x for x, _ in found.holes_mm[0]]
    assert max(xs) - min(xs) == pytest.approx(16)


def test_a_planform_has_the_parts_own_sizes() -> None:
    part = build.part(section=Naca4(code="0012", chord_mm=64, tip_chord_mm=54))
    found = planform_of(part, structure=CAST)
    assert (found.span_mm, found.root_chord_mm, found.tip_chord_mm) == (100, 64, 54)
    assert [(r.chord_share, r.length_share) for r in found.rods] == [(0.3, 0.5)]


def test_a_bend_is_the_one_that_was_judged() -> None:
    structure = MeasuredStructure(modulus_gpa=10.0, density_kg_m3=1200)
    made = build.process(structure=structure)
    asked = Requirement(support="cantilever", load="end", deflection_mm=20, force_n=5, factor=2)
    part = build.part(requirement=asked)
    shop = build.shop(made, parts=[part])
    found = bent_of(part, [("Pressed", 0, judge(shop, part, made))])
    assert found is not None
    # 2 x 5 N; PL³/3EI with I = 20 x 5³ / 12 mm⁴ bends 1.6 mm, and shear a little more.
    assert found.force_n == 10
    second_moment = 20 * 5**3 / 12
    by_hand = 10 * 100**3 / (3 * 10_000 * second_moment)
    assert found.lines[0].deflection_mm == pytest.approx(by_hand, rel=0.02)
    assert found.lines[0].points_mm[-1] == pytest.approx((100, found.lines[0].deflection_mm))
    assert bent_of(dataclasses.replace(part, requirement=None), []) is None


def test_a_process_becomes_its_strip() -> None:
    shop = pressed_shop()
    found = strip_of(shop, shop.process("pressed"), mark=0, family=shop.moulds["fin-mould"])
    assert [(s.name, s.minutes, s.hands) for s in found.steps] == [
        ("load", 20, 1),
        ("cure", 480, 0),
        ("demould", 10, 1),
    ]
    assert found.steps[0].notes == ("skill: wet", "at press")
    assert [(h.what, h.first, h.last) for h in found.holds] == [("mould", 0, 2), ("clamps", 0, 2)]


def test_upkeep_and_cautions_are_said_on_the_strip() -> None:
    shop = demo()
    pressed = shop.process("pressed")
    family = next(f for f in shop.moulds.values() if f.process == "pressed")
    found = strip_of(shop, pressed, mark=0, family=family)
    often = family.conditioned_every_pulls
    assert f"every {often} pulls" in found.upkeep
    mix = next(step for step in found.steps if step.name == "mix")
    assert mix.cautions


def test_costs_by_quantity_are_those_compared() -> None:
    shop = demo()
    now = minute_of(shop.start)
    found = compare(shop, "sensor-fin", 40, now=now, finish=finish_by_rate)
    chart = cost_chart_of(found, currency=shop.currency, marks=marks_of_shop(shop))
    assert chart.asked == 40
    assert chart.what == f"Unit cost, {shop.currency.code}"
    for line in chart.lines:
        costs = found.unit_costs[line.key]
        assert line.points[0] == (1, float(costs[0]))
        assert line.points[-1] == (len(costs), float(costs[-1]))
    assert chart.crossovers == tuple((c.from_quantity, c.process) for c in found.crossovers)
    bars = stiffness_bars_of(found.choices, marks=marks_of_shop(shop))
    assert [(b.value, b.limit) for b in bars.bars] == [
        (c.judgement.deflection_mm, c.judgement.allowed_mm) for c in found.choices
    ]


def test_the_parts_of_a_price_are_rounded_as_in_the_table_of_costs() -> None:
    shop = demo()
    now = minute_of(shop.start)
    found = compare(shop, "stabiliser", 24, now=now, finish=finish_by_rate)
    for choice in found.choices:
        if choice.cost is None or choice.price is None:
            continue
        bar = price_bar_of(choice.cost, choice.price, currency=shop.currency)
        assert bar is not None
        exact_each = [
            total / choice.cost.quantity for total in choice.cost.by_kind().values() if total
        ]
        assert [part.amount for part in bar.parts] == [shop.currency.round(e) for e in exact_each]
        assert sum(part.amount for part in bar.parts) + bar.margin == bar.price
        assert bar.price == choice.price.price_each
        hands = next(part for part in bar.parts if part.title == "hands")
        exact = choice.cost.by_kind()["labour"] / choice.cost.quantity
        assert abs(Fraction(hands.amount) - exact) < Fraction(1, 100)


def test_lead_times_are_in_hours_until_days_are_the_easier_read() -> None:
    def chart(minutes: int):
        return time_chart_of({"a": [(1, minutes), (5, None)]}, titles={"a": "A"}, marks={"a": 3})

    assert chart(90).what == "Lead time, hours"
    assert chart(90).lines[0].points == ((1, 1.5), (5, None))
    assert chart(4320).what == "Lead time, days"
    assert chart(4320).lines[0].points[0] == (1, 3.0)
