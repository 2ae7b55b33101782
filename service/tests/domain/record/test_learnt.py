"""What bench tests say of a process, on bars whose bending can be worked by hand."""

from dataclasses import replace
from datetime import date

import pytest

from mouldwright.domain.hours.opening import OpeningHours
from mouldwright.domain.judgement import judge
from mouldwright.domain.material import Material
from mouldwright.domain.money import Currency
from mouldwright.domain.part.requirement import Part, Requirement
from mouldwright.domain.part.shape import Naca4, Rectangle
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.record.as_drawn import remembering
from mouldwright.domain.record.bench_test import BenchTest, DrawnAs, Reading
from mouldwright.domain.record.found import found_by
from mouldwright.domain.record.learnt import learnt
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import MeasuredStructure, PrintStructure

# EI = 3000 MPa · 20 · 5³ / 12 = 625 000 N mm². At the end of 200 mm the bar gives L³/3EI =
# 4.2666667 mm/N by bending and L/κGA = 200 / (5/6 · 100 · 3000/2.7) = 0.00216 by shear.
GIVE = 4.2666667 + 0.00216
BAR = Part(
    key="bar",
    title="Bar",
    span_mm=200,
    section=Rectangle(width_mm=20, height_mm=5),
    requirement=Requirement(support="cantilever", load="end", force_n=2, deflection_mm=10),
)
MADE = Process(
    key="made",
    title="Made",
    structure=MeasuredStructure(modulus_gpa=3, density_kg_m3=1000),
    operations=(Operation(name="make", per="part", attended=True),),
)
SHOP = Shop(
    name="Bench",
    currency=Currency("EUR"),
    hours=OpeningHours(weekly=((),) * 7, zone="UTC"),
    parts={"bar": BAR},
    processes={"made": MADE},
)


def bent(share, name="one", **more):
    """Return a test of a bar that has this share of the stiffness its modulus says."""
    readings = tuple(Reading(load_n=f, deflection_mm=GIVE * f / share) for f in (1.0, 2.0, 3.0))
    if "load_at_mm" in more or "support" in more:
        readings = more.pop("readings")
    whole = {"part": "bar", "process": "made", "day": date(2027, 2, 1), "readings": readings}
    return BenchTest(key=name, **{**whole, **more})


def shop_with(*tests, **more):
    return replace(SHOP, bench_tests={test.key: test for test in tests}, **more)


def found(test, part=BAR, process=MADE):
    return found_by(test, part, process, {})


def test_a_bar_as_stiff_as_its_modulus_says_has_a_share_of_one():
    assert found(bent(1.0)).share == pytest.approx(1.0, rel=1e-6)
    assert found(bent(0.8)).share == pytest.approx(0.8, rel=1e-6)
    assert found(bent(0.8)).modulus_gpa == pytest.approx(2.4, rel=1e-6)


def test_a_piece_three_per_cent_thicker_is_nine_per_cent_stiffer_and_that_is_taken_out():
    # 1.03³ = 1.0927: bending and nothing else to three places, shear being 0.05 % of it.
    thick = found(bent(1.092727, thickness_mm=5.15))
    assert thick.share == pytest.approx(1.0, abs=1e-3)
    assert thick.thickness_share == pytest.approx(1.03)
    assert found(bent(1.0)).share / found(bent(1.0, thickness_mm=5.15)).share == pytest.approx(
        1.0927, abs=1e-3
    )


def test_a_bar_on_two_supports_gives_the_modulus_of_the_bend_test_formula():
    # E = L³ m / (4 b d³), m = 50 N/mm, 80 x 10 x 4, L = 64 (ISO 178 and ASTM D790; from memory):
    # 5120 MPa by bending alone. Shear adds 1.2 (E/G)(h/L)² = 1.2 · 2.7 / 256 = 0.01265625 to the
    # give of the stated bar, so the modulus with shear taken out is 5120 · 1.01265625.
    bar = replace(BAR, span_mm=80, section=Rectangle(width_mm=10, height_mm=4))
    stated = replace(MADE, structure=MeasuredStructure(modulus_gpa=5.12, density_kg_m3=1000))
    readings = tuple(Reading(load_n=f, deflection_mm=f / 50) for f in (5, 10, 15))
    test = bent(
        1, support="simply supported", start_mm=8, span_mm=64, load_at_mm=32, readings=readings
    )
    assert found(test, bar, stated).modulus_gpa == pytest.approx(5.12 * 1.01265625, rel=1e-9)


