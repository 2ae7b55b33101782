from dataclasses import replace
from fractions import Fraction

import pytest

from mouldwright.domain.compare import (
    Choice,
    Crossover,
    crossovers,
    recommend,
    switching_values,
    unbeaten,
    winners,
)


class Cost:
    """Stands in for a unit cost: what a comparison asks of one."""

    def __init__(self, each, **drivers):
        self.per_good_part = None if each is None else Fraction(each)
        self._drivers = {name: Fraction(amount) for name, amount in drivers.items()}

    def drivers(self):
        return self._drivers


class Judged:
    def __init__(self, deflection_mm=10.0, mass_g=80.0, *, passes=True, makeable=True):
        self.makeable = makeable
        self.meets_requirement = passes
        self.deflection_mm = deflection_mm
        self.mass_g = mass_g
        self.allowed_mm = 20.0
        self.utilisation = deflection_mm / 20.0
        self.reasons = () if makeable else ("the rods do not fit",)


def choice(process, *, cost=None, finish=100, judged=None):
    return Choice(
        process=process,
        title=process.capitalize(),
        judgement=judged or Judged(),
        cost=cost,
        price=None,
        rate=None,
        finish=finish,
        lead_time_min=finish,
        moulds=1,
    )


def lines(fixed_and_each, count=100):
    """Cost of one piece by quantity: a fixed amount spread, and an amount each."""
    return {
        process: [Fraction(fixed, n) + each for n in range(1, count + 1)]
        for process, (fixed, each) in fixed_and_each.items()
    }


def test_the_cheapest_changes_where_the_lines_cross_and_a_tie_changes_nothing():
    # Break-even by hand: 20 + 55 n = 400 + 38 n at n = 22.35, 400 + 38 n = 1500 + 16 n at
    # n = 50 exactly. printed and pressed cross at 37.9, where casting is cheaper than both.
    costs = lines({"printed": (20, 55), "cast": (400, 38), "pressed": (1500, 16)})
    assert crossovers(costs) == (
        Crossover(from_quantity=1, process="printed"),
        Crossover(from_quantity=23, process="cast"),
        Crossover(from_quantity=51, process="pressed"),
    )


def test_a_process_of_unknown_cost_takes_no_part_in_crossovers():
    costs = {**lines({"cast": (400, 38)}), "pressed": [None] * 100}
    assert crossovers(costs) == (Crossover(from_quantity=1, process="cast"),)
    assert crossovers({"pressed": [None] * 100}) == ()


def test_each_aim_has_its_own_winner():
    found = winners(
        [
            choice("pressed", cost=Cost(30), finish=300, judged=Judged(5.0, 110.0)),
            choice("cast", cost=Cost(20), finish=200, judged=Judged(12.0, 90.0)),
            choice("printed", cost=Cost(25), finish=400, judged=Judged(19.0, 60.0)),
        ]
    )
    assert {w.aim: w.process for w in found} == {
        "cheapest": "cast",
        "soonest": "cast",
        "stiffest": "pressed",
        "lightest": "printed",
    }


def test_a_choice_worse_on_every_count_is_beaten_and_equals_are_not():
    good = choice("cast", cost=Cost(20), finish=200, judged=Judged(12.0, 90.0))
    worse = choice("old cast", cost=Cost(21), finish=200, judged=Judged(12.0, 90.0))
    other = choice("printed", cost=Cost(40), finish=500, judged=Judged(19.0, 60.0))
    twin = choice("twin", cost=Cost(20), finish=200, judged=Judged(12.0, 90.0))
    assert unbeaten([good, worse, other]) == ("cast", "printed")
    assert unbeaten([good, twin]) == ("cast", "twin")


def test_a_choice_whose_cost_is_unknown_is_never_said_to_beat_one_that_is_known():
    known = choice("cast", cost=Cost(20), finish=200)
    unknown = choice("pressed", cost=None, finish=100, judged=Judged(5.0, 70.0))
    assert "cast" in unbeaten([known, unknown])


