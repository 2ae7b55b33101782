"""A cure of a day loses pulls that a shorter one keeps: worked over four weeks.

One person works 08:00 to 17:00 with lunch from 12:00 to 12:30; demoulding, preparing and laying up
is one stretch of hands that is not split. The table is a calculation of our own, made before the
planner by going through the days greedily; no published source. A pull counts where it fills a
mould again that was emptied, so that each mould's first is not among them.
"""

from __future__ import annotations

import builders as build
import pytest

from mouldwright.domain.shop import Shop
from mouldwright.planning.more.one_more import one_more
from mouldwright.planning.more.trials import Effort
from mouldwright.planning.plan import Plan
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")
FOUR_WEEKS = build.at("2027-03-26 17:00")
HANDS = "demould, prepare and lay up"
DAY, TWENTY_HOURS = 1440, 1200
# Moulds, hands, cure, pulls by the table, moulds that the table's pulls go through.
TABLE = [
    (1, 75, DAY, 19, 1), (1, 75, TWENTY_HOURS, 19, 1),
    (1, 210, DAY, 15, 1), (1, 210, TWENTY_HOURS, 19, 1),
    (2, 150, DAY, 26, 2), (2, 150, TWENTY_HOURS, 38, 2),
    (3, 150, DAY, 37, 3), (3, 150, TWENTY_HOURS, 38, 2),
    (4, 75, DAY, 68, 4), (4, 75, TWENTY_HOURS, 76, 4),
]  # fmt: skip


def bench(moulds: int, hands: int, cure: int, quantity: int) -> Shop:
    process = build.process(
        build.hands(HANDS, hands), build.alone("cure", cure), holds=[build.hold(HANDS, "cure")]
    )
    return build.shop(
        process,
        [build.order(quantity=quantity)],
        people=[build.person("ana")],
        moulds=[build.moulds(moulds)],
        hours=build.opening(build.week("08:00-12:00 12:30-17:00")),
    )


def planned(moulds: int, hands: int, cure: int, quantity: int) -> Plan:
    return make_plan(bench(moulds, hands, cure, quantity), now=NOW, seconds=20.0)


@pytest.mark.parametrize(("moulds", "hands", "cure", "pulls", "through"), TABLE)
def test_so_many_pulls_fit_in_four_weeks_and_not_one_more(
    moulds: int, hands: int, cure: int, pulls: int, through: int
) -> None:
    laid_up = pulls + through
    fits = planned(moulds, hands, cure, laid_up)
    assert fits.orders[0].finish - cure <= FOUR_WEEKS
    assert len({task.mould for task in fits.tasks if task.people}) == through
    # One more is proven not to: what ends last has cured for as long as a cure takes. So the
    # planner is no better than the table, and the table is the best there is.
    too_many = planned(moulds, hands, cure, laid_up + 1)
    assert too_many.bound is not None
    assert NOW + too_many.bound - cure > FOUR_WEEKS


def test_a_shorter_cure_and_a_third_mould_are_told_to_be_worth_as_much() -> None:
    # Two moulds, 150 min: 28 are laid up in four weeks at 24 h, all 40 at 20 h; a cure of 24 h
    # less the hands, 21 h 30, has each mould ready as the day before, so that it gives 40 too. A
    # third mould gives 37 + 3 = 40.
    found = one_more(
        bench(2, 150, DAY, 40), now=NOW, effort=Effort(seconds=2.0, tries=None, processes=0)
    )
    as_it_is = found.finish
    assert as_it_is - DAY > FOUR_WEEKS
    cure = next(gain for gain in found.gains if gain.kind == "cure")
    mould = next(gain for gain in found.gains if gain.kind == "mould")
    assert cure.title == "cure of pressed in 21 h 30 min in place of 24 h"
    assert "must come from the resin sheet" in cure.note
    assert as_it_is - cure.finish_gain_min - (DAY - 150) <= FOUR_WEEKS
    assert as_it_is - mould.finish_gain_min - DAY <= FOUR_WEEKS