def test_a_load_nearer_to_one_support_gives_by_the_formula_of_that_place():
    # P a² b² / (3 E I L) with a = 50, b = 150, L = 200: 50² · 150² / (3 · 625 000 · 200) = 0.15,
    # and shear a b / (κ G A L) = 7500 / (5/6 · 100 · 1111.11 · 200) = 0.000405 (both by hand).
    give = 0.15 + 0.000405
    readings = tuple(Reading(load_n=f, deflection_mm=give * f) for f in (10, 20, 30))
    test = bent(1, support="simply supported", load_at_mm=50, readings=readings)
    assert found(test).share == pytest.approx(1.0, rel=1e-6)


def test_a_taper_is_bent_as_it_stands_so_parts_of_one_process_pool():
    # The bench gives no less for a foil than the beam does under the same load at its tip.
    foil = replace(BAR, key="foil", section=Naca4(code="0012", chord_mm=60, tip_chord_mm=40))
    under = judge(shop_with(parts={"foil": foil}), foil, MADE)
    give = under.deflection_mm / 2
    readings = tuple(Reading(load_n=f, deflection_mm=give * f) for f in (1, 2, 3))
    test = bent(1, readings=readings, part="foil", load_at_mm=200)
    assert found(test, foil).share == pytest.approx(1.0, rel=2e-5)


def test_tests_are_counted_on_by_the_limit_that_nine_parts_in_ten_pass():
    # Shares 0.90, 0.94, 0.92: mean 0.92, spread 0.02. With the printed k of 6.157 for three
    # (CMH-17-1G, 8.5) the limit is 0.92 - 0.12314 = 0.7969.
    shop = shop_with(bent(0.90, "a"), bent(0.94, "b"), bent(0.92, "c"))
    said = learnt(shop, MADE)
    assert said.tolerance.mean == pytest.approx(0.92)
    assert said.tolerance.spread == pytest.approx(0.02)
    assert said.counted == pytest.approx(0.92 - 6.157 * 0.02, abs=2e-4)
    judged = judge(shop, BAR, MADE)
    assert judged.deflection_mm == pytest.approx(2 * GIVE / said.counted, rel=1e-4)
    assert judged.theory_deflection_mm == pytest.approx(2 * GIVE, rel=1e-4)
    assert "By 3 bench tests" in judged.rule
    assert "0.80 is counted on" in judged.rule


def test_tests_win_over_the_theory_factor_whichever_way_they_point():
    printed = PrintStructure(material="polymer", walls=2, wall_mm=0.4, infill=1.0)
    polymer = Material(key="polymer", title="Polymer", density_kg_m3=1200, modulus_gpa=3)
    process = replace(MADE, structure=printed)
    shop = shop_with(
        bent(0.98, "a"),
        bent(0.985, "b"),
        bent(0.99, "c"),
        materials={"polymer": polymer},
        processes={"made": process},
        theory_factor=0.5,
    )
    judged = judge(shop, BAR, process)
    # s = 0.005, so 0.985 - 6.155 · 0.005 = 0.954 against a factor of 0.5.
    assert judged.theory_factor == pytest.approx(0.954, abs=1e-3)
    assert judged.theory_deflection_mm / judged.deflection_mm == pytest.approx(
        judged.theory_factor / 0.5, rel=1e-9
    )


def test_one_test_as_stiff_as_assumed_makes_no_limit_and_is_shown_all_the_same():
    judged = judge(shop_with(bent(1.1)), BAR, MADE)
    assert judged.theory_factor == 1.0
    assert "One bench test shows 1.10 of it; a second one makes a limit" in judged.rule


