"""Who guesses is held up, for a while, and nobody else is."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta

import pytest

from mouldwright.usecases.errors import NotSignedIn, TooManyTries
from mouldwright.usecases.guesses import WINDOW, Guesses

NOW = datetime(2027, 3, 1, 8, tzinfo=UTC)
# Addresses kept for documentation: RFC 5737 and RFC 3849.
HERE, THERE = "192.0.2.7", "198.51.100.7"


def wrong(guesses: Guesses, came_from: str = HERE, now: datetime = NOW) -> None:
    with pytest.raises(NotSignedIn), guesses.one(came_from, now):
        raise NotSignedIn


def right(guesses: Guesses, came_from: str = HERE, now: datetime = NOW) -> None:
    with guesses.one(came_from, now):
        pass


def test_after_so_many_wrong_tries_none_is_made_until_the_first_is_five_minutes_old():
    guesses = Guesses(most=3)
    for minute in range(3):
        wrong(guesses, now=NOW + timedelta(minutes=minute))
    with pytest.raises(TooManyTries) as held, guesses.one(HERE, NOW + timedelta(minutes=4)):
        pytest.fail("it was tried")
    # The first was at 8:00 and is five minutes old at 8:05.
    assert held.value.wait_s == 60
    right(guesses, now=NOW + WINDOW)


def test_others_are_not_held_up():
    guesses = Guesses(most=1)
    wrong(guesses)
    right(guesses, THERE)


def test_right_tries_are_not_counted():
    guesses = Guesses(most=2)
    for _ in range(10):
        right(guesses)
    wrong(guesses)
    right(guesses)


def test_a_fault_of_ours_is_not_counted():
    guesses = Guesses(most=1)
    with pytest.raises(ZeroDivisionError), guesses.one(HERE, NOW):
        raise ZeroDivisionError
    right(guesses)


@pytest.mark.parametrize(
    ("first", "second", "one_place"),
    [
        ("2001:db8:0:1::1", "2001:db8:0:1:ffff::9", True),
        ("2001:db8:0:1::1", "2001:db8:0:2::1", False),
        ("::ffff:192.0.2.7", HERE, True),
        ("192.0.2.7", "192.0.2.8", False),
        ("", "", True),
    ],
)
def test_a_network_that_one_customer_has_counts_as_one_place(first, second, one_place):
    guesses = Guesses(most=1)
    wrong(guesses, first)
    if one_place:
        with pytest.raises(TooManyTries), guesses.one(second, NOW):
            pass
    else:
        right(guesses, second)


def test_a_clock_that_is_put_back_holds_nobody_up_for_longer():
    guesses = Guesses(most=1)
    wrong(guesses, now=NOW + timedelta(days=1))
    right(guesses)


def test_a_flood_of_addresses_fills_no_memory():
    guesses = Guesses(most=1, remembered=100)
    for number in range(1_000):
        wrong(guesses, f"10.0.{number // 256}.{number % 256}")
    assert len(guesses._wrong) == 100


def test_many_at_once_are_all_counted():
    guesses = Guesses(most=200)
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(lambda _: wrong(guesses), range(200)))
    with pytest.raises(TooManyTries), guesses.one(HERE, NOW):
        pass
