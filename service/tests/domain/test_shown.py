"""Measures said with the decimals their size asks for."""

import pytest

from mouldwright.domain.shown import fitted, lasting, worked


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (26.04, "26.0"),
        (2.48, "2.5"),
        (1.0, "1.0"),
        (0.248, "0.25"),
        (0.0309, "0.031"),
        (0.00042, "0.00042"),
        (1e-9, "0.000000"),
        (0.0, "0.0"),
        (1234.5, "1,234.5"),
    ],
)
def test_a_small_bend_keeps_two_figures_and_a_large_one_a_tenth(value, said):
    assert fitted(value) == said


def test_what_just_fails_never_looks_like_its_limit():
    assert fitted(26.04, beside=26.0) == "26.04"
    assert fitted(0.5004, beside=0.5) == "0.5004"
    assert fitted(26.0, beside=26.0) == "26.0"


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (0, "0 min"),
        (59, "59 min"),
        (60, "1 h"),
        (1294, "21 h 34 min"),
        (1440, "24 h"),
        (2880, "2 d"),
        (3065, "2 d 3 h"),
        (-95, "-1 h 35 min"),
    ],
)
def test_durations_are_said_as_the_bench_says_them(minutes: int, words: str) -> None:
    assert lasting(minutes) == words


def test_what_must_add_up_is_said_to_the_minute_from_a_day_on() -> None:
    assert lasting(3065, to_the_minute=True) == "2 d 3 h 5 min"
    assert lasting(1445, to_the_minute=True) == "1 d 5 min"


def test_work_is_said_in_hours_and_never_in_days() -> None:
    assert [worked(m) for m in (0, 45, 60, 2413)] == ["0 min", "45 min", "1 h", "40 h 13 min"]
