"""How temperature moves pot life and cure, against published rules of thumb and hand work."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import builders as build
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.domain.warmth import MILLION, Aging, Season, Temperatures, Warmth


# Epoxy makers' technical notes: pot life about halves for every 10 °C more. 30 min at 25 °C are
# then 60 at 15 °C, 15 at 35 °C and 30 / 2 ** 0.5 = 21.21 at 30 °C.
@pytest.mark.parametrize(
    ("warm", "minutes"), [("15", "60"), ("25", "30"), ("35", "15"), ("30", "21.213")]
)
def test_times_halve_for_every_ten_degrees(warm: str, minutes: str) -> None:
    sheet = Warmth(reference_c=Decimal(25))
    found = Fraction(30 * MILLION, sheet.speed(Decimal(warm)))
    assert abs(found - Fraction(minutes)) < Fraction(1, 2000)


@pytest.mark.parametrize(
    ("cool", "warm", "arrhenius", "apart"),
    # exp(E / R x (1 / T - 1 / T')) with 50 kJ/mol and 8.314 J/(mol K), worked by hand from
    # 293.15 K: the rule is 2 % off over ten degrees and 36 % over forty.
    [("20", "30", 1.96742, 0.017), ("20", "40", 3.70703, 0.079), ("20", "60", 11.74170, 0.363)],
)
def test_halving_overstates_what_an_activation_energy_says(
    cool: str, warm: str, arrhenius: float, apart: float
) -> None:
    sheet = Warmth(reference_c=Decimal(cool))
    quicker = sheet.speed(Decimal(warm)) / sheet.speed(Decimal(cool))
    assert quicker / arrhenius - 1 == pytest.approx(apart, abs=5e-4)


def test_nothing_cures_below_the_least_temperature_and_pot_life_still_runs() -> None:
    sheet = Warmth(reference_c=Decimal(20), least_c=Decimal(13))
    assert sheet.cure_speed(Decimal("12.9")) == 0
    assert sheet.cure_speed(Decimal(13)) == sheet.speed(Decimal(13)) > 0
    assert sheet.speed(Decimal("12.9")) > 0


def test_a_season_lasts_until_the_next_begins_over_the_new_year_too() -> None:
    warm = Season(begins=(4, 15), day_c=Decimal(22), night_c=Decimal(18))
    cold = Season(begins=(10, 15), day_c=Decimal(17), night_c=Decimal(12))
    year = Temperatures(seasons=(warm, cold))
    assert year.on(date(2027, 4, 14)) is cold
    assert year.on(date(2027, 4, 15)) is warm
    assert year.on(date(2027, 12, 31)) is year.on(date(2028, 1, 1)) is cold


def test_day_and_night_follow_the_clock_on_the_wall() -> None:
    year = Temperatures(
        seasons=(Season(begins=(1, 1), day_c=Decimal(20), night_c=Decimal(10)),), day=(420, 1140)
    )
    # Berlin, the night of 27 March 2027 is an hour short: from 19:00 to 07:00 are 11 h.
    first = build.at("2027-03-27 19:00", "Europe/Berlin")
    spans = year.spans("Europe/Berlin", first, first + 1440)
    assert [(b - a, warm) for a, b, warm in spans] == [
        (11 * 60, Decimal(10)),
        (12 * 60, Decimal(20)),
        (60, Decimal(10)),
    ]


def aging(*spans: tuple[int, int]) -> Aging:
    """Return the clock of spans of so many minutes at so many millionths, from minute 0."""
    found, at = [], 0
    for minutes, speed in spans:
        found.append((at, at + minutes, speed))
        at += minutes
    return Aging(found)


def test_a_cure_ends_in_the_first_whole_minute_by_which_it_is_through() -> None:
    clock = aging((100, MILLION), (100, MILLION // 2), (100, 0), (100, MILLION))
    assert clock.when(0, 60 * MILLION) == 60
    # 60 at full speed, 40 more at half: 80 min.
    assert clock.when(40, 100 * MILLION) == 180
    # 50 are through at minute 200, the rest after it has stalled for 100.
    assert clock.when(150, 26 * MILLION) == 301
    assert clock.when(150, 25 * MILLION) == 200
    assert clock.when(0, 60 * MILLION + 1) == 61
    assert aging((100, MILLION), (100, 0)).when(0, 101 * MILLION) is None


spans = st.lists(
    st.tuples(st.integers(1, 50), st.sampled_from([0, 1, 400_000, MILLION, 2_500_000])),
    min_size=1,
    max_size=6,
)


@given(spans, st.integers(0, 120), st.integers(0, 60 * MILLION))
def test_when_agrees_with_counting_minute_by_minute(
    given_spans: list[tuple[int, int]], start: int, wanted: int
) -> None:
    clock = aging(*given_spans)
    speeds = [speed for minutes, speed in given_spans for _ in range(minutes)]

    def speed_at(minute: int) -> int:
        return speeds[minute] if minute < len(speeds) else speeds[-1]

    gone, minute = 0, start
    while gone < wanted and minute < start + 5000:
        gone += speed_at(minute)
        minute += 1
    found = clock.when(start, wanted)
    if gone >= wanted:
        assert found == minute
    else:
        assert found is None or found > minute
