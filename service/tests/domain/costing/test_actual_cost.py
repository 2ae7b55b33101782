"""What an order really cost: worked by hand from a few entries."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from bench_log import done, entry, logged, members, work
from builders import hands, hold, moulds, order, person, process, shop

from mouldwright.domain.costing.actual import actual_cost
from mouldwright.domain.costing.actual_lines import Quoted
from mouldwright.domain.material import Lot, Stock
from mouldwright.domain.order import PartSet, SetItem, SetPart
from mouldwright.domain.record.log import Happening
from mouldwright.domain.record.trace import Records
from mouldwright.scenario.demo import open_demo

PRESSED = process(
    hands("load", 10),
    hands("demould", 5),
    hands("inspect", 2, per="part"),
    holds=[hold("load", "demould")],
    conditioning=hands("condition", 30, per="conditioning"),
)


def bench(*entries, **family):
    family = {"life_pulls": 30, "cost": Decimal(90), **family}
    made = shop(
        PRESSED,
        [order("1", 2), order("2", 5)],
        people=[replace(person("ann"), wage_per_hour=Decimal(30)), person("bea")],  # 15 an hour
        moulds=[moulds(1, **family)],
        packaging_per_part=Decimal("0.50"),
        overhead_per_hour=Decimal(6),
    )
    return replace(made, log=logged(*entries))


def cost_of(made, number="1"):
    wanted = next(o for o in made.orders if o.number == number)
    return actual_cost(made, wanted, Records(made))


def through(number, hours, *, took=None, order="1"):
    """A pull from loading to inspection, by Ann; its loading timed where ``took`` says minutes."""
    mould, by = "fin-mould 1", {"people": ("ann",)}
    began = None if took is None else hours - took / 60
    return (
        *done(hours, work("load", mould=mould, pulls=[number], order=order), began=began, **by),
        *done(hours + 10, work("demould", mould=mould, pulls=[number], order=order), **by),
        *done(hours + 11, work("inspect", pulls=[number], parts=[number], order=order), **by),
    )


def amounts(found):
    return {line.text: line.amount for line in found.lines}


def test_hands_moulds_packaging_overhead_and_scrap_add_up():
    scrap = entry(Happening.SCRAPPED, 35, members=members(parts=[2]), cause="void")
    found = cost_of(bench(*through(1, 8, took=20), *through(2, 20), scrap, *through(3, 40)))
    # Loading 20 timed + 10 + 10 at standard, demoulding 3 x 5, inspecting 3 x 2: 61 min at 0.50.
    assert amounts(found) == {
        "load": Fraction(20),
        "demould": Fraction("7.5"),
        "inspect": 3,
        "fin-mould, by the life of a mould": 9,  # 3 pulls x 90 / 30
        "packaging": 1,  # 2 good x 0.50
        "overhead on attended hours": Fraction("6.1"),  # 61 / 60 x 6
    }
    assert (found.begun, found.good, found.scrapped, found.is_whole) == (3, 2, 1, True)
    assert found.total == Fraction("46.6")
    assert found.per_good_part == Fraction("23.3")
    assert found.scrap == Fraction("46.6") / 3
    loading = found.lines[0]
    assert loading.evidence == "1 timed, 2 at their standard"
    assert (loading.quantity, loading.reckoned) == (Fraction(2, 3), Fraction(1, 2))


def test_what_seconds_bring_is_beside_the_cost_and_in_no_line():
    # Three pulls at the standard by Ann: 51 min at 0.50 are 25.50, 3 a pull 9, packaging of the two
    # good ones 1, overhead 5.10: 40.60. The third is a second, sold at 8: (40.60 - 8) / 2 = 16.30.
    second = entry(Happening.SECOND, 60, members=members(parts=[3]))
    made = bench(*through(1, 8), *through(2, 20), *through(3, 40), second)
    assert cost_of(made).seconds_income is None
    assert cost_of(made).per_good_part_after is None
    fin = replace(made.parts["fin"], second_price=Decimal(8))
    found = cost_of(replace(made, parts={**made.parts, "fin": fin}))
    assert (found.good, found.seconds, found.scrapped) == (2, 1, 0)
    assert (found.total, found.seconds_income) == (Fraction("40.6"), 8)
    assert found.per_good_part == Fraction("20.3")
    assert found.per_good_part_after == Fraction("16.3")
    assert cost_of(bench(*through(1, 8))).seconds_income == 0


def test_the_quote_leaves_what_it_is_over_what_was_spent():
    found = cost_of(bench(*through(1, 8), *through(2, 20)))
    # Two pulls at the standard by Ann: 34 min at 0.50 are 17, 3 a pull 6, packaging 1, overhead
    # 3.40: 27.40; quoted at 60.
    quoted = replace(found, quoted=Quoted(net=Decimal(60), cost_each=Decimal(20)))
    assert quoted.earned == Fraction("32.6")
    assert found.earned is None


def test_where_the_money_went_is_the_difference_of_each_group():
    found = cost_of(bench(*through(1, 8, took=20), *through(2, 20)))
    groups = {group.kind: group for group in found.groups}
    # Reckoned for two: 34 min at the mean of 30 and 15 an hour, 22.50: 12.75.
    assert groups["labour"].reckoned == Fraction("12.75")
    assert groups["labour"].really == 22  # 44 min of Ann's
    assert groups["labour"].over == Fraction("9.25")
    assert groups["tooling"].over == 0


def test_a_task_shared_by_two_orders_falls_to_each_by_its_pulls():
    both = replace(
        work("load", mould="fin-mould 1"),
        members=(*members("1", pulls=[1]), *members("2", pulls=[1, 2, 3])),
    )
    made = bench(*done(8, both, began=7, people=("ann",)))
    assert amounts(cost_of(made))["load"] == Fraction("7.5")  # 30 x 1/4
    assert amounts(cost_of(made, "2"))["load"] == Fraction("22.5")


def test_conditioning_falls_to_the_pulls_that_made_it_due():
    # Two pulls of order 1 and one of order 2 before it: two thirds of half an hour at the mean
    # of 22.50, 7.50. The one after them falls to order 2 alone.
    waxed = done(60, work("condition", mould="fin-mould 1"))
    made = bench(*through(1, 1), *through(2, 15), *through(1, 30, order="2"), *waxed)
    assert amounts(cost_of(made))["condition"] == Fraction("7.5")
    again = done(90, work("condition", mould="fin-mould 1"))
    made = bench(
        *through(1, 1), *through(2, 15), *through(1, 30, order="2"), *waxed,
        *through(2, 70, order="2"), *again,
    )  # fmt: skip
    assert amounts(cost_of(made))["condition"] == Fraction("7.5")
    assert amounts(cost_of(made, "2"))["condition"] == Fraction("15")  # 11.25 x (1/3 + 1)


def test_a_mould_lost_by_an_order_costs_it_what_was_left_of_its_life():
    lost = entry(Happening.MOULD_LOST, 30, mould="fin-mould 1", cause="stuck")
    loading = done(29, work("load", mould="fin-mould 1", pulls=[2]))
    found = cost_of(bench(*through(1, 8), *loading, lost))
    # 2 pulls taken, the one that lost it included; 28 of 30 were left: 28 x 3.
    assert amounts(found)["fin-mould, what was left of moulds that were lost"] == 84
    stated = cost_of(bench(*through(1, 8), *loading, lost, loss_rate=Decimal("0.01")))
    assert not any("lost" in text for text in amounts(stated))


def test_lots_are_charged_at_what_was_paid_for_them_and_else_at_todays_price():
    demo = open_demo("foil-bench").shop
    paid = Lot(material="epoxy-resin", grams=Decimal(1000), paid=Decimal("50.00"), name="dear")
    stock = Stock(lots={**demo.stock.lots, "epoxy-resin": (paid,)})
    mix = work("mix", pulls=[1, 2, 3], order="1001", part="stabiliser")
    made = replace(demo, stock=stock, log=logged(*done(10, mix)))
    found = cost_of(made, "1001")
    # 120.0 g at 0.05; hardener 36.0 g at the plain price: a kit of 1300 g at 38.00 by mass.
    assert amounts(found)["Epoxy resin, lot dear"] == 6
    assert float(amounts(found)["Epoxy hardener, lot 1"]) == pytest.approx(36 * 38 / 1300)
    assert found.lines[1].evidence == "by the recipe, what expires first"


def test_an_order_that_is_not_whole_says_so():
    found = cost_of(bench(*through(1, 8), *done(30, work("load", pulls=[2], mould="fin-mould 1"))))
    assert (found.in_work, found.is_whole) == (1, False)
    assert cost_of(bench()).total == 0
    assert cost_of(bench()).per_good_part is None


def test_of_a_set_the_whole_ones_count_and_what_is_bought_in_for_them():
    # Two sets of a fin and a wing. Both fins and one wing are good: one set is whole.
    pieces = (SetPart(part="fin", process="pressed"), SetPart(part="wing", process="pressed"))
    kit = PartSet(
        key="kit", title="Kit", parts=pieces, items=(SetItem(name="screw", cost=Decimal("0.20"),
        count=3),), operations=(hands("pack", 10, per="part"),),
    )  # fmt: skip
    made = shop(
        PRESSED,
        [order("1", 2, part="kit", process=None)],
        people=[replace(person("ann"), wage_per_hour=Decimal(30))],
        sets=[kit],
        moulds=[moulds(life_pulls=30, cost=Decimal(90)), moulds(key="wing-mould", part="wing")],
        packaging_per_part=Decimal("0.50"),
    )
    inspected = [
        done(at, work("inspect", pulls=[pull], parts=[pull], part=part), people=("ann",))[0]
        for at, pull, part in ((20, 1, "fin"), (21, 2, "fin"), (22, 3, "wing"))
    ]
    packed = done(30, work("pack", parts=[5], process="kit", part="kit"), people=("ann",))
    found = cost_of(replace(made, log=logged(*inspected, *packed)))
    assert (found.begun, found.good, found.is_whole) == (3, 1, False)
    lines = amounts(found)
    assert lines["bought in: screw"] == Fraction("0.6")
    assert lines["pack"] == 5  # ten minutes at 30 an hour
    assert lines["packaging"] == Fraction("1.5")  # three good parts
