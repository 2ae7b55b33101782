"""The three jobs, from the question to the plan, as the command line answers them too."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from pydantic import BaseModel

from commands import answer
from mouldwright.client import Refused
from mouldwright.wire.service.order import OrderChangeAsk
from mouldwright.wire.service.run import RunAnswer
from serving import DEMO_START

# A plan takes its time where other tests run beside it.
DEMO = "foil-bench"
ZONE = ZoneInfo("Europe/Lisbon")


def plain(model: BaseModel) -> Any:
    return json.loads(model.model_dump_json())


def at_minute(moment: datetime) -> str:
    return f"{moment.astimezone(ZONE):%Y-%m-%dT%H:%M}"


def asked_and_told(server, ask: Callable[[], BaseModel], *command: str) -> None:
    """Ask the service, and hold its answer against the command's for the same minute."""
    before = now(server)
    found = plain(ask())
    # The minute may have turned while it was asked.
    minutes = dict.fromkeys([at_minute(before), at_minute(now(server))])
    assert any(found == answer(*command, "--now", minute) for minute in minutes)


def now(server) -> datetime:
    """Return the time by the server's clock."""
    return datetime.now(UTC) + server.ahead


def test_choosing_a_process_gives_the_command_lines_figures(server, shop):
    asked_and_told(
        server,
        lambda: shop.ask.compare("stabiliser", 24),
        *("compare", DEMO, "--part", "stabiliser", "--quantity", "24"),
    )


def test_what_does_not_hang_on_the_date_is_the_command_lines_to_the_last_figure(shop):
    where = ("--part", "stabiliser", "--process", "pressed")
    assert plain(shop.ask.deflection("stabiliser", "pressed")) == answer("deflection", DEMO, *where)
    assert plain(shop.ask.rate("stabiliser", "pressed")) == answer("rate", DEMO, *where)
    four = plain(shop.ask.rate("stabiliser", "pressed", moulds=4))
    assert four == answer("rate", DEMO, *where, "--moulds", "4")


def test_an_order_is_quoted_booked_and_planned(server, shop):
    chosen = shop.ask.compare("stabiliser", 24, finish="by_rate").recommended.process
    quote = shop.quotes.make("stabiliser", 24, process=chosen, customer="Tern survey club")

    given_out = plain(quote.value.quote)
    made_at = at_minute(quote.value.made_at)
    where = ("--part", "stabiliser", "--process", chosen, "--quantity", "24", "--now", made_at)
    where = (*where, "--odds")
    assert given_out["number"] == "1"
    assert {**given_out, "number": None} == answer("quote", DEMO, *where)

    sent = shop.quotes.send(shop.quotes.read(1, known=quote))
    accepted = shop.quotes.accept(sent)
    order = shop.orders.read(accepted.order.number)
    assert (order.value.quote, order.value.quantity, order.value.state) == (1, 24, "open")
    assert order.value.promised == datetime.fromisoformat(quote.value.quote.finish)
    assert not accepted.promise.moved, accepted.promise.words

    run = ended_early(shop, accepted.run)
    assert run.state == "cancelled", run.problems
    plan = shop.plan.read()
    assert plan.value.is_current
    assert plan.value.version == run.plan_version
    assert order.value.number in {o.number for o in plan.value.plan.orders}
    assert shop.plan.read(known=plan) is plan
    with pytest.raises(Refused, match="accepted") as caught:
        shop.quotes.accept(shop.quotes.read(1))
    assert caught.value.kind == "conflict"


def test_moulds_are_scheduled_as_well_as_the_command_line_does_it(shop):
    started = shop.runs.start(seconds=1.0)
    seen = list(shop.runs.watch(started.value.id))
    assert [run.state for run in seen][-1] == "done"
    assert {run.id for run in seen} == {started.value.id}
    plan = shop.plan.read().value.plan

    quick = answer("plan", DEMO, "--seconds", "0", "--now", at_minute(moment(plan.now)))
    assert plan.checked
    assert {o.number: o.due for o in plan.orders} == {
        o["number"]: o["due"] for o in quick["orders"]
    }
    # The run keeps the command's first plan before it looks for a better one.
    mine, first = plan.objective, quick["objective"]
    assert (mine.weighted_late_min, mine.finish_min, mine.attended_min) <= (
        first["weighted_late_min"],
        first["finish_min"],
        first["attended_min"],
    )
    in_hand = mine.weighted_late_min or mine.finish_min
    assert plan.bound is not None
    assert 0 < plan.bound <= in_hand
    assert plan.gap == pytest.approx((in_hand - plan.bound) / in_hand)


