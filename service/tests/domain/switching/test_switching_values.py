"""What would change the answer, against lines that cross where one can work it out by hand."""

from dataclasses import replace
from decimal import Decimal
from random import Random

import pytest
from costing_bench import (
    attended,
    charged,
    family,
    loaded,
    material,
    mould_hold,
    offer,
    part,
    person,
    process,
    shop,
    sold_by,
    unattended,
)

from mouldwright.domain.costing.cost_model import cost_model
from mouldwright.domain.judgement import judge
from mouldwright.domain.part.requirement import Requirement
from mouldwright.domain.process.process import Consumable
from mouldwright.domain.structure.kinds import MeasuredStructure
from mouldwright.domain.switching.find import FARTHEST_TIMES, inputs_of, what_changes
from mouldwright.domain.switching.input import Enquiry

NOW = 29_700_000


def way(key, fixed="0", each="0", **more):
    used = (
        Consumable(name="set-up", cost=Decimal(fixed), per="order"),
        Consumable(name="piece", cost=Decimal(each), per="part"),
    )
    operations = more.pop("operations", (unattended("wait", "order", "1"),))
    return process(*operations, key=key, consumables=used, **more)


def asked(quantity, *ways, made_by=None, **more):
    things = more.pop("things", ())
    fin = part("fin", *(made_by or [each.key for each in ways]))
    bench = shop(*ways, fin, *things, **more)
    return Enquiry(shop=bench, part="fin", quantity=quantity)


def found(enquiry, **more):
    """Return (held to, at, instead) by key and way, of every number that changes the answer."""
    changes = what_changes(enquiry, now=NOW, **more)
    return {
        (each.input.key, each.at > each.input.value): (
            each.holds_to,
            each.at,
            each.instead,
            each.looked_every,
        )
        for each in changes.switches
    }


# 400 + 38 n and 1500 + 16 n meet at n = 50. At 40 casting costs 1920 and pressing 2140, 220 more.
CAST, PRESSED = way("cast", "400", "38"), way("pressed", "1500", "16")


def test_two_lines_switch_where_they_cross_by_hand():
    # Constructed: 400 + 220 = 620; 38 + 220 / 40 = 43.50; 1500 - 220 = 1280; 16 - 5.50 = 10.50.
    # At each of those the two cost the same, and the one that is written first stays.
    values = found(asked(40, CAST, PRESSED))
    once, each = "processes.cast.consumables[1].cost", "processes.cast.consumables[2].cost"
    assert values[once, True] == (Decimal("620.00"), Decimal("620.01"), "pressed", None)
    assert values[each, True] == (Decimal("43.50"), Decimal("43.51"), "pressed", None)
    once, each = "processes.pressed.consumables[1].cost", "processes.pressed.consumables[2].cost"
    assert values[once, False] == (Decimal("1280.00"), Decimal("1279.99"), "pressed", None)
    assert values[each, False] == (Decimal("10.50"), Decimal("10.49"), "pressed", None)
    assert values["quantity", True] == (Decimal(50), Decimal(51), "pressed", None)


def test_a_tie_goes_to_the_process_that_is_written_first():
    values = found(asked(40, CAST, PRESSED, made_by=("pressed", "cast")))
    key = "processes.cast.consumables[1].cost"
    assert values[key, True] == (Decimal("619.99"), Decimal("620.00"), "pressed", None)
    assert values["quantity", True] == (Decimal(49), Decimal(50), "pressed", None)


def test_what_moves_the_answer_least_comes_first_and_what_moves_nothing_is_named():
    changes = what_changes(asked(40, CAST, PRESSED), now=NOW)
    shares = [abs(each.change) for each in changes.switches]
    assert shares == sorted(shares)
    # 46 starts cost 2148, 45 cost 2110, so below 40 / 45: 1 to 0.888 is 11.2 %. 38 to 43.51 is
    # 14.5 %, 1500 to 1279.99 is 14.7 %.
    assert [each.input.key for each in changes.switches[:3]] == [
        'processes.cast.operations["wait"].good_rate',
        "processes.cast.consumables[2].cost",
        "processes.pressed.consumables[1].cost",
    ]
    steady = {each.key for each in changes.steady}
    assert "shop.price.rate" in steady  # a margin lifts both
    assert "shop.packaging_per_part" in steady


