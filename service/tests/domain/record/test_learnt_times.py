"""Times, yields and curves learnt from the log: closed forms, a known truth, few data."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal
from statistics import NormalDist

import numpy as np
import pytest
from bench_log import done, entry, logged, members, work
from hypothesis import given
from hypothesis import strategies as st
from learnt_log import timed_demoulds

from mouldwright.domain.record.fitted_curve import fitted_curve
from mouldwright.domain.record.learnt_changes import learnt_at_bench
from mouldwright.domain.record.learnt_times import (
    PRIOR_SPREAD,
    PRIOR_SPREAD_TASKS,
    PRIOR_TASKS,
    usual_time,
)
from mouldwright.domain.record.learnt_yields import PRIOR_STARTS, learnt_rate
from mouldwright.domain.record.log import Happening
from mouldwright.scenario.demo import open_demo

DEMO = open_demo("foil-bench").shop
shares = st.lists(st.floats(0.2, 5), max_size=30)


def shop_with(*entries):
    return replace(DEMO, log=logged(*entries))


def learnt_of(shop, name="demould"):
    return next(t for t in learnt_at_bench(shop).times if t.operation.name == name)


STANDARD = next(o for o in DEMO.processes["pressed"].operations if o.name == "demould")


def test_without_a_task_the_standard_stands():
    assert usual_time([]).share == 1
    assert usual_time([]).noted is None


def test_the_centre_and_its_interval_are_the_closed_form():
    # Gelman et al., Bayesian Data Analysis, section 3.3, by hand: two tasks at e^0.2 and e^0.4,
    # k = v = 4, s = 0.25, so m = 0.3, S = 0.02.
    assert (PRIOR_TASKS, PRIOR_SPREAD_TASKS, PRIOR_SPREAD) == (4, 4, 0.25)
    found = usual_time([math.exp(0.2), math.exp(0.4)])
    assert math.log(found.share) == pytest.approx(2 * 0.3 / 6)
    variance = (4 * 0.0625 + 0.02 + 4 * 2 * 0.09 / 6) / 6
    assert math.log(found.spread) == pytest.approx(math.sqrt(variance))
    # The 95 % quantile of Student's t with 6 degrees of freedom is 1.943 (any table).
    off = 1.943 * math.sqrt(variance / 6)
    assert math.log(found.most) == pytest.approx(0.1 + off, abs=1e-4)
    assert math.log(found.least) == pytest.approx(0.1 - off, abs=1e-4)


@given(shares, st.floats(0.3, 3))
def test_what_is_learnt_lies_between_what_was_noted_and_what_was_expected(times, toward):
    found = usual_time(times, toward=toward)
    between = sorted((toward, found.noted if found.noted is not None else toward))
    assert between[0] * (1 - 1e-9) <= found.share <= between[1] * (1 + 1e-9)
    assert found.least < found.share < found.most


@given(st.floats(0.3, 3), st.integers(1, 20))
def test_the_more_tasks_say_the_same_the_further_it_goes_from_the_standard(share, count):
    few, more = usual_time([share] * count), usual_time([share] * (count + 1))
    assert abs(math.log(more.share)) >= abs(math.log(few.share))
    assert more.most / more.least < few.most / few.least


def test_a_known_truth_is_found_again_as_often_as_the_interval_says():
    # Truths drawn from the prior itself: a 90 % interval then holds them 90 times in a hundred.
    # Of 600, between 86 and 94 % is over three standard errors either way.
    draw = np.random.default_rng(5)
    held = 0
    for _ in range(600):
        variance = PRIOR_SPREAD_TASKS * PRIOR_SPREAD**2 / draw.chisquare(PRIOR_SPREAD_TASKS)
        truth = draw.normal(0, math.sqrt(variance / PRIOR_TASKS))
        found = usual_time(np.exp(draw.normal(truth, math.sqrt(variance), 8)).tolist())
        held += found.least <= math.exp(truth) <= found.most
    assert 0.86 <= held / 600 <= 0.94


def test_minutes_are_set_beside_the_standard_with_the_entries_they_rest_on():
    standard = float(STANDARD.fixed_min + STANDARD.each_min)
    learnt = learnt_of(shop_with(*timed_demoulds([standard * 2] * 3)))
    assert learnt.standard_min == pytest.approx(standard)
    assert learnt.usual.noted == pytest.approx(2)
    # Three tasks at twice the standard against four at it: 2^(3/7).
    assert learnt.usual.share == pytest.approx(2 ** (3 / 7))
    assert [task.entries for task in learnt.tasks] == [(1, 2), (3, 4), (5, 6)]


def test_a_pause_of_what_may_pause_is_taken_out_of_its_time():
    # Monday from 12:26 to 13:20, over the demo's lunch from 12:30 to 13:15: 4 and 5 min worked.
    task = work("trim", parts=[1], order="1001", part="stabiliser")
    shop = shop_with(*done(13 + 20 / 60, task, began=12 + 26 / 60, people=("ines",)))
    assert [each.minutes for each in learnt_of(shop, "trim").tasks] == [9]


def test_a_person_is_drawn_toward_what_the_others_take():
    standard = float(STANDARD.fixed_min + STANDARD.each_min)
    shop = shop_with(
        *timed_demoulds([standard * 2] * 12, people=("ines",)),
        *timed_demoulds([standard] * 2, people=("tomas",), first=20),
    )
    by = learnt_of(shop).by_person
    # Ines: twelve at 2 against four at what Tomás' two leave of the standard, which is 1.
    assert by["ines"].share == pytest.approx(2 ** (12 / 16))
    # Tomás: two at 1 against four at what Ines' twelve say, 2^(12/16).
    assert by["tomas"].share == pytest.approx(2 ** (4 / 6 * 12 / 16))
    assert by["tomas"].tasks == 2


def test_what_cannot_be_a_time_of_work_is_set_aside_and_what_was_taken_back_is_gone():
    standard = float(STANDARD.fixed_min + STANDARD.each_min)
    learnt = learnt_of(shop_with(*timed_demoulds([standard, 0, standard * 6, standard / 6])))
    assert (len(learnt.tasks), len(learnt.set_aside)) == (1, 3)
    back = entry(Happening.TAKEN_BACK, 24 * 9, takes_back=2)
    assert not learnt_at_bench(shop_with(*timed_demoulds([standard]), back)).times


def test_few_tasks_propose_nothing_and_many_propose_what_they_say():
    standard = float(STANDARD.fixed_min + STANDARD.each_min)
    assert not learnt_at_bench(shop_with(*timed_demoulds([standard * 2] * 4))).changes
    (change,) = learnt_at_bench(shop_with(*timed_demoulds([standard * 2] * 12))).changes
    assert (change.kind, change.process, change.operation) == ("time", "pressed", "demould")
    assert change.evidence == 12
    for name, was in change.was.items():
        proposed = float(was) * 2**0.75
        assert float(change.proposed[name]) == pytest.approx(proposed, abs=0.51)
    assert not learnt_at_bench(shop_with(*timed_demoulds([standard] * 12))).changes


def test_the_yield_is_the_closed_form():
    # Gelman et al., Bayesian Data Analysis, section 2.4: Beta(18 + 17, 2 + 3) after 17 of 20.
    assert PRIOR_STARTS == 20
    rate, least, most = learnt_rate(0.9, 20, 17)
    assert rate == pytest.approx(35 / 40)
    # Beside the normal approximation of Beta(35, 5), which is near at this size.
    spread = math.sqrt(rate * (1 - rate) / 41)
    assert least == pytest.approx(NormalDist(rate, spread).inv_cdf(0.05), abs=0.015)
    assert most == pytest.approx(NormalDist(rate, spread).inv_cdf(0.95), abs=0.015)
    assert learnt_rate(0.5, 0, 0)[0] == 0.5


@given(st.floats(0, 1), st.integers(0, 200), st.data())
def test_a_yield_lies_within_its_interval_and_the_interval_within_nought_and_one(p, tried, data):
    good = data.draw(st.integers(0, tried))
    rate, least, most = learnt_rate(p, tried, good)
    assert 0 <= least <= most <= 1
    assert 0 < rate < 1


def scrapped(*parts, at=24 * 90):
    return entry(Happening.SCRAPPED, at, members=members("1001", parts=parts), cause="void")


def test_scrap_counts_where_it_showed_and_else_at_the_last_step_before():
    log = timed_demoulds([10] * 30)
    shop = shop_with(*log, scrapped(3, 4))
    found = {y.operation.name: y for y in learnt_at_bench(shop).yields}
    assert (found["demould"].tried, found["demould"].scrapped) == (30, 2)
    told = entry(
        Happening.SCRAPPED,
        24 * 91,
        task=work("cure", pulls=[5], order="1001", part="stabiliser"),
        members=members("1001", parts=[5]),
    )
    found = {y.operation.name: y for y in learnt_at_bench(shop_with(*log, told)).yields}
    assert (found["cure"].scrapped, found["cure"].tried) == (1, 1)


def test_much_scrap_proposes_a_lower_yield():
    shop = shop_with(*timed_demoulds([10] * 40), scrapped(*range(1, 13)))
    (change,) = [c for c in learnt_at_bench(shop).changes if c.kind == "yield"]
    assert change.operation == "demould"
    assert change.proposed["good_rate"] < change.was["good_rate"] <= Decimal(1)
    assert change.evidence == 40


def seconds(*parts, at=24 * 90, **more):
    return entry(Happening.SECOND, at, members=members("1001", parts=parts), **more)


def test_seconds_are_neither_good_nor_scrap():
    # Gelman et al., Bayesian Data Analysis, section 3.4, by hand: of 40, 8 seconds and 4 scrap
    # after a prior of 20 at the standard of 1 and 0 (half a start of either is left to fail):
    # good (19.5 + 28) / 60, seconds (0.5 + 8) / 60.
    shop = shop_with(*timed_demoulds([10] * 40), scrapped(1, 2, 3, 4), seconds(*range(5, 13)))
    found = next(y for y in learnt_at_bench(shop).yields if y.operation.name == "demould")
    assert (found.tried, found.scrapped, found.seconds) == (40, 4, 8)
    assert found.rate == pytest.approx(47.5 / 60)
    assert found.second == pytest.approx(8.5 / 60)
    assert found.second_least < found.second < found.second_most


def test_many_seconds_propose_their_share_with_the_yield():
    shop = shop_with(*timed_demoulds([10] * 40), seconds(*range(1, 13)))
    (change,) = [c for c in learnt_at_bench(shop).changes if c.kind == "yield"]
    # (19.5 + 28) / 60 and (0.5 + 12) / 60, to three places.
    assert change.proposed == {"good_rate": Decimal("0.792"), "second_rate": Decimal("0.208")}
    assert change.was == {"good_rate": Decimal(1), "second_rate": Decimal(0)}
    assert change.entries == (81,)


def test_one_second_is_chance_and_says_nothing_of_their_share():
    shop = shop_with(*timed_demoulds([10] * 40), seconds(1))
    assert not [c for c in learnt_at_bench(shop).changes if c.kind == "yield"]


def test_what_was_made_a_second_and_scrapped_in_one_step_is_scrap():
    shop = shop_with(*timed_demoulds([10] * 40), seconds(1, 2, 3), scrapped(2, 3, at=24 * 91))
    found = next(y for y in learnt_at_bench(shop).yields if y.operation.name == "demould")
    assert (found.scrapped, found.seconds) == (2, 1)


@given(st.decimals(0, 1, places=3), st.decimals(0, 1, places=3), st.integers(0, 60), st.data())
def test_good_ones_and_seconds_are_never_more_than_all_there_are(good, second, tried, data):
    second = min(second, 1 - good)
    passed = data.draw(st.integers(0, tried))
    made = data.draw(st.integers(0, tried - passed))
    whole = learnt_rate(float(good), tried, passed)[0] + learnt_rate(float(second), tried, made)[0]
    assert whole <= 1 + 1e-9


def test_a_curve_without_scatter_is_found_to_the_digit():
    times = [(o, n, level * n ** math.log2(0.85)) for o, level in (("a", 1.3), ("b", 0.9))
             for n in range(1, 9)]  # fmt: skip
    found = fitted_curve(times)
    assert found.rate == pytest.approx(0.85)
    assert (found.least, found.most) == (pytest.approx(0.85), pytest.approx(0.85))
    assert found.first == pytest.approx(math.sqrt(1.3 * 0.9))
    assert found.is_sure


def test_quicker_hands_later_in_an_order_are_not_taken_for_learning():
    standard = float(STANDARD.fixed_min + STANDARD.each_min)
    shop = shop_with(
        *timed_demoulds([standard * 2, standard * 2.1] * 6, people=("tomas",)),
        *timed_demoulds([standard, standard * 1.05] * 6, people=("ines",), first=13),
    )
    assert not learnt_of(shop).curve.is_sure


def test_a_curve_is_held_by_its_interval_as_often_as_that_says():
    # Of 400, 95 % within three standard errors of 1.1 % each.
    draw, held = np.random.default_rng(9), 0
    for _ in range(400):
        noise = draw.normal(0, 0.2, 24)
        times = [
            (str(at // 8), at % 8 + 1, 0.9 ** math.log2(at % 8 + 1) * math.exp(noise[at]))
            for at in range(24)
        ]
        found = fitted_curve(times)
        held += found.least <= 0.9 <= found.most
    assert 0.917 <= held / 400 <= 0.983


def test_a_curve_is_refused_where_too_little_was_repeated():
    assert "Too few: 9" in fitted_curve([("a", n, 1.0) for n in range(1, 10)]).refused
    assert "as far as its 4th" in fitted_curve([(str(n), 1, 1.0) for n in range(12)]).refused
    assert "too many orders" in fitted_curve([(str(n), 5, 1.0) for n in range(12)]).refused


def test_a_sure_curve_is_proposed_with_the_minutes_of_a_first_one():
    standard = float(STANDARD.fixed_min + STANDARD.each_min)
    minutes = [standard * 1.5 * 0.8 ** math.log2(n) for n in range(1, 15)]
    (change,) = learnt_at_bench(shop_with(*timed_demoulds(minutes))).changes
    assert change.kind == "learning"
    assert float(change.proposed["learning_rate"]) == pytest.approx(0.8, abs=0.011)
    share = float(change.proposed["attended_min"]) / float(change.was["attended_min"])
    assert share == pytest.approx(1.5, abs=0.06)
