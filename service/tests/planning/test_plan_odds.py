"""The odds of plans against what can be worked out: sums, binomials, waits for the night.

A share of n runs is off by less than four standard errors, sqrt(p (1 - p) / n), in all but
one run of the tests in 16,000; seeds are fixed, so that none is ever off by chance.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import comb, sqrt

import builders as build
import numpy as np
import pytest
from odds_by_hand import NOW, always, bench, finishes, planned, spread

from mouldwright.domain.estimate import OddsPolicy
from mouldwright.domain.hours.opening import local
from mouldwright.domain.order import PartSet, SetPart
from mouldwright.domain.structure.kinds import CastStructure
from mouldwright.planning.odds.reading import NotOfThisShop
from mouldwright.planning.odds.simulate import odds_of, runs_of

RUNS = 4000


def within(share: float, chance: float, runs: int = RUNS) -> bool:
    return abs(share - chance) <= 4 * sqrt(max(chance * (1 - chance), 1e-4) / runs)


# Sums of times.


def test_times_of_one_bench_add_up() -> None:
    # 20 parts one after another, each 10 min at best, 20 as a rule, 40 at worst, a triangle:
    # mean 70/3, variance (100 + 400 + 1600 - 200 - 400 - 800)/18 = 700/18. Means add up, and
    # so do the variances of what is independent.
    work = build.hands("trim", 20, per="part", time_range=spread(0.5, 2))
    found = finishes(bench([work], 20, odds=OddsPolicy(shape="triangle")), runs=RUNS)
    deviation = sqrt(20 * 700 / 18)
    assert found.mean() == pytest.approx(20 * 70 / 3, abs=4 * deviation / sqrt(RUNS))
    # The standard error of a deviation is about its share 1/sqrt(2 n).
    assert found.std() == pytest.approx(deviation, rel=4 / sqrt(2 * RUNS))


def test_a_chain_of_like_steps_has_the_mean_and_variance_of_their_sum() -> None:
    # Nine steps of a part; PERT of 8, 10, 18: mean 11, variance (11 - 8)(18 - 11)/7 = 3.
    chain = [
        build.hands(f"step {n}", 10, per="part", time_range=spread(0.8, 1.8)) for n in range(9)
    ]
    found = finishes(bench(chain), runs=RUNS)
    assert found.mean() == pytest.approx(99, abs=4 * sqrt(27 / RUNS))
    assert found.std() == pytest.approx(sqrt(27), rel=4 / sqrt(2 * RUNS))


def test_times_that_go_wholly_together_keep_their_spread() -> None:
    # All 20 take the same share of their time: the deviation is 20 times that of one.
    work = build.hands("trim", 20, per="part", time_range=spread(0.5, 2))
    odds = OddsPolicy(shape="triangle", together=Decimal(1))
    found = finishes(bench([work], 20, odds=odds), runs=RUNS)
    assert found.mean() == pytest.approx(20 * 70 / 3, abs=4 * 20 * sqrt(700 / 18 / RUNS))
    assert found.std() == pytest.approx(20 * sqrt(700 / 18), rel=0.05)


def test_times_that_go_partly_together_lie_between() -> None:
    # Correlation r between any two of n: variance n v (1 + (n - 1) r). An even triangle is so
    # near a normal that the correlation of its values is that of their scores within 2 %.
    work = build.hands("trim", 20, per="part", time_range=spread(0.5, 1.5))
    odds = OddsPolicy(shape="triangle", together=Decimal("0.5"))
    found = finishes(bench([work], 20, odds=odds), runs=RUNS)
    one = (10**2 + 20**2 + 30**2 - 200 - 300 - 600) / 18
    assert found.std() == pytest.approx(sqrt(20 * one * (1 + 19 * 0.5)), rel=0.06)


def test_the_range_of_the_shop_is_for_hands_that_state_none() -> None:
    work = [
        build.hands("lay", 60, per="part"),
        build.alone("cure", 600, per="part"),
        build.hands("trim", 30, per="part", time_range=spread(1, 1)),
    ]
    odds = OddsPolicy(shape="triangle", time_range=spread(0.5, 1.5))
    found = finishes(bench(work, odds=odds), runs=RUNS)
    # 600 and 30 are certain; 60 is a triangle from 30 to 90.
    assert 660 <= found.min() < 662
    assert 718 < found.max() <= 720
    assert found.mean() == pytest.approx(690, abs=4 * sqrt(150 / RUNS))


# Hours.


def test_what_no_longer_fits_before_closing_waits_for_the_morning() -> None:
    # Open 08:00-12:00. Two parts of 120 min, 60 at best and 180 at worst, an even triangle. The
    # first is done by 10:00 in half of the runs; then the second still fits by its planned
    # 120 min, and else it waits for the next day.
    day = build.opening(build.week("08:00-12:00"))
    work = build.hands("trim", 120, per="part", time_range=spread(0.5, 1.5))
    shop = bench([work], 2, odds=OddsPolicy(shape="triangle"), hours=day, people=[
        build.person("ana")
    ])  # fmt: skip
    found = finishes(shop, runs=RUNS, now=build.at("2027-03-01 08:00"))
    same_day = found < 1000
    assert within(float(same_day.mean()), 0.5)
    # It runs past closing where it takes longer than planned: nobody drops a brush at noon.
    assert found[same_day].max() > 240
    # In the morning it begins at 08:00: 1440 + 60 to 1440 + 180.
    assert found[~same_day].min() >= 1500
    assert found[~same_day].max() <= 1620


def test_work_that_may_pause_goes_on_in_the_morning() -> None:
    # 300 min of sanding, 240 to 420: with 240 min open a day it ends 0 to 180 min into the next.
    day = build.opening(build.week("08:00-12:00"))
    work = build.hands("sand", 300, per="part", interruptible=True, time_range=spread(0.8, 1.4))
    shop = bench([work], hours=day, people=[build.person("ana")])
    found = finishes(shop, runs=RUNS, now=build.at("2027-03-01 08:00"))
    assert found.min() >= 240
    assert found.max() <= 1440 + 180
    # PERT of 240, 300, 420: mean 310, so 70 min into the second morning on average.
    assert found.mean() == pytest.approx(1440 + 70, abs=3)


def test_a_cure_holds_its_mould_through_the_night_whatever_hands_do() -> None:
    process = [
        build.hands("lay", 60, time_range=spread(0.5, 1.5)),
        build.alone("cure", 1440),
        build.hands("demould", 20),
    ]
    shop = bench(
        process, 2, holds=[build.hold("lay", "demould")], moulds=[build.moulds(1)],
        odds=OddsPolicy(shape="triangle"),
    )  # fmt: skip
    found = finishes(shop, runs=RUNS)
    # Twice lay + 1440 + 20 in a row: mean 2 x 1520.
    assert found.mean() == pytest.approx(3040, abs=4 * sqrt(2 * 150 / RUNS))


# Yields.


def inspected(quantity: int, starts: int, rate: str, **more) -> list[float]:
    work = build.hands("make", 10, per="part", good_rate=Decimal(rate))
    shop = bench([work], quantity, starts=starts, **more)
    return finishes(shop, runs=RUNS)


def test_enough_are_good_as_often_as_the_binomial_says() -> None:
    # 12 begun one after another, 10 wanted, each good with 0.9. The k-th is judged at 10 k.
    found = inspected(10, 12, "0.9", service_level=Decimal("0.5"))
    p = Fraction(9, 10)
    for k in (10, 11, 12):
        chance = sum(comb(k, good) * p**good * (1 - p) ** (k - good) for good in range(10, k + 1))
        assert within(float((found <= 10 * k).mean()), float(chance)), k


def test_what_falls_short_is_made_again_until_it_is_good() -> None:
    # One wanted and begun, good with 0.5; at a service level of 0.4 one more is begun each
    # time. So it takes a geometric number of tries of 10 min: done in k with 1 - 0.5^k.
    found = inspected(1, 1, "0.5", service_level=Decimal("0.4"))
    for k in range(1, 7):
        assert within(float((found <= 10 * k).mean()), 1 - 0.5**k), k
    assert found.max() < 300


def test_a_rate_by_pull_loses_the_whole_pull() -> None:
    # Two pulls of two parts, each pull good with 0.8, three parts wanted: both pulls are needed.
    process = [
        build.hands("lay", 10),
        build.alone("cure", 30, good_rate=Decimal("0.8"), good_rate_per="pull"),
        build.hands("demould", 5),
    ]
    shop = bench(
        process, 3, starts=4, holds=[build.hold("lay", "demould")],
        moulds=[build.moulds(2, cavities=2)], service_level=Decimal("0.5"),
    )  # fmt: skip
    found = finishes(shop, runs=RUNS)
    # Both cure by 10 + 10 + 30 and are out 5 min later, one after the other.
    assert within(float((found <= 60).mean()), 0.64)


def test_packing_waits_for_enough_good_parts_and_no_longer() -> None:
    # As above, with 5 min of packing for the whole order once the one part is good.
    work = [
        build.hands("make", 10, per="part", good_rate=Decimal("0.5")),
        build.hands("pack", 5, per="order"),
    ]
    shop = bench(work, 1, starts=1, service_level=Decimal("0.4"))
    found = finishes(shop, runs=RUNS)
    for k in range(1, 6):
        assert within(float((found <= 10 * k + 5).mean()), 1 - 0.5**k), k
    assert found.min() == 15


def test_a_set_waits_for_enough_of_each_of_its_parts() -> None:
    # A set of one fin: made in 10 min, good with 0.5, fitted in 4. One person.
    make = build.process(
        build.hands("make", 10, per="part", good_rate=Decimal("0.5")), key="pressed"
    )
    kit = PartSet(
        key="kit", title="kit", parts=(SetPart(part="fin", process="pressed"),),
        operations=(build.hands("fit", 4, per="part"),),
    )  # fmt: skip
    shop = build.shop(
        make, [build.order("1", 1, part="kit", process=None)], people=always("ana"), sets=[kit],
        service_level=Decimal("0.4"),
    )  # fmt: skip
    found = finishes(shop, runs=RUNS)
    for k in range(1, 5):
        assert within(float((found <= 10 * k + 4).mean()), 1 - 0.5**k), k


def test_an_uncertain_rate_is_one_for_the_whole_run() -> None:
    # Four begun, four wanted; the rate r an even triangle on [0.05, 0.95]: 0.5 + 0.45 t, with
    # E t2 = 1/6 and E t4 = 1/15 for the even triangle on [-1, 1]. All four are good with
    # E r4 = 0.5^4 + 6 x 0.5^2 x 0.45^2 / 6 + 0.45^4 / 15 = 0.11586; were each part drawn at a
    # rate of its own it would be 0.5^4 = 0.0625.
    work = build.hands(
        "make", 10, per="part", good_rate=Decimal("0.5"), good_rate_range=spread(0.05, 0.95)
    )
    shop = bench([work], 4, starts=4, odds=OddsPolicy(shape="triangle"), service_level=None)
    found = finishes(shop, runs=RUNS)
    assert within(float((found <= 40).mean()), 0.11586)


def test_nobody_works_on_a_part_that_is_lost() -> None:
    # Looked at in 10 min, then trimmed in 50; one wanted and begun. Where it fails the look,
    # the next is looked at once, with no trimming between: 60, 70, 80 min.
    work = [
        build.hands("look", 10, per="part", good_rate=Decimal("0.5")),
        build.hands("trim", 50, per="part"),
    ]
    found = finishes(bench(work, 1, starts=1, service_level=Decimal("0.4")), runs=RUNS)
    for k in range(1, 6):
        assert within(float((found == 50 + 10 * k).mean()), 0.5**k), k


# The plan itself.


def test_a_plan_of_certain_times_and_good_parts_comes_out_as_planned() -> None:
    shop = bench([build.hands("trim", 20, per="part")], 5, due=local(NOW + 100, "UTC"))
    odds = odds_of(shop, planned(shop), runs=50)
    assert odds is not None
    (order,) = odds.orders
    assert [order.planned, order.p50, order.p80, order.p95] == [NOW + 100] * 4
    assert order.chance == 1.0
    assert order.promised_chance == 1.0
    assert odds.limits_passed == ()


def test_a_promise_is_kept_as_often_as_the_shop_asks() -> None:
    work = build.hands("trim", 20, per="part", time_range=spread(0.5, 2))
    for level in ("0.5", "0.8", "0.95"):
        shop = bench([work], 10, odds=OddsPolicy(promise=Decimal(level)))
        plan = planned(shop)
        odds = odds_of(shop, plan, runs=1000, seed=4)
        assert odds is not None
        promised = odds.order("1").promised
        assert promised is not None
        # Other runs than those it was taken from.
        again = runs_of(shop, plan, runs=RUNS, seed=99)
        assert again is not None
        kept = float((again.finishes["1"] + NOW <= promised).mean())
        # Of 1000 runs the quantile itself is off by up to four standard errors too.
        assert kept == pytest.approx(float(level), abs=4 * sqrt(0.25 / 1000))


def test_the_same_seed_gives_the_same_odds() -> None:
    work = build.hands("trim", 20, per="part", time_range=spread(0.5, 2), good_rate=Decimal("0.8"))
    shop = bench([work], 10, service_level=Decimal("0.8"))
    plan = planned(shop)
    assert odds_of(shop, plan, runs=200, seed=5) == odds_of(shop, plan, runs=200, seed=5)
    assert odds_of(shop, plan, runs=200, seed=5) != odds_of(shop, plan, runs=200, seed=6)


def test_a_pot_life_that_is_passed_is_told() -> None:
    # Mixed, then loaded in 20 min of a pot life of 25; at worst loading takes 40. An even
    # triangle from 0.4 to 1.6 of 20 min is above 25 with (32 - 25)^2 / (2 x 12^2).
    process = [
        build.hands("mix", 5, per="batch", material="resin", pot_life_until="load"),
        build.hands("load", 20, time_range=spread(0.4, 1.6)),
        build.alone("cure", 60),
    ]
    shop = bench(
        process, 1, holds=[build.hold("load", "cure")], moulds=[build.moulds(1)],
        materials=[build.mixed(pot_life=25)], odds=OddsPolicy(shape="triangle"),
        structure=CastStructure(matrix="resin"),
    )  # fmt: skip
    odds = odds_of(shop, planned(shop), runs=RUNS)
    assert odds is not None
    (passed,) = odds.limits_passed
    assert (passed.process, passed.operation) == ("pressed", "load")
    assert within(passed.share, 49 / 288)


def test_a_long_look_can_be_stopped_and_says_how_far_it_is() -> None:
    shop = bench([build.hands("trim", 20, per="part", time_range=spread(0.5, 2))], 5)
    plan = planned(shop)
    told: list[tuple[int, int]] = []
    assert odds_of(shop, plan, runs=120, progress=lambda *at: told.append(at)) is not None
    assert told[-1] == (120, 120)
    assert odds_of(shop, plan, runs=120, cancelled=lambda: True) is None


def test_a_plan_of_another_shop_is_refused() -> None:
    shop = bench([build.hands("trim", 20, per="part")], 2)
    other = bench([build.hands("cut", 20, per="part")], 2)
    with pytest.raises(NotOfThisShop, match="trim of pressed"):
        odds_of(other, planned(shop), runs=10)


def test_two_people_side_by_side_are_done_when_the_later_is() -> None:
    # Two parts, one each: the greater of two even triangles on [10, 30]. P(both <= 20) = 1/4.
    work = build.hands("trim", 20, per="part", time_range=spread(0.5, 1.5))
    shop = bench([work], 2, people=always("ana", "ben"), odds=OddsPolicy(shape="triangle"))
    found = finishes(shop, runs=RUNS)
    assert within(float(np.mean(found <= 20)), 0.25)


def test_a_print_that_fails_is_begun_again_and_takes_its_mean() -> None:
    # Ten hours at 0.02 failures an hour: exp(-0.2) = 0.8187 of the runs take them, and the mean is
    # (exp(0.2) - 1)/0.02 = 11.070138 h.
    work = build.alone("print", 600, per="part", failures_per_hour=Decimal("0.02"))
    found = finishes(bench([work]), runs=RUNS)
    assert within(float((found == 600).mean()), 0.818731)
    assert found.mean() == pytest.approx(664.208, abs=4 * found.std() / sqrt(RUNS) + 1)
