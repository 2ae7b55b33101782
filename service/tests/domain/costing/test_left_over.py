"""What stays over of a mix that may not be smaller, and the part that it would fill."""

from dataclasses import replace
from decimal import Decimal

from costing_bench import attended, charged, loaded, part, process, resin, shop

from mouldwright.domain.costing.left_over import left_over, said_of_mixes
from mouldwright.domain.costing.unit_cost import unit_cost
from mouldwright.domain.part.shape import Rectangle
from mouldwright.domain.structure.kinds import CastStructure

POURED = process(
    attended("mix", "batch", "2", material="resin", pot_life_until="pour"),
    attended("pour", "part", "1"),
    key="poured",
    structure=CastStructure(matrix="resin"),
)


def solid(key: str, span_mm: float):
    """Return a part of 1 cm2 cast solid: at 1.1 g/cm3 it takes 0.11 g a millimetre."""
    made = part(key, "poured")
    shape = Rectangle(width_mm=20.0, height_mm=5.0)
    return replace(made, span_mm=span_mm, section=shape, title=key.title())


RESIN = replace(resin(least_mixed_g=Decimal(85), lost_g=Decimal(2)), modulus_gpa=3.0)


def mixes_of(grams: float, *others):
    bench = shop(POURED, RESIN, part("fin", "poured"), *others)
    cost = unit_cost(bench, part(), POURED, 1, charge=charged(loaded("resin", grams)))
    return bench, cost.mixes


def test_what_the_least_mix_leaves_is_shown() -> None:
    # 85 g are mixed, 2 stay in the cup and 10 are poured: 73 are left.
    bench, uses = mixes_of(10.0)
    (left,) = left_over(replace(bench, parts={}), uses)
    assert (left.in_all_g, left.most_g, left.filler) == (73, 73, "")
    assert left.words(bench) == "73 g of Resin stay over, as no mix is below 85 g."


def test_the_largest_part_that_the_left_over_fills_is_named() -> None:
    # 73 g are left: a bar of 600 mm takes 66 g, one of 400 mm 44 g, one of 700 mm 77 g.
    bench, uses = mixes_of(10.0, solid("bar", 600.0), solid("stub", 400.0), solid("rail", 700.0))
    (left,) = left_over(bench, uses)
    assert (left.filler, float(left.filler_g)) == ("Bar", 66.0)
    assert said_of_mixes(bench, uses) == (
        "73 g of Resin stay over, as no mix is below 85 g: the 73 g left of one would fill Bar "
        "(66 g), if its mould stands by.",
    )


def test_a_mix_above_the_least_leaves_nothing() -> None:
    # 83 g and 2 in the cup are just the least.
    bench, uses = mixes_of(83.0, solid("bar", 100.0))
    assert said_of_mixes(bench, uses) == ()
