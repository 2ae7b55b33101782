"""How often machine runs fail, by the log: the closed form, a known truth, what is proposed."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from bench_log import done, entry, logged, work
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.domain.record.learnt_changes import learnt_at_bench
from mouldwright.domain.record.learnt_failures import PRIOR_HOURS, failure_rate
from mouldwright.domain.record.log import Happening
from mouldwright.scenario.demo import open_demo

DEMO = open_demo("foil-bench").shop


def printed(number, *, operation="print", process="printed-small"):
    return work(operation, order="1001", process=process, part="winglet", parts=[number])


def prints(through, failed, *, failed_after_min=30):
    """Return entries of prints of one, 73 min each by the demo, one a day."""
    found = []
    for n in range(1, through + failed + 1):
        began = 24.0 * n + 9
        if n <= through:
            found += done(began + 73 / 60, printed(n), began=began)
        else:
            found += [
                entry(Happening.STARTED, began, task=printed(n)),
                entry(Happening.STOPPED, began + failed_after_min / 60, task=printed(n)),
            ]
    return found


def learnt_of(entries, shop=DEMO):
    found = learnt_at_bench(replace(shop, log=logged(*entries)))
    (learnt,) = found.failures
    return learnt, [c for c in found.changes if c.kind == "failures"]


def with_rate(rate):
    process = DEMO.processes["printed-small"]
    steps = tuple(
        replace(o, failures_per_hour=Decimal(rate)) if o.name == "print" else o
        for o in process.operations_written
    )
    held = replace(process, operations=steps)
    return replace(DEMO, processes={**DEMO.processes, "printed-small": held})


def test_the_rate_is_the_closed_form():
    # Gelman et al., Bayesian Data Analysis, section 2.6: a standard of 0.01 in 100 hours is one
    # failure; with three in 100 more, gamma of shape 4 and rate 200. Its ends are half those of
    # chi-squared with 8 degrees of freedom, 2.733 and 15.507 (any table), over 200.
    assert PRIOR_HOURS == 100
    rate, least, most = failure_rate(0.01, 100, 3)
    assert rate == pytest.approx(4 / 200)
    assert least == pytest.approx(2.733 / 400, abs=1e-5)
    assert most == pytest.approx(15.507 / 400, abs=1e-5)


@given(st.floats(0, 0.2), st.floats(0, 5000), st.integers(0, 50))
def test_a_rate_lies_within_its_interval_and_between_standard_and_log(standard, hours, failed):
    rate, least, most = failure_rate(standard, hours, failed)
    assert 0 <= least <= most
    assert rate <= max(standard, 0.5 / PRIOR_HOURS, failed / hours if hours else np.inf) * 1.0001
    assert rate > 0


def test_a_known_truth_is_held_as_often_as_the_interval_says():
    # Truths drawn from the prior itself at a standard of 0.02, then failures in 300 hours: of 600,
    # between 86 and 94 % is over three standard errors either way.
    draw, held = np.random.default_rng(8), 0
    for _ in range(600):
        truth = draw.gamma(0.02 * PRIOR_HOURS) / PRIOR_HOURS
        _, least, most = failure_rate(0.02, 300, int(draw.poisson(truth * 300)))
        held += least <= truth <= most
    assert 0.86 <= held / 600 <= 0.94


def test_hours_are_those_written_and_of_a_failed_run_those_until_it_was_noted():
    learnt, _ = learnt_of(prints(4, 2))
    assert (learnt.runs, learnt.failed) == (6, 2)
    assert learnt.hours == pytest.approx((4 * 73 + 2 * 30) / 60)
    assert learnt.entries == (9, 10, 11, 12)


def test_a_failure_found_in_the_morning_ran_no_longer_than_is_written():
    learnt, _ = learnt_of(prints(0, 2, failed_after_min=16 * 60))
    assert learnt.hours == pytest.approx(2 * 73 / 60)


def test_many_failures_are_proposed_to_two_figures():
    # 30 h written of 25 that came through less those cut, here 25 * 73 / 60 + 5 * 30 / 60 h.
    learnt, (change,) = learnt_of(prints(25, 5))
    hours = 25 * 73 / 60 + 5 * 30 / 60
    assert learnt.rate == pytest.approx(5.5 / (100 + hours))
    assert change.key == "failures:printed-small:print"
    assert change.was == {"failures_per_hour": Decimal(0)}
    # 5.5 / 132.9 = 0.0414.
    assert change.proposed == {"failures_per_hour": Decimal("0.041")}
    assert change.evidence == 30


def test_one_failure_or_few_runs_propose_nothing():
    assert learnt_of(prints(25, 1))[1] == []
    assert learnt_of(prints(10, 5))[1] == []


def test_a_standard_that_the_log_bears_out_stays():
    # 30 runs of about 1.2 h with one failure, against 0.03 in an hour: 36 h should bring one.
    assert learnt_of(prints(29, 1), with_rate("0.03"))[1] == []


def test_a_cure_that_was_stopped_is_no_failure_of_a_machine():
    task = work("cure", order="1001", process="pressed", part="stabiliser", pulls=[1])
    shop = replace(DEMO, log=logged(entry(Happening.STOPPED, 30, task=task)))
    assert learnt_at_bench(shop).failures == ()
