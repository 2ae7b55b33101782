"""What to buy once work is under way: what was used is neither there nor needed again."""

from dataclasses import replace
from decimal import Decimal

from bench_log import done, entry, logged, work

from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.record.log import Happening
from mouldwright.scenario.demo import open_demo
from mouldwright.usecases.buying import to_buy

DEMO = open_demo("foil-bench").shop
NOW = minute_of(DEMO.start) + 3 * 1440


def missing(*entries):
    found = to_buy(replace(DEMO, log=logged(*entries)), now=NOW).found
    return {need.material: need.missing for need in found.needs}


def test_resin_that_went_into_a_mix_changes_nothing_of_what_lacks():
    # 46.2 g of 460 are used, and order 1001 draws 46.2 g less: what lacks is as it was.
    mix = done(9, work("mix", order="1001", part="stabiliser", pulls=[1]))
    assert missing(*mix)["epoxy-resin"] == missing()["epoxy-resin"]


def test_what_counting_finds_gone_has_to_be_bought_too():
    counted = entry(Happening.STOCK_COUNTED, 10, material="epoxy-resin", amount="400")
    assert missing(counted)["epoxy-resin"] - missing()["epoxy-resin"] == Decimal(60)