def test_the_switching_value_is_where_the_two_costs_meet():
    # Cast costs 20, 4 of it resin; pressed 22, 1 of it resin. Resin up by x: 20 + 4x = 22 + x,
    # x = 2/3. Wages: 10 against 13, so a fall by 2/3 makes them meet: 20 - 10 y = 22 - 13 y.
    best = choice("cast", cost=Cost(20, resin=4, wages=10))
    other = choice("pressed", cost=Cost(22, resin=1, wages=13))
    found = {s.driver: s.change for s in switching_values(best, [other])}
    assert found == {"resin": Fraction(2, 3), "wages": Fraction(-2, 3)}


def test_an_input_that_would_have_to_fall_below_nothing_is_left_out():
    best = choice("cast", cost=Cost(20, moulds=1))
    other = choice("pressed", cost=Cost(30, moulds=2))
    assert switching_values(best, [other]) == ()


def test_the_cheapest_that_passes_is_recommended_with_its_margin():
    found = recommend(
        [
            choice("pressed", cost=Cost(22, resin=1), judged=Judged(5.0)),
            choice("cast", cost=Cost(20, resin=4), judged=Judged(12.0)),
            choice("printed", cost=Cost(9), judged=Judged(31.0, passes=False)),
        ]
    )
    assert found.process == "cast"
    assert "would change to Pressed if resin rose 67 %" in found.why
    assert "Printed fails: it bends 31.0 mm" in found.why


def test_a_date_rules_out_what_is_too_slow_and_the_soonest_is_named_where_all_are():
    slow = choice("cast", cost=Cost(20), finish=500)
    quick = choice("pressed", cost=Cost(30), finish=300)
    assert recommend([slow, quick], by=400).process == "pressed"
    late = recommend([slow, quick], by=100)
    assert late.process == "pressed"
    assert "No process is ready by the date" in late.why


@pytest.mark.parametrize("by", [None, 400])
def test_where_no_way_that_passes_has_a_date_the_cheapest_is_taken_and_what_it_lacks_is_said(by):
    cast = replace(choice("cast", cost=Cost(17), finish=None), undated=("moulds run out",))
    pressed = replace(choice("pressed", cost=Cost(59), finish=None), undated=("no hours",))
    for choices in ([cast, pressed], [pressed, cast]):
        found = recommend(choices, by=by)
        assert found.process == "cast"
        assert "soonest" not in found.why
        assert "in time" not in found.why
        assert "No way that passes has a date" in found.why
        assert found.why.endswith("No date can be given for Cast: moulds run out.")


def test_a_way_with_a_date_too_late_goes_before_a_cheaper_one_without_any():
    undated = replace(choice("cast", cost=Cost(17), finish=None), undated=("moulds run out",))
    found = recommend([undated, choice("pressed", cost=Cost(59), finish=300)], by=100)
    assert found.process == "pressed"


def test_a_cheapest_without_a_date_is_said_to_have_none_where_others_have():
    undated = replace(choice("cast", cost=Cost(17), finish=None), undated=("moulds run out",))
    found = recommend([undated, choice("pressed", cost=Cost(59), finish=300)])
    assert found.process == "cast"
    assert "No date can be given for Cast: moulds run out." in found.why


@pytest.mark.parametrize(
    "judged", [Judged(31.0, passes=False), Judged(passes=False, makeable=False)]
)
def test_nothing_is_recommended_where_nothing_passes(judged):
    found = recommend([choice("cast", cost=Cost(20), judged=judged)])
    assert found.process is None
    assert "No process passes" in found.why


def test_nothing_is_recommended_while_every_cost_is_unknown():
    found = recommend([choice("cast", cost=Cost(None))])
    assert found.process is None
    assert "unknown" in found.why


def test_a_process_that_passes_at_an_unknown_cost_is_not_said_to_fail():
    found = recommend([choice("printed", cost=Cost(7)), choice("cast", cost=Cost(None))])
    assert found.process == "printed"
    assert "Cast passes too, and its cost is unknown" in found.why
    assert "No other process passes" not in found.why
