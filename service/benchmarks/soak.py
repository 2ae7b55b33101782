"""A day's requests of a five-person shop, as fast as they are answered, on the loopback.

    .venv/bin/python service/benchmarks/soak.py --days 1

What a day is made of is counted below: five people who look at a page every two minutes of eight
hours, Today on a screen by the door that comes anew each minute, five programs that read the plan
each quarter of an hour, quotes and plans asked for. A few clients send them mixed, at random;
memory and open files of the server and its worker are told after each tenth. What grows with each
request shows as a rise from the second tenth to the last.
"""

from __future__ import annotations

import argparse
import asyncio
import random
from collections import Counter
from collections.abc import Callable

from loopback import SHOP, exchange, filled, new_database, request_of, serving

from mouldwright.usecases.session import COOKIE

# So many orders that the moulds of the demo bench outlive them.
CLIENTS, ORDERS = 6, 5
V1, PAGES = f"/v1/shops/{SHOP}", f"/shops/{SHOP}"
# How often in a day, and what is asked.
LOOKED_AT = {
    f"{PAGES}/today": 24 * 60,
    f"{PAGES}/day": 5 * 8 * 12,
    f"{PAGES}/board": 5 * 8 * 6,
    f"{PAGES}/orders": 5 * 8 * 6,
    f"{PAGES}/quotes": 5 * 8 * 6,
    f"{V1}/plan": 5 * 24 * 4,
    f"{V1}/orders": 5 * 8 * 3,
    f"{V1}/quotes/1": 5 * 8 * 3,
    f"{V1}/log": 5 * 8,
}
QUOTES, PLANS = 20, 30

Request = Callable[[int, str], bytes]


def a_day() -> list[Request]:
    """Return every request of a day, in no order."""

    def looked(path: str) -> Request:
        cookie = COOKIE if path.startswith(PAGES) else ""
        return lambda port, token: request_of(port, token, path, cookie=cookie)

    def quoted() -> Request:
        body = {"part": "stabiliser", "process": "pressed", "quantity": 12}
        key = f"quote-{random.random()}"
        return lambda port, token: request_of(port, token, f"{V1}/quotes", body=body, key=key)

    def planned() -> Request:
        key = f"plan-{random.random()}"
        return lambda port, token: request_of(
            port, token, f"{V1}/runs", body={"seconds": 0.2}, key=key
        )

    looks = [looked(path) for path, often in LOOKED_AT.items() for _ in range(often)]
    return [*looks, *(quoted() for _ in range(QUOTES)), *(planned() for _ in range(PLANS))]


async def sent(requests: list[Request], port: int, token: str) -> Counter[int]:
    """Send requests, a few at a time; return how often each status came."""
    left, found = iter(requests), Counter[int]()

    async def client() -> None:
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        for request in left:
            status, _ = await exchange(reader, writer, request(port, token))
            found[status] += 1
        writer.close()

    await asyncio.gather(*(client() for _ in range(CLIENTS)))
    return found


def main() -> None:
    """Send the days, and tell after each tenth how the server stands."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--database", choices=("sqlite", "postgresql"), default="sqlite")
    parser.add_argument("--days", type=int, default=1)
    asked = parser.parse_args()
    requests = [request for _ in range(asked.days) for request in a_day()]
    random.Random(1).shuffle(requests)
    print(f"{asked.days} days of {len(a_day()):,} requests, {asked.database}")
    found = Counter[int]()
    with new_database(asked.database) as url:
        token = filled(url, ORDERS)
        # By the bench's own clock, so that its orders lie ahead.
        with serving(url, clock_ahead_seconds=ahead()) as served:
            for tenth in range(10):
                found += asyncio.run(sent(requests[tenth::10], served.port, token))
                print(
                    f"{10 * (tenth + 1):4d} %  {served.memory_mb():6.0f} MB  "
                    f"{served.open_files():4d} open files  {dict(found)}",
                    flush=True,
                )


def ahead() -> str:
    """Return how far the demo bench's start lies ahead of the machine's clock, seconds."""
    from datetime import UTC, datetime

    from mouldwright.scenario.demo import demo_path
    from mouldwright.scenario.read import read_scenario

    start = read_scenario(demo_path("foil-bench")).shop.start
    assert start is not None
    return str((start - datetime.now(UTC)).total_seconds())


if __name__ == "__main__":
    main()
