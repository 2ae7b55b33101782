"""Many months of a small shop: what is promised in each, drawn from its seed."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from random import Random

from mouldwright.domain.estimate import OddsPolicy, Range
from mouldwright.domain.shop import Shop
from mouldwright.scenario.read import read_scenario

from .live import Course

_FIRST_PART = Path(__file__).parents[3] / "scenarios" / "first-part"


def small_shop() -> Shop:
    """Return the shop of ``scenarios/first-part``, its times uncertain, with no order yet."""
    shop = read_scenario(_FIRST_PART).shop
    times = Range(least=Decimal("0.8"), most=Decimal("1.5"))
    # No mould wears out in a month: dates are looked at here, not moulds.
    moulds = {key: replace(family, life_pulls=None) for key, family in shop.moulds.items()}
    return replace(shop, orders=(), moulds=moulds, odds=OddsPolicy(time_range=times))


def small_course(seed: int) -> Course:
    """Return a month of four orders, each promised on top of those before."""
    chance = Random(f"orders {seed}")
    days = sorted(chance.sample(range(8), 4))
    return Course(
        days=26,
        seconds=0.05,
        rough=False,
        enquiries=tuple(
            ("arm", chance.choice(("cast", "cast", "printed")), chance.randint(4, 16), day)
            for day in days
        ),
        every=26,
        stops_when_ready=True,
    )
