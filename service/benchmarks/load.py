"""Reads of a shop with a thousand orders by fifty clients, beside a route that does nothing.

    .venv/bin/python service/benchmarks/load.py --database postgresql

Each is asked for in two ways: at a rate, each client at random moments of its own; and as fast as
answers come, where the fifty wait for each other. The bare route answers as many bytes through the
same kind of server.
"""

from __future__ import annotations

import argparse
import random
from collections.abc import Callable

from loopback import SHOP, Asked, ask, bare, filled, new_database, serving

ORDERS = 1_000
Path = Callable[[random.Random], str]
READS: dict[str, Path] = {
    "a stored quote": lambda drawn: f"/v1/shops/{SHOP}/quotes/{drawn.randint(1, ORDERS)}",
    "50 of 1,000 orders": lambda drawn: f"/v1/shops/{SHOP}/orders?open=true",
    "an order": lambda drawn: f"/v1/shops/{SHOP}/orders/Q{drawn.randint(1, ORDERS)}",
}


def main() -> None:
    """Measure each read beside the bare route, and print them."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--database", choices=("sqlite", "postgresql"), default="sqlite")
    parser.add_argument("--seconds", type=float, default=6.0, help="for each measurement")
    parser.add_argument("--clients", type=int, default=50)
    parser.add_argument("--rate", type=float, default=100.0, help="requests a second, paced")
    asked = parser.parse_args()
    print(f"{asked.clients} clients, {asked.database}: requests/s, median, 99th of a hundred")
    with new_database(asked.database) as url:
        token = filled(url, ORDERS)
        with serving(url) as served:
            for what, path in READS.items():
                ask(served.port, path, token=token, clients=4, seconds=1.0)
                for way, rate in ((f"{asked.rate:.0f}/s", asked.rate), ("flat out", None)):
                    found = ask(
                        served.port, path, token=token, clients=asked.clients,
                        seconds=asked.seconds, per_second=rate,
                    )  # fmt: skip
                    must_answer(found)
                    with bare(found.size) as plain:
                        ask(plain.port, lambda _: "/bare", clients=4, seconds=0.5)
                        beside = ask(
                            plain.port, lambda _: "/bare", clients=asked.clients,
                            seconds=asked.seconds / 2, per_second=rate,
                        )  # fmt: skip
                    print(f"{what}, {way}, {found.size / 1000:.1f} kB")
                    print(f"    served {found.told()}")
                    print(f"    bare   {beside.told()}", flush=True)


def must_answer(found: Asked) -> None:
    """Stop where anything but an answer came."""
    if set(found.statuses) != {200}:
        raise SystemExit(f"not all were answered: {found.statuses}")


if __name__ == "__main__":
    main()
