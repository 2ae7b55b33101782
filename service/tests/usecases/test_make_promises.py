from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from itertools import count

import pytest
from promise_bench import KEY, NOW, WANTED, freeze, later

from mouldwright.domain.errors import Conflict, InvalidInput
from mouldwright.usecases.errors import KeyReused, Stale, Unknown
from mouldwright.usecases.kept import Asked, Reply
from mouldwright.usecases.kept_run import Page
from mouldwright.usecases.promises import (
    accept_quote,
    ask_for_run,
    call_off_order,
    change_order,
    create_quote,
    revise_quote,
)
from mouldwright.usecases.services import Limits, Services


@pytest.fixture
def services(bench) -> Services:
    ids = count(1)
    return Services(
        units=bench.units,
        written=bench.written,
        clock=lambda: NOW,
        chance=lambda: f"run-{next(ids)}",
        limits=Limits(),
        alive=lambda: None,
        called=(),
        finish=bench.finish,
    )


def asked(key: str, fingerprint: str = "the same") -> Asked:
    return Asked(caller="a token", key=key, fingerprint=fingerprint)


def numbered(kept) -> Reply:
    return Reply(status=201, body=f"{kept.number}.{kept.revision}")


def booked(booking, run) -> Reply:
    return Reply(status=200, body=f"{booking.order.number} {run.id}")


def created(services, key: str = "k1", *, fingerprint: str = "the same") -> str:
    return create_quote(
        services, KEY, WANTED, asked=asked(key, fingerprint), freeze=freeze, present=numbered
    ).body


def accepted(bench, services, key: str = "a1") -> Reply:
    return accept_quote(services, KEY, 1, None, asked=asked(key), present=booked)


def runs(bench):
    with bench.units.read(KEY) as unit:
        return unit.runs.listed()


def changed(services, number: str = "Q1", **more):
    wanted = {"quantity": None, "due": None, "begun": None, "pay_for_begun": False}
    return change_order(services, KEY, number, freeze=freeze, **(wanted | more))


def test_a_quote_asked_for_twice_with_one_key_is_made_once(services, bench):
    assert created(services) == created(services) == "1.1"
    assert created(services, "k2") == "2.1"
    with bench.units.read(KEY) as unit:
        assert len(unit.quotes.listed(Page())) == 2


def test_a_quote_asked_for_many_times_at_once_with_one_key_is_made_once(services, bench):
    with ThreadPoolExecutor(12) as pool:
        bodies = set(pool.map(lambda _: created(services), range(12)))
    assert bodies == {"1.1"}


def test_a_key_used_for_another_quote_is_refused(services):
    created(services)
    with pytest.raises(KeyReused):
        created(services, fingerprint="another")


def test_a_revision_changes_what_is_said_and_keeps_the_rest(services, bench):
    created(services)
    reply = revise_quote(
        services,
        KEY,
        1,
        lambda wanted: replace(wanted, quantity=20),
        pay_for_begun=False,
        asked=asked("r"),
        freeze=freeze,
        present=numbered,
    )
    assert reply.body == "1.2"
    kept = bench.revision(1)
    assert (kept.inputs.quantity, kept.inputs.process, kept.customer) == (
        20,
        WANTED.process,
        WANTED.customer,
    )


def test_an_acceptance_books_the_order_and_asks_for_a_plan_in_one(services, bench):
    bench.sent()
    assert accepted(bench, services).body == "Q1 run-1"
    assert [(run.state, run.why) for run in runs(bench)] == [("waiting", "quote 1 was accepted")]


def test_an_acceptance_that_fails_leaves_neither_an_order_nor_a_run(services, bench):
    bench.sent()

    def fail(booking, run) -> Reply:
        raise RuntimeError("the power went")

    with pytest.raises(RuntimeError):
        accept_quote(services, KEY, 1, None, asked=asked("a"), present=fail)
    assert bench.revision(1).state == "sent"
    assert runs(bench) == ()
    with pytest.raises(Unknown):
        bench.booking("Q1")


def test_an_acceptance_asked_for_twice_with_one_key_is_answered_alike(services, bench):
    bench.sent()
    assert accepted(bench, services) == accepted(bench, services)
    with pytest.raises(Conflict):
        accepted(bench, services, "another key")


def test_a_changed_order_is_planned_anew(services, bench):
    bench.booked()
    booking = changed(services, read_version=1, quantity=20)
    assert (booking.order.quantity, booking.version) == (20, 2)
    assert [run.why for run in runs(bench)] == ["order Q1 was changed"]


def test_another_date_leaves_the_price_as_it_was(services, bench):
    bench.booked()
    booking = changed(services, read_version=1, due=later(days=80))
    assert (booking.order.due, booking.revision) == (later(days=80), 1)


def test_another_quantity_and_date_come_in_one_revision(services, bench):
    bench.booked()
    booking = changed(services, read_version=1, quantity=6, due=later(days=80))
    assert (booking.order.quantity, booking.order.due, booking.revision) == (6, later(days=80), 2)


def test_a_change_of_nothing_changes_nothing(services, bench):
    bench.booked()
    assert changed(services, read_version=1, quantity=12).version == 1
    assert runs(bench) == ()


def test_a_change_by_who_read_an_older_version_is_refused(services, bench):
    bench.booked()
    changed(services, read_version=1, begun=2)
    with pytest.raises(Stale):
        changed(services, read_version=1, quantity=20)


def test_what_is_begun_and_the_quantity_cannot_change_at_once(services, bench):
    bench.booked()
    with pytest.raises(InvalidInput, match="Say first what is begun"):
        changed(services, read_version=1, quantity=3, begun=5)


def test_an_order_called_off_is_planned_around(services, bench):
    bench.booked()
    cancelled, _ = call_off_order(services, KEY, "Q1", by="customer", read_version=1)
    assert cancelled.state == "cancelled"
    assert [run.why for run in runs(bench)] == ["order Q1 was called off"]


def test_a_run_asked_for_twice_with_one_key_is_asked_for_once(services, bench):
    def ask(key: str) -> str:
        return ask_for_run(
            services,
            KEY,
            seconds=1.0,
            seed=1,
            asked=asked(key),
            present=lambda run: Reply(status=202, body=run.id),
        ).body

    assert ask("k") == ask("k") == ask("another") == "run-1"
