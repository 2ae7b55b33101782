from decimal import Decimal
from fractions import Fraction
from itertools import product

import pytest
from costing_bench import attended, process
from hypothesis import given, settings
from hypothesis import strategies as st

from mouldwright.domain.costing.scrap import (
    GoodRates,
    chance_of,
    exact_chance_of,
    fewest_starts,
    good_rates,
    starts_for,
    still_needed,
)
from mouldwright.domain.errors import InvalidInput

SEVENTY = GoodRates(part=Fraction(7, 10))


def one_by_one(quantity: int, pulls: int, rate: float) -> float:
    """Chance of enough good parts by following the count of good ones part by part."""
    good = [1.0] + [0.0] * pulls
    for _ in range(pulls):
        good = [g * (1 - rate) + (good[i - 1] * rate if i else 0.0) for i, g in enumerate(good)]
    return sum(good[quantity:])


@pytest.mark.parametrize(
    ("good", "pulls"), [(24, 35), (21, 30), (42, 60), (84, 120), (1, 2), (7, 10)]
)
def test_the_mean_rule_is_good_over_yield_rounded_up_exactly(good: int, pulls: int) -> None:
    # Worked by hand: 24 / 0.7 = 34.3 -> 35; 21 / 0.7 is 30 and no more, where binary
    # floats give 30.000000000000004.
    assert fewest_starts(good, SEVENTY).pulls == pulls


@pytest.mark.parametrize(("pulls", "percent"), [(35, 65), (37, 81), (39, 91), (41, 96)])
def test_expected_yield_is_not_a_promise(pulls: int, percent: int) -> None:
    chance = chance_of(24, pulls, 1, SEVENTY)
    assert round(100 * chance) == percent
    assert chance == pytest.approx(one_by_one(24, pulls, 0.7), rel=1e-12)


def test_a_service_level_of_nine_in_ten_takes_39_pulls_for_24_at_70_percent() -> None:
    found = fewest_starts(24, SEVENTY, service_level=Decimal("0.9"))
    assert (found.pulls, found.starts) == (39, 39)
    assert one_by_one(24, 38, 0.7) < 0.9 <= one_by_one(24, 39, 0.7)


def test_a_service_level_of_nine_in_ten_takes_29_pulls_for_24_at_90_percent() -> None:
    found = fewest_starts(24, GoodRates(part=Fraction(9, 10)), service_level=Decimal("0.9"))
    assert found.pulls == 29
    assert one_by_one(24, 28, 0.9) < 0.9 <= one_by_one(24, 29, 0.9)


def test_a_set_begins_each_of_its_parts_by_its_own_yield() -> None:
    # Ten sets of left, right and centre at 70, 70 and 90 %: 14.3, 14.3 and 11.1 rounded up;
    # what ships is the least count and never the mean.
    pulls = [fewest_starts(10, GoodRates(part=Fraction(rate, 10))).pulls for rate in (7, 7, 9)]
    assert pulls == [15, 15, 12]


def test_a_level_met_exactly_is_met() -> None:
    # One of two parts at 1/2: 1 - 1/4 = 3/4, to the last digit.
    half = GoodRates(part=Fraction(1, 2))
    assert fewest_starts(1, half, service_level=Decimal("0.75")).pulls == 2
    assert fewest_starts(1, half, service_level=Decimal("0.7500000001")).pulls == 3


def test_a_lost_pull_loses_all_its_parts() -> None:
    # Two pulls of two cavities, nine of ten pulls survive and no part fails by itself:
    # at least 3 good only if both survive, 0.81.
    rates = GoodRates(part=Fraction(1), pull=Fraction(9, 10))
    assert exact_chance_of(3, 2, 2, rates) == Fraction(81, 100)
    assert chance_of(3, 2, 2, rates) == pytest.approx(0.81, rel=1e-12)


