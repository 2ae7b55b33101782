"""A bench with something in every table, and all that a database holds, for comparing."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from promise_bench import KEY, NOW, PromiseBench, later
from sqlalchemy import select

from mouldwright.domain.calendar_event import caught_up
from mouldwright.domain.record.log import Happening, LogEntry, LoggedMember, LoggedTask
from mouldwright.planning.plan import Plan
from mouldwright.planning.run import make_plan
from mouldwright.store.engine import make_engine, reading
from mouldwright.store.fence import of_every_shop
from mouldwright.store.tables import METADATA
from mouldwright.usecases.access import issue, revoke
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.calendar import events_of
from mouldwright.usecases.feeds import make_feed
from mouldwright.usecases.kept import Asked, Reply, Role, SignIn
from mouldwright.usecases.kept_decline import Declined
from mouldwright.usecases.kept_feed import ToldEvents
from mouldwright.usecases.kept_pin import Pin
from mouldwright.usecases.kept_run import RunProgress, TrailStep
from mouldwright.usecases.orders import call_off
from mouldwright.usecases.quote_links import make_link
from mouldwright.usecases.quotes import decline
from mouldwright.usecases.runs import ask_for_plan

LEASE = timedelta(seconds=30)


def fill(bench: PromiseBench) -> None:
    """Keep at least one row of every kind: settled, called off, under way, withdrawn."""
    bench.change_shop(name="Prüfstand “Süd” 𝛑 \\ ' \t")
    bench.booked()
    bench.booked(bench.draft())
    bench.done(call_off, "Q2", by="customer", read_version=1)
    bench.quoted()
    bench.revised(3, quantity=7, customer="Ångström & fils")
    bench.done(decline, bench.sent().number, revision=None, now=NOW)
    with bench.units.write_house() as house:
        for number, role in enumerate((Role.KEEPER, Role.OWNER, Role.BENCH)):
            secrets = iter((f"secret {number}", f"{number:0>16}"))
            issue(
                house.tokens, shop=None if role is Role.KEEPER else KEY, role=role,
                label=role.value, days=30, now=NOW, chance=lambda secrets=secrets: next(secrets),
            )  # fmt: skip
        house.house.promise_sign_in(
            SignIn(shop=KEY, role=Role.OWNER, expires_at=later(minutes=15)), "0" * 64
        )
        house.commit()
    revoke(bench.units, KEY, f"{2:0>16}", now=NOW)
    with bench.units.write(KEY) as unit:
        asked = Asked(caller="a token", key="k1", fingerprint="f" * 64)
        unit.replies.keep(asked, Reply(status=201, body="{}", headers={"ETag": '"1"'}), NOW)
        ask_for_plan(
            unit, why="a test", now=NOW, chance=lambda: "run-1", seconds=0.1, seed=2**31 - 1
        )
        unit.commit()
    run = bench.queue.claim("w1", NOW, LEASE)
    assert run is not None
    read = read_booked(bench.units, KEY, bench.written)
    plan = make_plan(read.without(), now=int(NOW.timestamp() // 60), seconds=0.0, seed=1)
    bench.queue.began(run, read.basis)
    bench.queue.keep_best(run, plan)
    bench.queue.report(
        run,
        RunProgress(
            weighted_late_min=1, finish_min=2, attended_min=3, bound=None, gap=0.1 + 0.2,
            trying="müde", tries=4,
            trail=(TrailStep(seconds=0.3, weighted_late_min=1, finish_min=2, bound=None),),
        ),
    )  # fmt: skip
    with bench.units.write(KEY) as unit:
        unit.plans.keep(plan, basis=read.basis, run=run.id, at=NOW)
        for number in (1, 2):
            secrets = iter((f"link secret {number}", f"link {number:0>11}"))
            made = make_link(
                unit, number, days=9, may_answer=number == 1, by="a token", now=NOW,
                chance=lambda secrets=secrets: next(secrets),
            )  # fmt: skip
        unit.links.revoke(2, made.link.id, NOW)
        unit.links.note_answer(1, "link 00000000001", "accepted", NOW)
        for number in (1, 2):
            secrets = iter((f"feed secret {number}", f"feed {number:0>11}"))
            fed = make_feed(
                unit, read.written, kind="calendar", about="person", key="ines", label="Zoë",
                by="a token", now=NOW, chance=lambda secrets=secrets: next(secrets),
            )  # fmt: skip
        unit.feeds.revoke(fed.feed.id, NOW)
        entries = events_of(KEY, read.without(), plan)
        events = caught_up({}, entries, zone=plan.zone, since=plan.now, now=NOW)
        unit.feeds.tell(ToldEvents(mark="1/1/1", version=1, events=events))
        pinned = Pin(id="pin-1", tasks=plan.tasks[:2], pinned_at=NOW, by="Zoë")
        unit.pins.add(pinned, zone=plan.zone)
        unit.declines.put(Declined(key="time:pressed:cut", evidence=8, declined_at=NOW, by="Zoë"))
        for number in (1, 2):
            unit.log.add(started(number, plan), moves_plan=True)
        unit.commit()


def started(number: int, plan: Plan) -> LogEntry:
    """Return the entry of a task that was begun as planned."""
    task = plan.tasks[number]
    return LogEntry(
        number=0,
        what=Happening.STARTED,
        at=later(minutes=number),
        noted_at=NOW,
        noted_by="Zoë",
        people=task.people,
        task=LoggedTask(
            operation=task.operation,
            process=task.process,
            part=task.part,
            mould=task.mould,
            members=tuple(
                LoggedMember(order=m.order, pulls=m.pulls, parts=m.parts) for m in task.members
            ),
        ),
        said_once=f"phone {number}" if number > 1 else "",
    )


def everything(url: str) -> dict[str, list[tuple[Any, ...]]]:
    """Return every row of every table at one moment, in an order that both databases share."""
    engine = of_every_shop(make_engine(url, pooled=False))
    try:
        with reading(engine).connect() as connection:
            return {
                table.name: sorted(
                    (tuple(row) for row in connection.execute(select(table))), key=repr
                )
                for table in METADATA.sorted_tables
            }
    finally:
        engine.dispose()
