"""Lost moulds and parts that cannot be mended, drawn in the odds of a plan."""

from __future__ import annotations

from decimal import Decimal

import builders as build
import numpy as np
import pytest

from mouldwright.planning.compiling import build_problem
from mouldwright.planning.odds.lots import facts_of
from mouldwright.planning.odds.outcomes import draw_outcome

NOW = build.at("2027-03-01 08:00")


def test_lost_moulds_and_parts_that_cannot_be_mended_are_drawn_as_often_as_they_happen() -> None:
    # By hand: of 4 parts, one to a pull, each is lost with its mould by 0.1, and of the others
    # 0.2 need mending, of which a half cannot be: 0.9 x (1 - 0.2 x 0.5) = 0.81 are good. All four
    # are good in 0.81^4 = 0.4305 of the runs; a shortfall is made anew in the others.
    process = build.process(
        build.hands("fill", 5),
        build.hands("inspect", 1),
        holds=[build.hold("fill", "fill")],
        reworks=[build.rework("0.2", build.hands("mend", 5), share_again=Decimal("0.5"))],
    )
    shop = build.shop(
        process,
        [build.order(quantity=4, starts=4)],
        people=[build.person("ana")],
        moulds=[build.moulds(1, loss_rate=Decimal("0.1"))],
    )
    problem = build_problem(shop, now=NOW)
    outcome = draw_outcome(facts_of(problem)[0], 20_000, np.random.default_rng(7), None)
    assert outcome is not None
    # Five deviations of 20,000 draws: 5 x sqrt(0.4305 x 0.5695 / 20000) = 0.0175.
    assert 1 - outcome.was_short.mean() == pytest.approx(0.4305, abs=0.0175)
