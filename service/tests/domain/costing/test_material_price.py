from decimal import Decimal
from fractions import Fraction

from costing_bench import material, offer, resin, shop, sold_by, stated

from mouldwright.domain.costing.material_cost import beyond_use, packs_bought
from mouldwright.domain.costing.material_price import material_prices
from mouldwright.domain.material import Rod

PARTS = (resin(), material("part-a"), material("part-b"))


def test_the_cheapest_pack_by_mass_sets_the_price_before_breaks_and_shipping() -> None:
    bench = shop(
        material("fibre"),
        suppliers=sold_by(
            offer(1, "24", grams={"fibre": 500}),
            offer(2, "40", grams={"fibre": 1000}, price_breaks=((3, Decimal(20)),)),
        ),
    )
    price = material_prices(bench).by_gram["fibre"]
    assert price.each == Fraction(4, 100)
    assert price.source == "weir, offer 2"


def test_a_kit_of_one_mix_shares_its_price_by_mass() -> None:
    # 38.00 over 1300 g, either component.
    bench = shop(*PARTS, suppliers=sold_by(offer(1, "38", grams={"part-a": 1000, "part-b": 300})))
    prices = material_prices(bench).by_gram
    assert prices["part-a"].each == prices["part-b"].each == Fraction(38, 1300)


def test_a_bundle_of_unrelated_materials_is_the_last_resort() -> None:
    bundle = offer(1, "10", grams={"fibre": 400, "part-a": 400, "part-b": 120})
    alone = offer(2, "24", grams={"fibre": 500})
    held = (*PARTS, material("fibre"))
    with_both = material_prices(shop(*held, suppliers=sold_by(bundle, alone)))
    assert with_both.by_gram["fibre"].each == Fraction(24, 500)
    assert with_both.by_gram["part-a"].each == Fraction(10, 920)


def test_a_stated_cost_serves_where_no_offer_does() -> None:
    bench = shop(stated(material("wax"), "12.50"))
    assert material_prices(bench).by_gram["wax"].each == Fraction(125, 10_000)


def test_what_nobody_sells_has_no_price() -> None:
    assert "wax" not in material_prices(shop(material("wax"))).by_gram


def test_a_rod_is_priced_by_the_metre() -> None:
    bench = shop(
        material("rod", rod=Rod(diameter_mm=3.0)),
        suppliers=sold_by(offer(1, "19", metres={"rod": 10})),
    )
    assert material_prices(bench).by_metre["rod"].each == Fraction(19, 10)


def test_a_rod_priced_by_mass_is_turned_into_metres() -> None:
    # pi/4 x 3^2 mm2 x 1 m x 1550 kg/m3 = 10.956 g a metre; at 100 a kg: 1.0956.
    bench = shop(
        material("rod", density_kg_m3=1550.0, rod=Rod(diameter_mm=3.0), cost_per_kg=Decimal(100))
    )
    assert round(float(material_prices(bench).by_metre["rod"].each), 4) == 1.0956


def test_a_mix_costs_its_components_by_their_share_of_mass() -> None:
    bench = shop(resin(), stated(material("part-a"), "20"), stated(material("part-b"), "33"))
    prices = material_prices(bench)
    shares = prices.components("resin")
    assert shares == {"part-a": Fraction(10, 13), "part-b": Fraction(3, 13)}
    # (100 x 20 + 30 x 33) / 130 = 23 a kg
    assert sum(prices.by_gram[key].each * share for key, share in shares.items()) == Fraction(
        23, 1000
    )


def test_a_mix_that_is_priced_itself_needs_no_component_prices() -> None:
    bench = shop(stated(resin(), "30"), material("part-a"), material("part-b"))
    assert material_prices(bench).components("resin") == {"resin": 1}


def test_whole_packs_cover_the_larger_need_of_a_kit() -> None:
    bench = shop(*PARTS, suppliers=sold_by(offer(1, "38", grams={"part-a": 1000, "part-b": 300})))
    prices = material_prices(bench)
    drawn = {("part-a", "g"): Fraction(900), ("part-b", "g"): Fraction(310)}
    (bought,) = packs_bought(drawn, prices)
    assert (bought.packs, bought.amount) == (2, 76)
    # 76 for two packs, 1210 g used at 38 / 1300.
    assert beyond_use(drawn, prices) == 76 - Fraction(1210 * 38, 1300)


def test_a_pack_that_is_just_used_up_is_one_pack() -> None:
    bench = shop(material("fibre"), suppliers=sold_by(offer(1, "24", grams={"fibre": 500})))
    prices = material_prices(bench)
    (bought,) = packs_bought({("fibre", "g"): Fraction(500)}, prices)
    assert bought.packs == 1
    assert beyond_use({("fibre", "g"): Fraction(500)}, prices) == 0
