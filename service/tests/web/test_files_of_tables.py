"""From each sheet that shows a table there is a way to the same as a file."""

from __future__ import annotations

import re

import pytest
from promise_bench import KEY, NOW

from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.record.log import Happening, LogEntry, LoggedMember, LoggedTask
from mouldwright.planning.run import make_plan
from mouldwright.usecases.booked_shop import read_booked

HERE = f"/shops/{KEY}"


@pytest.fixture
def planned_web(web):
    bench = web.bench
    read = read_booked(bench.units, KEY, bench.written)
    plan = make_plan(read.without(), now=minute_of(NOW), seconds=0.0)
    bench.done(lambda unit: unit.plans.keep(plan, basis=read.basis, run="r", at=NOW))
    for number in range(1, 31):
        bench.done(lambda unit, n=number: unit.log.add(trimmed(n), moves_plan=False))
    return web


def trimmed(part: int) -> LogEntry:
    """Return an entry of a part that was trimmed and is scrapped there."""
    member = LoggedMember(order="1001", parts=(part,))
    task = LoggedTask(operation="trim", process="pressed", part="stabiliser", members=(member,))
    what = Happening.SCRAPPED if part > 20 else Happening.FINISHED
    return LogEntry(number=0, what=what, at=NOW, noted_at=NOW, task=task)


@pytest.mark.parametrize(
    ("sheet", "table"),
    [
        ("board", "plan"),
        ("day", "day-sheet"),
        ("day?person=every+one", "day-sheet"),
        ("tomorrow", "day-sheet"),
        ("today", "orders"),
        ("orders", "orders"),
        ("moulds", "moulds"),
        ("materials", "materials"),
        ("materials/epoxy-resin", "stock"),
        ("log", "log"),
        ("learnt", "learnt-yields"),
        ("processes", "processes"),
        ("parts", "parts"),
        ("buying", "buy-list"),
        ("tests", "bench-tests"),
    ],
)
def test_a_sheet_leads_to_its_table_as_a_file(planned_web, sheet, table):
    visitor = planned_web.visitor()
    page = visitor.page(f"{HERE}/{sheet}")
    links = [link.replace("&amp;", "&") for link in re.findall(r'href="([^"]*)"', page)]
    for kind in ("csv", "xlsx"):
        (link,) = {each for each in links if f"/tables/{table}.{kind}" in each}
        answer = visitor.get(link)
        assert answer.status_code == 200
        assert f'filename="{table}.{kind}"' in answer.headers["content-disposition"]
