"""Cures as long as a mean day of the season makes them, worked by hand.

The halving rule of 10 °C: at 10 °C a resin of 20 °C sets half as fast.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import builders as build
import pytest

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.lead_time import lead_time
from mouldwright.domain.mean_warmth import in_season, mean_c
from mouldwright.domain.rate import rate
from mouldwright.domain.shop import Shop
from mouldwright.domain.warmth import Season, Temperatures, Warmth

MARCH, JULY = build.at("2027-03-01 08:00"), build.at("2027-07-05 08:00")


def shop_of(least_c: int | None = None, day_c: int = 20, night_c: int = 10) -> Shop:
    """Return a cure of 12 h of a 20 °C sheet, one mould; 30 °C day and night from May on."""
    process = build.process(
        build.hands("lay", 30),
        build.alone("cure", 720, cures="resin"),
        holds=[build.hold("lay", "cure")],
    )
    sheet = Warmth(reference_c=Decimal(20), least_c=None if least_c is None else Decimal(least_c))
    seasons = (
        Season(begins=(1, 1), day_c=Decimal(day_c), night_c=Decimal(night_c)),
        Season(begins=(5, 1), day_c=Decimal(30), night_c=Decimal(30)),
    )
    return build.shop(
        process,
        people=[build.person("ana")],
        moulds=[build.moulds(1)],
        materials=[replace(build.mixed(), warmth=sheet)],
        hours=build.opening(build.week("08:00-16:00")),
        temperatures=Temperatures(seasons=seasons),
    )


def cure_min(shop: Shop, now: int) -> Decimal:
    return in_season(shop, shop.processes["pressed"], now).operations[1].fixed_min


def test_a_cure_lasts_as_the_mean_speed_of_day_and_night_has_it() -> None:
    # 12 h of day at the sheet's speed, 12 h of night at half: three quarters, so 16 h.
    assert cure_min(shop_of(), MARCH) == 960
    assert mean_c(shop_of(), shop_of().processes["pressed"], MARCH) == 15
    # Twice as fast in July.
    assert cure_min(shop_of(), JULY) == 360


def test_what_stalls_at_night_cures_by_day_alone() -> None:
    # Half of the time at the sheet's speed: 24 h.
    assert cure_min(shop_of(least_c=12), MARCH) == 1440


def test_what_never_gets_warm_enough_is_named() -> None:
    cold = shop_of(least_c=12, day_c=11)
    with pytest.raises(HardLimit, match="cure never cures at this season's temperatures"):
        rate(cold, cold.parts["fin"], cold.processes["pressed"], now=MARCH)


def test_without_temperatures_the_sheets_times_hold() -> None:
    shop = replace(shop_of(), temperatures=None)
    assert cure_min(shop, MARCH) == 720
    assert mean_c(shop, shop.processes["pressed"], MARCH) is None


def test_a_lead_time_and_a_rate_follow_the_season() -> None:
    shop = shop_of()
    part, process = shop.parts["fin"], shop.processes["pressed"]
    # 08:30 and 16 h are 00:30 the next day; in July 6 h are 14:30.
    assert lead_time(shop, part, process, 1, now=MARCH).finish == MARCH + 30 + 960
    assert lead_time(shop, part, process, 1, now=JULY).finish == JULY + 30 + 360
    # In March one a day; in July the cure of 6 h leaves time for one more that cures at night.
    assert rate(shop, part, process, now=MARCH).per_day_sustained == 1.0
    assert rate(shop, part, process, now=JULY).per_day_sustained == 2.0
    assert rate(shop, part, process, now=MARCH).mean_c == 15
    # As they are written, nothing is said of a season.
    assert rate(shop, part, process).mean_c is None
