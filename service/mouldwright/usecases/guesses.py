"""Holding up who guesses: wrong codes and secret addresses, counted by where they came from.

A secret has 256 random bits, so that no one guesses one; what is held up is the load that trying
makes. The count is in the memory of one process and is gone when it ends.
"""

from __future__ import annotations

import ipaddress
import threading
from collections import OrderedDict, deque
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta

from mouldwright.usecases.errors import NotSignedIn, TooManyTries, Unknown

WINDOW = timedelta(minutes=5)
# So many that came last are remembered, whoever they are: a flood of addresses fills no memory.
MOST_REMEMBERED = 10_000


class Guesses:
    """The wrong tries of the last minutes, by where they came from. For many threads at once."""

    def __init__(self, *, most: int = 30, remembered: int = MOST_REMEMBERED) -> None:
        """Remember none.

        Args:
            most: Wrong tries from one place within the window; with more it waits.
            remembered: Places remembered at once.
        """
        self._most, self._remembered = most, remembered
        self._wrong: OrderedDict[str, deque[datetime]] = OrderedDict()
        self._lock = threading.Lock()

    @contextmanager
    def one(self, came_from: str, now: datetime) -> Iterator[None]:
        """Let one try be made; where it opens nothing, count it.

        Args:
            came_from: Address of who tries; empty where it is not known.
            now: Zone-aware.

        Raises:
            TooManyTries: if too many from there were wrong; then nothing is tried, right or not.
        """
        place = _place(came_from)
        with self._lock:
            wrong = self._recent(place, now)
            if len(wrong) >= self._most:
                raise TooManyTries(wait=wrong[-self._most] + WINDOW - now)
        try:
            yield
        except (NotSignedIn, Unknown):
            with self._lock:
                self._count(place, now)
            raise

    def _recent(self, place: str, now: datetime) -> deque[datetime]:
        wrong = self._wrong.get(place, deque())
        # A clock that was put back must not hold anyone up for longer than the window.
        while wrong and not timedelta(0) <= now - wrong[0] < WINDOW:
            wrong.popleft()
        return wrong

    def _count(self, place: str, now: datetime) -> None:
        wrong = self._wrong.setdefault(place, deque(maxlen=self._most))
        wrong.append(now)
        self._wrong.move_to_end(place)
        while len(self._wrong) > self._remembered:
            self._wrong.popitem(last=False)


def _place(came_from: str) -> str:
    """Return what stands for one place: an IPv4 address, or the /64 that one customer has."""
    try:
        address = ipaddress.ip_address(came_from)
    except ValueError:
        return came_from
    if isinstance(address, ipaddress.IPv6Address):
        if address.ipv4_mapped is not None:
            return str(address.ipv4_mapped)
        return str(ipaddress.ip_network((int(address), 64), strict=False))
    return str(address)
