"""Nothing slow is done while others are kept from writing."""

from __future__ import annotations

import secrets
import threading
from dataclasses import replace
from datetime import timedelta

import pytest
from promise_bench import KEY, NOW, freeze

from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.planning.run import make_plan
from mouldwright.runs.worker import Worker
from mouldwright.store.engine import make_engine
from mouldwright.store.unit_of_work import StoreUnits
from mouldwright.usecases.errors import Busy
from mouldwright.usecases.kept import Asked, Reply
from mouldwright.usecases.orders import look_again
from mouldwright.usecases.promises import (
    accept_quote,
    change_order,
    create_quote,
    revise_quote,
)
from mouldwright.usecases.quotes import Wanted
from mouldwright.usecases.runs import Tending, ask_for_plan
from mouldwright.usecases.services import Limits, Services


class Intruder:
    """Writes in the middle of whatever calls it, from a connection of its own, without patience."""

    def __init__(self, url: str) -> None:
        self.engine = make_engine(url, pool_size=2, busy_seconds=0.3)
        self.writes = 0

    def write(self) -> None:
        with StoreUnits(self.engine).write(KEY) as unit:
            unit.replies.forget_before(NOW)
            unit.commit()
        self.writes += 1


@pytest.fixture
def intruder(either_bench):
    made = Intruder(either_bench.url)
    yield made
    made.engine.dispose()


@pytest.fixture
def services(either_bench, intruder) -> Services:
    def finish(shop, part, process, quantity, now, held):
        intruder.write()
        return ReadyBy(finish=now + 10_000)

    return Services(
        units=either_bench.units,
        written=either_bench.written,
        clock=lambda: NOW,
        chance=lambda: secrets.token_hex(8),
        limits=Limits(),
        alive=lambda: None,
        called=(),
        finish=finish,
    )


def asked() -> Asked:
    return Asked(caller="a token", key=secrets.token_hex(8), fingerprint="")


def reply(*_: object) -> Reply:
    return Reply(status=200, body="")


def test_others_write_while_a_quote_or_a_change_is_worked_out(either_bench, services, intruder):
    wanted = Wanted(part="stabiliser", process="pressed", quantity=5)
    create_quote(services, KEY, wanted, asked=asked(), freeze=freeze, present=reply)
    assert intruder.writes == 1
    revise_quote(
        services, KEY, 1, lambda one: replace(one, quantity=6), pay_for_begun=False,
        asked=asked(), freeze=freeze, present=reply,
    )  # fmt: skip
    assert intruder.writes == 2
    booking = either_bench.booked()
    change_order(
        services, KEY, booking.order.number, read_version=1, quantity=4, due=None, begun=None,
        pay_for_begun=False, freeze=freeze,
    )  # fmt: skip
    assert intruder.writes == 3
    look_again(
        services.units, KEY, booking.quote, written=services.written, now=NOW,
        finish=services.finish,
    )  # fmt: skip
    assert intruder.writes == 4


def test_an_acceptance_plans_nothing_before_it_is_on_the_disk(either_bench, services, intruder):
    number = either_bench.sent().number
    accept_quote(services, KEY, number, None, asked=asked(), present=reply)
    # Nobody was asked when it would be ready, and whoever looks from outside sees it booked.
    assert intruder.writes == 0
    with StoreUnits(intruder.engine).read(KEY) as unit:
        assert unit.bookings.by_quote(number) is not None
        assert unit.quotes.revision(number).state == "accepted"


def test_others_write_while_a_run_is_planned(either_bench, intruder):
    either_bench.done(ask_for_plan, why="a test", now=NOW, chance=lambda: "run-1", seconds=0.2)

    def planned(shop, **more):
        intruder.write()
        return make_plan(shop, **more)

    tending = Tending(
        either_bench.units, either_bench.queue, written=either_bench.written, make_plan=planned,
        clock=lambda: NOW, chance=lambda: "run-2",
    )  # fmt: skip
    worker = Worker(
        either_bench.queue, tending, name="w1", clock=lambda: NOW, lease=timedelta(seconds=30)
    )
    ended = worker.work_one(threading.Event())
    assert ended is not None
    # A quick plan first, then a better one.
    assert (ended.state, intruder.writes) == ("done", 2)


def test_an_intruder_would_be_kept_waiting_by_a_unit_that_writes(either_bench, intruder):
    """What the tests above see would be seen: inside such a unit there is no writing."""
    with either_bench.units.write(KEY) as unit:
        unit.quotes.next_number()
        with pytest.raises(Busy):
            intruder.write()
    assert intruder.writes == 0