def test_the_plan_puts_nobody_and_no_mould_in_two_places_at_once(shop):
    shop.runs.wait(shop.runs.start(seconds=0.5).value.id)
    plan = shop.plan.read().value.plan
    people, moulds = defaultdict(list), defaultdict(list)
    for task in plan.tasks:
        spans = [(moment(start), moment(end)) for start, end in task.spans]
        assert (spans[0][0], spans[-1][1]) == (moment(task.start), moment(task.end))
        for person in task.people:
            people[person] += spans
        if task.mould is not None:
            moulds[task.mould].append((spans[0][0], spans[-1][1]))
    assert set(people) == {"ines", "tomas"}
    assert len(moulds) >= 5
    for held in [*people.values(), *moulds.values()]:
        for (_, end), (start, _) in pairwise(sorted(held)):
            assert end <= start
    for order in plan.orders:
        ends = [
            moment(task.end)
            for task in plan.tasks
            if any(member.order == order.number for member in task.members)
        ]
        assert moment(order.finish) == max(ends)
        if order.due is not None:
            late = moment(order.finish) - moment(order.due)
            assert order.late_min == max(0, late // timedelta(minutes=1))


def test_a_day_of_the_plan_is_one_persons_work_for_that_day(shop):
    shop.runs.wait(shop.runs.start(seconds=0.2).value.id)
    plan = shop.plan.read(by="person").value
    by_person = {group.key: group.tasks for group in plan.groups}
    day = moment(plan.plan.tasks[0].start).date()
    for person, places in by_person.items():
        mine = shop.plan.tasks(person=person).tasks
        assert len(mine) == len(places)
        today = shop.plan.tasks(person=person, day=day).tasks
        assert today == [
            task
            for task in mine
            if any(
                moment(start).date() <= day <= (moment(end) - timedelta(seconds=1)).date()
                for start, end in task.spans
            )
        ]


def test_a_run_is_stopped_with_the_best_so_far(shop):
    ended = ended_early(shop, shop.runs.start(seconds=60.0).value.id)
    assert (ended.state, ended.cancel_asked) == ("cancelled", True)
    assert shop.plan.read().value.version == ended.plan_version


def test_a_changed_order_moves_the_plan_and_an_order_called_off_leaves_it(shop):
    quote = shop.quotes.send(shop.quotes.make("stabiliser", 4, process="printed"))
    accepted = shop.quotes.accept(quote)
    number = accepted.order.number
    ended_early(shop, accepted.run)
    order = shop.orders.read(number)
    later = order.value.booked_at + timedelta(days=60)
    changed = shop.orders.change(order, OrderChangeAsk(due=later))
    assert changed.value.due == later
    with pytest.raises(Refused) as caught:
        shop.orders.change(order, OrderChangeAsk(due=later))
    assert caught.value.kind == "stale"
    # One that is proven best at once has nothing left to be stopped at.
    ended = ended_early(shop, next(shop.runs.list()).id)
    assert ended.state in ("cancelled", "stale", "done")
    assert ended.state != "done" or ended.progress.gap == 0
    settled = shop.orders.call_off(shop.orders.read(number), by="customer")
    assert settled.order.state == "cancelled"
    run = ended_early(shop, next(shop.runs.list()).id)
    assert run.plan_version is not None
    assert number not in {o.number for o in shop.plan.read().value.plan.orders}


def ended_early(shop, run_id: str) -> RunAnswer:
    """Stop a run as soon as it looks for better than its first plan; return it as it ended."""
    asked = False
    for seen in shop.runs.watch(run_id):
        if seen.progress is not None and not asked:
            shop.runs.cancel(run_id)
            asked = True
    return seen


def moment(text: str) -> datetime:
    return datetime.fromisoformat(text)


def test_the_servers_clock_began_at_the_demos_start(server):
    assert timedelta(0) <= now(server) - DEMO_START < timedelta(minutes=30)