def test_wages_switch_between_much_work_and_little():
    # Constructed: 30 min and 2.00, or 10 min and 9.00: w / 2 + 2 = w / 6 + 9 at w = 21.
    slow = way("slow", each="2.00", operations=(attended("make", "part", "30"),))
    quick = way("quick", each="9.00", operations=(attended("make", "part", "10"),))
    values = found(asked(5, slow, quick, things=(person(wage="15"),)))
    assert values["people.ann.wage_per_hour", True] == (
        Decimal("21.00"),
        Decimal("21.01"),
        "quick",
        None,
    )
    # 15 an hour: 9.50 and 11.50 - so 2.00 more are 8 min of 15 an hour.
    assert values['processes.slow.operations["make"].attended_min', True] == (
        Decimal("38.0"),
        Decimal("38.1"),
        "quick",
        None,
    )


def test_on_costs_switch_where_they_make_the_same_hour():
    # As above with 10 % on 15: 21 / 15 = 1.4, so 40 %; followed to three times 10 % they never do,
    # and from 20 % they do.
    slow = way("slow", each="2.00", operations=(attended("make", "part", "30"),))
    quick = way("quick", each="9.00", operations=(attended("make", "part", "10"),))
    for now, there in (("0.1", None), ("0.2", (Decimal("0.400"), Decimal("0.401"), "quick", None))):
        someone = person(wage="15", on_cost_rate=Decimal(now))
        values = found(asked(5, slow, quick, things=(someone,)))
        assert values.get(("people.ann.on_cost_rate", True)) == there


def of_stuff(key, **more):
    """Return a way that takes what its part holds: 1 kg, by a measured density."""
    structure = MeasuredStructure(modulus_gpa=3.0, density_kg_m3=25_000.0, material="stuff")
    return way(key, structure=structure, **more)


def test_an_offer_that_gets_dearer_is_left_for_another_before_the_process_is():
    # The fin of the bench is 200 x 40 x 5 mm: 40 cm3 at 25 g/cm3 are 1 kg. A kilogram is 20.00
    # from one and 30.00 from the other supplier.
    offers = sold_by(
        offer(1, "20.00", grams={"stuff": 1000}), offer(2, "30.00", grams={"stuff": 1000})
    )
    things = (material("stuff"),)
    first = ("suppliers.weir.offers[1].price", True)
    # Another way at 25.00: reached before the second offer takes over.
    values = found(
        asked(3, of_stuff("own"), way("other", each="25.00"), things=things, suppliers=offers)
    )
    assert values[first] == (Decimal("25.00"), Decimal("25.01"), "other", None)
    # Another at 35.00: the second offer holds the price at 30.00, so it is never reached.
    values = found(
        asked(3, of_stuff("own"), way("other", each="35.00"), things=things, suppliers=offers)
    )
    assert first not in values
    # Another at 18.00 wins; the dearer offer wins back only below both.
    values = found(
        asked(3, of_stuff("own"), way("other", each="18.00"), things=things, suppliers=offers)
    )
    second = values["suppliers.weir.offers[2].price", False]
    assert second == (Decimal("18.01"), Decimal("18.00"), "own", None)


def test_a_good_rate_switches_where_one_more_start_does():
    # 10 good at 10.00 a start, or 15.00 each by another way: 15 starts tie. ceil(10 / y) is 16
    # below y = 2/3, so at 0.666; at 0.667 it is 15.
    often = way("often", each="10.00", operations=(attended("make", "part"),))
    values = found(asked(10, often, way("sure", each="15.00")))
    key = 'processes.often.operations["make"].good_rate'
    assert values[key, False] == (Decimal("0.667"), Decimal("0.666"), "sure", None)


def test_the_life_of_a_mould_switches_at_a_whole_pull():
    # 6 + 90 / life against 10: 22.5 pulls, so at 22.
    pulled = way("pulled", each="6.00", operations=(attended("pour", "pull"),),
                 holds=(mould_hold("pour", "pour"),))  # fmt: skip
    bench = family(of="pulled", life_pulls=30, cost=Decimal(90))
    values = found(asked(4, pulled, way("bought", each="10.00"), things=(bench,)))
    assert values["moulds.fin-pulled.life_pulls", False] == (
        Decimal(23),
        Decimal(22),
        "bought",
        None,
    )
    # 90 to 120 makes 6 + 4 = 10.
    assert values["moulds.fin-pulled.cost", True] == (
        Decimal("120.00"),
        Decimal("120.01"),
        "bought",
        None,
    )


def asked_of(enquiry, **requirement):
    fin = replace(
        enquiry.made, requirement=Requirement(support="cantilever", load="end", **requirement)
    )
    return replace(enquiry, shop=replace(enquiry.shop, parts={"fin": fin}))