def test_one_test_softer_than_assumed_is_believed_and_the_reader_is_told():
    judged = judge(shop_with(bent(0.748)), BAR, MADE)
    # 2 N on a bar that has 0.748 of its modulus.
    assert judged.theory_factor == pytest.approx(0.748, rel=1e-6)
    assert judged.deflection_mm == pytest.approx(2 * GIVE / 0.748, rel=1e-6)
    assert "shows 0.75 of it, less than the 1 assumed, so that is counted on" in judged.rule


def test_tests_too_far_apart_for_their_number_let_nothing_pass():
    # Two shares of 0.8 and 1.0: mean 0.9, spread 0.1414, k 20.58: the limit is below zero.
    judged = judge(shop_with(bent(0.8, "a"), bent(1.0, "b")), BAR, MADE)
    assert judged.meets_requirement is False
    assert "bend more parts" in judged.reasons[-1]


def test_a_part_that_met_its_stop_holds_the_share_down_and_makes_no_mean():
    stopped = bent(0.7, "stop", touched_stop=True)
    said = learnt(shop_with(bent(0.90, "a"), bent(0.91, "b"), bent(0.90, "c"), stopped), MADE)
    assert said.tolerance.count == 3
    assert said.bound == pytest.approx(0.7)
    assert said.counted == pytest.approx(0.7)
    alone = judge(shop_with(stopped), BAR, MADE)
    assert alone.theory_factor == pytest.approx(0.7)
    assert "met its stop" in alone.rule


def test_a_test_that_is_refused_is_left_out_and_said():
    far = tuple(Reading(load_n=f, deflection_mm=GIVE * f) for f in (2, 4, 6))
    shop = shop_with(bent(0.90, "a"), bent(0.94, "b"), bent(0.92, "c"), bent(1, "d", readings=far))
    said = learnt(shop, MADE)
    assert said.tolerance.count == 3
    # 25.6 mm is more than a tenth of 200.
    assert "more than a tenth of the 200 mm" in said.found[3].refused[0]
    assert "1 bench test is left out" in judge(shop, BAR, MADE).warnings[0]


def test_tests_of_another_process_say_nothing_here():
    assert learnt(shop_with(bent(0.9, process="other")), MADE) is None


def test_the_mass_is_held_against_the_mass_of_a_piece_so_thick():
    # 200 · 20 · 5 mm³ at 1 g/cm³ is 20 g; 2 % thicker 20.4 g; the piece weighs 19.992, 2 % less.
    weighed = found(bent(1.0, thickness_mm=5.1, mass_g=19.992))
    assert weighed.expected_g == pytest.approx(20.4)
    assert weighed.mass_share == pytest.approx(0.98)


def test_a_part_that_gets_hotter_than_the_tests_were_is_said():
    hot = replace(BAR, requirement=replace(BAR.requirement, service_temperature_c=45))
    tests = [bent(s, n, temperature_c=20) for s, n in ((0.9, "a"), (0.91, "b"), (0.92, "c"))]
    judged = judge(shop_with(*tests, parts={"bar": hot}), hot, MADE)
    assert any("as hot as 45 °C" in warning for warning in judged.warnings)


def test_no_more_tests_promise_what_a_stop_or_a_wide_scatter_takes_away():
    # 0.90, 0.91, 0.90 and a stop at 0.7: however many more, the stop holds it down.
    stopped = bent(0.7, "stop", touched_stop=True)
    held = learnt(shop_with(bent(0.90, "a"), bent(0.91, "b"), bent(0.90, "c"), stopped), MADE)
    assert held.limit_with(2) == pytest.approx(0.7)
    # 0.8 and 1.0: one more alike leaves 0.9 - 6.155 x 0.1414 = 0.0295; 0.7 and 1.05
    # leave 0.875 - 6.155 x 0.2475, which is below nothing.
    near = learnt(shop_with(bent(0.8, "a"), bent(1.0, "b")), MADE)
    assert near.limit_with(1) == pytest.approx(0.0295, abs=0.001)
    wide = learnt(shop_with(bent(0.7, "a"), bent(1.05, "b")), MADE)
    assert wide.is_too_wide
    assert wide.limit_with(1) is None