def test_pull_and_part_rates_combine_as_counting_every_outcome_says() -> None:
    rates = GoodRates(part=Fraction(3, 4), pull=Fraction(2, 3))
    pulls, cavities, wanted = 3, 2, 3
    total = Fraction(0)
    for survives in product([True, False], repeat=pulls):
        for passes in product([True, False], repeat=pulls * cavities):
            chance = Fraction(1)
            for alive in survives:
                chance *= rates.pull if alive else 1 - rates.pull
            for passed in passes:
                chance *= rates.part if passed else 1 - rates.part
            good = sum(p and survives[i // cavities] for i, p in enumerate(passes))
            total += chance if good >= wanted else 0
    assert exact_chance_of(wanted, pulls, cavities, rates) == total
    assert chance_of(wanted, pulls, cavities, rates) == pytest.approx(float(total), rel=1e-12)


def test_starts_are_whole_pulls_times_cavities() -> None:
    way = process(attended("pour", "pull", "1"), attended("trim", "part", good_rate=Decimal("0.9")))
    found = starts_for(10, way, 4, None)
    # 10 / 0.9 = 11.1 parts -> 12 would do, and 12 is three pulls of four.
    assert (found.pulls, found.starts) == (3, 12)
    assert found.expected_spare == Fraction(12 * 9, 10) - 10


def test_a_process_without_pulls_starts_single_parts() -> None:
    way = process(attended("sand", "part", "1", good_rate=Decimal("0.5")))
    found = starts_for(3, way, 4, None)
    assert (found.pulls, found.starts) == (0, 6)


def test_the_good_rate_is_the_product_over_operations() -> None:
    way = process(
        attended("pour", "pull", good_rate=Decimal("0.8"), good_rate_per="pull"),
        attended("trim", "part", good_rate=Decimal("0.9")),
        attended("inspect", "part", good_rate=Decimal("0.7")),
    )
    assert good_rates(way) == GoodRates(part=Fraction(63, 100), pull=Fraction(8, 10))


@pytest.mark.parametrize("quantity", [0, -3, 2.5, True])
def test_a_quantity_that_is_no_count_is_refused_by_name(quantity: int) -> None:
    with pytest.raises(InvalidInput) as raised:
        fewest_starts(quantity, SEVENTY)
    assert raised.value.faults[0].path == "quantity"
    assert str(quantity) in str(raised.value)


@pytest.mark.parametrize("rate", ["0", "1.1", "-0.2"])
def test_a_yield_of_nothing_or_above_one_is_refused_by_name(rate: str) -> None:
    way = process(attended("inspect", "part", good_rate=Decimal(rate)))
    with pytest.raises(InvalidInput) as raised:
        starts_for(3, way, 1, None)
    assert raised.value.faults[0].path == 'processes.way.operations["inspect"].good_rate'


def test_a_yield_of_one_starts_what_is_wanted() -> None:
    found = fewest_starts(17, GoodRates(part=Fraction(1)), service_level=Decimal("0.99"))
    assert (found.pulls, found.chance, found.expected_spare) == (17, 1.0, 0)


@pytest.mark.parametrize("level", [Decimal(0), Decimal(1), Decimal("1.2")])
def test_a_service_level_that_no_number_reaches_is_refused(level: Decimal) -> None:
    with pytest.raises(InvalidInput) as raised:
        fewest_starts(5, SEVENTY, service_level=level)
    assert raised.value.faults[0].path == "shop.service_level"


def test_replanning_after_ten_pulls_says_how_many_more() -> None:
    # 24 wanted, 35 pulls planned, 10 done and 5 good: 19 left, 19 / 0.7 = 27.1 -> 28, 38 in all.
    after = still_needed(24, SEVENTY, pulls_done=10, good_so_far=5)
    assert (after.good_missing, after.pulls, after.pulls_in_all) == (19, 28, 38)
    assert after.more_than(35) == 3


def test_replanning_with_the_learnt_yield_says_what_follows_if_it_lasts() -> None:
    learnt = GoodRates(part=Fraction(5, 10))
    after = still_needed(24, learnt, pulls_done=10, good_so_far=5)
    assert (after.pulls, after.pulls_in_all) == (38, 48)


def test_nothing_is_needed_once_enough_are_good() -> None:
    after = still_needed(24, SEVENTY, pulls_done=30, good_so_far=25)
    assert (after.pulls, after.pulls_in_all, after.chance) == (0, 30, 1.0)


rates = st.builds(
    GoodRates,
    part=st.fractions(Fraction(1, 3), 1, max_denominator=20),
    pull=st.fractions(Fraction(1, 2), 1, max_denominator=10),
)
levels = st.one_of(st.none(), st.decimals("0.05", "0.98", places=2))


@settings(deadline=None, max_examples=60)
@given(st.integers(1, 15), rates, st.integers(1, 6), levels)
def test_starts_are_the_fewest_that_reach_the_level(
    quantity: int, rate: GoodRates, cavities: int, level: Decimal | None
) -> None:
    found = fewest_starts(quantity, rate, cavities=cavities, service_level=level)
    assert found.starts == found.pulls * cavities >= quantity
    fewer = found.pulls - 1
    if level is None:
        assert found.pulls * cavities * rate.each >= quantity > fewer * cavities * rate.each
    else:
        assert exact_chance_of(quantity, found.pulls, cavities, rate) >= Fraction(level)
        assert exact_chance_of(quantity, fewer, cavities, rate) < Fraction(level)


@settings(deadline=None, max_examples=60)
@given(st.integers(1, 80), rates, st.integers(1, 6), levels)
def test_starts_never_fall_as_the_quantity_grows(
    quantity: int, rate: GoodRates, cavities: int, level: Decimal | None
) -> None:
    few = fewest_starts(quantity, rate, cavities=cavities, service_level=level)
    more = fewest_starts(quantity + 1, rate, cavities=cavities, service_level=level)
    assert more.starts >= few.starts


@settings(deadline=None, max_examples=60)
@given(st.integers(1, 80), rates, st.integers(1, 6))
def test_starts_never_fall_as_the_level_rises(
    quantity: int, rate: GoodRates, cavities: int
) -> None:
    found = [
        fewest_starts(quantity, rate, cavities=cavities, service_level=Decimal(level)).starts
        for level in ("0.2", "0.5", "0.8", "0.95")
    ]
    assert found == sorted(found)
