"""A process that quotes, sends and accepts, says each order aloud once it is booked, and is
killed by the one that started it.
"""

from __future__ import annotations

import secrets
import sys
from pathlib import Path
from threading import Thread

sys.path.insert(0, str(Path(__file__).parents[1]))

from promise_bench import KEY, NOW, WANTED, Readiness, freeze

from mouldwright.scenario.kept import KeptScenarios
from mouldwright.store.engine import make_engine
from mouldwright.store.unit_of_work import StoreUnits
from mouldwright.usecases.kept import Asked, Reply
from mouldwright.usecases.promises import accept_quote
from mouldwright.usecases.quotes import draft, keep_new, send
from mouldwright.usecases.services import Limits, Services


def main(url: str) -> None:
    """Write from four threads until killed."""
    units, written = StoreUnits(make_engine(url)), KeptScenarios()
    services = Services(
        units=units,
        written=written,
        clock=lambda: NOW,
        chance=lambda: secrets.token_hex(8),
        limits=Limits(),
        alive=lambda: None,
        called=(),
        finish=Readiness(),
    )
    drafted = draft(units, KEY, WANTED, written=written, now=NOW, finish=Readiness())

    def write() -> None:
        while True:
            with units.write(KEY) as unit:
                number = keep_new(unit, drafted, freeze=freeze, now=NOW).number
                send(unit, number, revision=None, now=NOW)
                unit.commit()
            accept_quote(
                services,
                KEY,
                number,
                None,
                asked=Asked(caller="a token", key=f"accept {number}", fingerprint=""),
                present=lambda booking, run: Reply(status=200, body=booking.order.number),
            )
            sys.stdout.write(f"Q{number}\n")
            sys.stdout.flush()

    writers = [Thread(target=write) for _ in range(4)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()


if __name__ == "__main__":
    main(sys.argv[1])
