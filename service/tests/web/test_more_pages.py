"""What one more would buy, how many moulds an order wants, and what fixes a date, as pages."""

from __future__ import annotations

import re
from datetime import timedelta

from promise_bench import KEY, NOW
from web_bench import WebBench, plain

from mouldwright.bootstrap.workers import answering
from mouldwright.domain.hours.opening import minute_of
from mouldwright.planning.run import make_plan
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.kept import Role
from mouldwright.usecases.runs import Tending

MORE = f"/shops/{KEY}/more"
MOULDS = f"/shops/{KEY}/orders/1001/moulds"


def ask(web: WebBench, path: str, role: Role = Role.PLANNER):
    visitor = web.visitor(role)
    once = re.search(r'name="once" value="([^"]+)"', visitor.page(path))
    return visitor.post(path, {"once": once[1]})


def tend(web: WebBench) -> None:
    """Answer the question that waits as a worker would, with no time to search."""
    bench = web.bench
    run = bench.queue.claim("w", NOW, timedelta(seconds=30))
    assert run is not None
    quick = run.__class__(
        **{name: getattr(run, name) for name in run.__slots__} | {"seconds": 0.02}
    )
    tending = Tending(
        bench.units, bench.queue, written=bench.written, make_plan=make_plan,
        clock=lambda: NOW, chance=web.services.chance, answer=answering(),
    )  # fmt: skip
    ended = tending.tend(quick, cancelled=lambda: False, lost=lambda: False)
    assert ended.state == "done"


def test_what_one_more_would_buy_is_asked_watched_and_read(web: WebBench) -> None:
    asked = ask(web, MORE)
    assert (asked.status_code, asked.headers["location"]) == (303, MORE)
    waiting = plain(web.visitor(Role.VIEWER).page(MORE))
    assert "It waits for a worker." in waiting
    tend(web)
    page = web.visitor(Role.PLANNER).page(MORE)
    assert "As things are the last order is ready" in plain(page)
    assert "Work it out anew" in plain(page)
    assert "resin’s sheet" in page
    # The piece that the sheet puts in place of itself says that it has ended.
    assert 'data-ended="yes"' in web.visitor(Role.VIEWER).get(f"{MORE}?part=1").text


def test_a_question_is_stopped_before_it_is_taken_up(web: WebBench) -> None:
    ask(web, MORE)
    visitor = web.visitor(Role.PLANNER)
    stop = re.search(rf'action="({MORE}/[^"]+/stop)"', visitor.page(MORE))
    assert visitor.post(stop[1]).headers["location"] == MORE
    assert "It was stopped." not in plain(visitor.page(MORE))
    assert "Work it out" in plain(visitor.page(MORE))


def test_how_many_moulds_an_order_wants_is_shown_with_its_curve(web: WebBench) -> None:
    assert ask(web, MOULDS).headers["location"] == MOULDS
    tend(web)
    page = plain(web.visitor(Role.VIEWER).page(MOULDS))
    assert "Take" in page
    assert "New moulds" in page
    assert "Days later than the soonest" in page


def test_who_only_looks_is_given_no_button(web: WebBench) -> None:
    assert "it takes a planner" in plain(web.visitor(Role.VIEWER).page(MORE))
    assert web.visitor(Role.VIEWER).post(MORE, {"once": "k"}).status_code == 403


def test_an_order_says_what_fixes_its_date_from_the_finish_back(web: WebBench) -> None:
    bench = web.bench
    read = read_booked(bench.units, KEY, bench.written)
    plan = make_plan(read.without(), now=minute_of(NOW), seconds=0.0)
    bench.done(lambda unit: unit.plans.keep(plan, basis=read.basis, run="r", at=NOW))
    page = plain(web.visitor(Role.VIEWER).page(f"/shops/{KEY}/orders/1005"))
    assert "What fixes this date" in page
    assert "What the time goes into" in page
    assert "it is the first that can be done" in page


def test_an_order_is_tried_and_nothing_is_kept(web: WebBench) -> None:
    visitor = web.visitor(Role.VIEWER)
    where = f"/shops/{KEY}/try"
    assert "Try it" in plain(visitor.page(where))
    page = plain(visitor.page(f"{where}?made=sensor-fin/cast-fin&quantity=8&by=2027-03-19"))
    assert "Ready " in page
    assert "Nothing of this is kept." in page
    assert "no whole number" in plain(visitor.page(f"{where}?made=sensor-fin/cast-fin&quantity=x"))


def test_other_ways_to_take_an_order_are_asked_watched_and_read(web: WebBench) -> None:
    where = f"/shops/{KEY}/try?made=sensor-fin%2Fcast-fin&quantity=8&by=2027-03-19"
    assert ask(web, where).headers["location"] == where
    assert "It waits for a worker." in plain(web.visitor(Role.VIEWER).page(where))
    tend(web)
    page = plain(web.visitor(Role.PLANNER).page(where))
    assert "Other ways to take it" in page
    assert "A quote asks" in page
    assert "of the runs of this plan meet the date" in page
    assert "One more mould" in page
    assert "Printed" in page
    part = web.visitor(Role.VIEWER).get(f"{where}&part=1").text
    assert 'data-ended="yes"' in part
    # Another order is another question, that nobody has asked.
    other = where.replace("quantity=8", "quantity=9")
    assert "One more mould" not in plain(web.visitor(Role.PLANNER).page(other))


def test_ways_that_are_planned_are_stopped_where_they_were_asked(web: WebBench) -> None:
    where = f"/shops/{KEY}/try?made=sensor-fin%2Fcast-fin&quantity=8&by="
    ask(web, where)
    visitor = web.visitor(Role.PLANNER)
    stop = re.search(rf'action="({MORE}/[^"]+/stop)"', visitor.page(where))
    assert stop is not None
    assert visitor.post(stop[1]).headers["location"] == where