def test_a_load_switches_where_the_bend_grows_to_what_is_allowed():
    # Bending is proportional to load: the cheap soft way fails at load x allowed / bend.
    soft = way("soft", each="5", structure=MeasuredStructure(modulus_gpa=2.0, density_kg_m3=1200.0))
    hard = way("hard", each="9", structure=MeasuredStructure(modulus_gpa=9.0, density_kg_m3=1200.0))
    enquiry = asked_of(asked(2, soft, hard), force_n=1.0, deflection_mm=6.0)
    bend = judge(enquiry.shop, enquiry.made, soft).deflection_mm
    values = found(enquiry)
    holds, at, instead, every = values["parts.fin.requirement.force_n", True]
    assert holds <= 6 / Decimal(bend) < at
    assert (at - holds, instead, every) == (Decimal("0.1"), "hard", None)
    holds, at, instead, every = values["parts.fin.requirement.deflection_mm", False]
    assert at < bend <= holds
    assert (holds - at, instead) == (Decimal("0.01"), "hard")


def test_under_another_aim_another_answer_is_held():
    soft = way("soft", each="5", structure=MeasuredStructure(modulus_gpa=2.0, density_kg_m3=1100.0))
    hard = way("hard", each="9", structure=MeasuredStructure(modulus_gpa=9.0, density_kg_m3=1200.0))
    enquiry = asked_of(asked(2, soft, hard), force_n=1.0, deflection_mm=50.0)
    for aim, wins in (("stiffest", "hard"), ("lightest", "soft"), ("cheapest", "soft")):
        assert what_changes(enquiry, now=NOW, aim=aim).process == wins
    # No price moves which is stiffest.
    keys = {key for key, _ in found(enquiry, aim="stiffest")}
    assert not any(key.startswith("processes") for key in keys)


def test_a_date_rules_a_slow_way_out_and_its_minutes_bring_it_in():
    # From Monday 08:00 Lisbon (a minute count of a Monday): 300 unattended minutes end at 13:00.
    slow = way("slow", each="5", operations=(unattended("set", "order", "300"),))
    quick = way("quick", each="9", operations=(unattended("set", "order", "60"),))
    enquiry = asked(1, slow, quick)
    changes = what_changes(enquiry, now=NOW, by=NOW + 200)
    assert changes.process == "quick"
    at = {each.input.key: each for each in changes.switches}
    minutes = at['processes.slow.operations["set"].unattended_min']
    assert (minutes.holds_to, minutes.at, minutes.instead) == (201, 200, "slow")


def cheapest(enquiry):
    """Return the cheapest by the whole cost, worked out anew; the first of equals."""
    costs = {}
    for key in enquiry.made.made_by:
        made_so = enquiry.shop.process(key)
        model = cost_model(enquiry.shop, enquiry.made, made_so, charge=HELD.get(key))
        costs[key] = model.per_good_part(enquiry.quantity)
    return min(costs, key=costs.__getitem__)


# What one part of stuff holds, as above: 1 kg.
HELD = {"own": charged(loaded("stuff", 1000.0))}


@pytest.mark.parametrize("seed", [0, 2, 3, 4, 5, 7])
def test_no_nearer_value_is_passed_over(seed):
    """Every value in steps of a cent, tried one after another, finds the same."""
    drawn = Random(seed)

    def cents(most=14):
        return Decimal(drawn.randint(1, most)) / 100

    ways = [(cents(), cents()) for _ in range(drawn.randint(1, 2))]
    quantity, packs = drawn.randint(1, 12), (cents(30), cents(30))
    charged_as = ("used", "bought")[seed % 2]
    made = [of_stuff("own")] + [
        way(f"way-{n}", str(once), str(each)) for n, (once, each) in enumerate(ways)
    ]
    offers = sold_by(
        offer(1, str(packs[0]), grams={"stuff": 700}),
        offer(2, str(packs[1]), grams={"stuff": 1600}),
    )
    enquiry = asked(
        quantity, *made, things=(material("stuff"),), suppliers=offers, materials_charged=charged_as
    )
    money = [e for e in inputs_of(enquiry) if e.value and e.unit.startswith("EUR")]
    money = [e for e in money if "offers" in e.key or "consumables" in e.key]
    changes = what_changes(enquiry, now=NOW, among=money)
    assert changes.switches
    said = {(each.input.key, each.at > each.input.value): each for each in changes.switches}
    for each in money:
        for sign in (1, -1):
            end = each.value * FARTHEST_TIMES if sign > 0 else each.least
            count = int(abs(end - each.value) / each.step)
            values = (each.value + sign * n * each.step for n in range(1, count + 1))
            first = next(
                (v for v in values if cheapest(each.put(enquiry, v)) != changes.process), None
            )
            switch = said.get((each.key, sign > 0))
            assert (switch and switch.at) == first