def redrawn_to(height):
    return replace(BAR, section=Rectangle(width_mm=20, height_mm=height))


def test_a_piece_keeps_the_thickness_it_was_drawn_with_when_the_drawing_changes():
    # Bent when the bar was drawn 5 mm; drawn 6 mm since. Its stiffness is still all of what a 5 mm
    # bar has by theory, not (5/6)³ = 0.58 of a 6 mm one's.
    noted = found(bent(1.0, drawn_thickness_mm=5.0), part=redrawn_to(6))
    assert noted.share == pytest.approx(1.0, rel=2e-4)
    (said,) = noted.warnings
    assert "drawn 5.00 mm thick at its root when this piece was bent and is drawn 6.00 mm" in said
    unnoted = found(bent(1.0), part=redrawn_to(6))
    assert unnoted.share == pytest.approx((5 / 6) ** 3, rel=1e-3)
    assert found(bent(1.0, drawn_thickness_mm=5.0)).warnings == ()


def test_a_measured_thickness_goes_before_the_drawn_one():
    both = found(bent(1.0, drawn_thickness_mm=5.0, thickness_mm=5.2), part=redrawn_to(6))
    assert both.thickness_share == pytest.approx(5.2 / 6)
    assert "measured at 5.2 mm" in both.warnings[0]


def test_a_new_test_is_noted_with_the_drawing_that_holds():
    after = shop_with(bent(1.0))
    noted = remembering(SHOP, after).bench_tests["one"]
    assert noted.drawn == DrawnAs(span_mm=BAR.span_mm, section=BAR.section)


def test_a_part_redrawn_leaves_its_tests_the_drawing_they_had():
    before = shop_with(bent(1.0), bent(0.9, "two", drawn_thickness_mm=4.8))
    after = replace(before, parts={"bar": redrawn_to(6)})
    kept = remembering(before, after).bench_tests
    assert kept["one"].drawn == DrawnAs(span_mm=BAR.span_mm, section=BAR.section)
    assert (kept["two"].drawn, kept["two"].drawn_thickness_mm) == (None, 4.8)


@pytest.mark.parametrize(
    "since",
    [
        {"section": Rectangle(width_mm=24, height_mm=5)},
        {"section": Rectangle(width_mm=20, height_mm=5, tip_width_mm=10)},
        {"section": Rectangle(width_mm=20, height_mm=6)},
        {"span_mm": 150.0},
    ],
)
def test_a_piece_is_set_beside_the_drawing_it_was_made_to_whatever_changed_since(since):
    # A piece with all of the stiffness of its own drawing has all of it still, drawn wider,
    # tapered, thicker or shorter since: the piece does not change with the drawing.
    before = shop_with(bent(1.0))
    part = replace(BAR, **since)
    test = remembering(before, replace(before, parts={"bar": part})).bench_tests["one"]
    noted = found(test, part=part)
    assert noted.share == pytest.approx(1.0, rel=2e-4)
    (said,) = noted.warnings
    assert "drawn otherwise when this piece was bent" in said
    assert found(test).warnings == ()


def test_a_test_stays_on_its_piece_where_the_part_is_drawn_shorter_since():
    drawn = DrawnAs(span_mm=BAR.span_mm, section=BAR.section)
    held = replace(bent(1.0), load_at_mm=BAR.span_mm)
    assert not held.fits(BAR.span_mm / 2)
    assert replace(held, drawn=drawn).fits(BAR.span_mm / 2)


def test_a_change_elsewhere_leaves_tests_alone():
    before = shop_with(bent(1.0))
    assert remembering(before, replace(before, name="Other")) == replace(before, name="Other")


def test_a_load_hung_in_kilograms_is_refused_in_kilograms():
    curved = tuple(
        Reading(load_n=9.80665 * kg, deflection_mm=mm) for kg, mm in ((0.1, 1), (0.2, 2), (0.4, 9))
    )
    (said, *_) = found(replace(bent(1.0), readings=curved, loads_in="kg")).refused
    assert " kg it is" in said
    assert " N it is" not in said
