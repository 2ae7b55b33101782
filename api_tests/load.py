"""People who make, send and accept quotes without a pause, and note what they were told."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field
from itertools import count

from mouldwright.client import Client, NoAnswer, Refused, Retry
from mouldwright.wire.service.quote import KeptQuoteAnswer

# Long enough to outlast a server that is killed and started again.
PATIENT = Retry(attempts=60, first_s=0.05, longest_s=0.5)


@dataclass
class Told:
    """What the service acknowledged.

    Attributes:
        made: Each quote by the key it was made with.
        accepted: The order of each accepted quote, by the quote's number.
        refusals: Why anything was refused.
        unanswered: What no answer came to.
    """

    made: dict[str, KeptQuoteAnswer] = field(default_factory=dict)
    accepted: dict[int, str] = field(default_factory=dict)
    refusals: list[str] = field(default_factory=list)
    unanswered: int = 0


class Load:
    """So many threads at work until they are told to stop."""

    def __init__(self, address: str, token: str, shop: str, *, people: int) -> None:
        """Keep where they work."""
        self.told = Told()
        self._address, self._token, self._shop = address, token, shop
        self._stopping = threading.Event()
        self._turns = count(1)
        self._threads = [threading.Thread(target=self._work, daemon=True) for _ in range(people)]

    def start(self) -> None:
        for thread in self._threads:
            thread.start()

    def stop(self) -> Told:
        """Let each finish what it is at; return what they were told."""
        self._stopping.set()
        for thread in self._threads:
            thread.join(60.0)
            assert not thread.is_alive(), "one of them is stuck"
        return self.told

    def _work(self) -> None:
        with Client(self._address, self._token, retry=PATIENT) as client:
            quotes = client.shop(self._shop).quotes
            while not self._stopping.is_set():
                key = f"turn-{next(self._turns)}"
                try:
                    quote = quotes.make("arm", 1, process="cast", customer=key, key=key)
                    self.told.made[key] = quote.value
                    quote = quotes.send(quote)
                    if quote.value.number % 3 == 0:
                        accepted = quotes.accept(quote, key=f"accept-{key}")
                        self.told.accepted[quote.value.number] = accepted.order.number
                except NoAnswer:
                    self.told.unanswered += 1
                except Refused as refused:
                    self.told.refusals.append(str(refused))
