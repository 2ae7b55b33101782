"""Shops take turns: none waits long because another asks for much."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import timedelta

import pytest
from promise_bench import DEMO, KEY, NOW, later, version_of

from mouldwright.usecases.kept_run import PLAN, Run

LEASE = timedelta(seconds=30)
# Nobody is given one of more than an hour.
LONG = timedelta(minutes=55)


def other_shop(bench, key: str) -> str:
    with bench.units.write_house() as house:
        house.house.add_shop(replace(version_of(bench.written, DEMO, 1), key=key))
        house.commit()
    return key


def asked(bench, shop: str, subject: str = PLAN, *, at=NOW) -> Run:
    with bench.units.write(shop) as unit:
        run = unit.runs.ask(
            Run(
                id=f"{shop} {subject} {at}", shop=shop, state="waiting", why="a test asks",
                seconds=1.0, seed=1, asked_at=at, publishes=False, subject=subject,
            )
        )  # fmt: skip
        unit.commit()
    return run


def ended(bench, run: Run) -> None:
    with bench.units.write(run.shop) as unit:
        assert unit.runs.end(replace(run, state="done"), NOW)
        unit.commit()


def test_a_shop_waits_for_one_of_the_hundred_runs_that_another_asked_for_before(bench):
    small = other_shop(bench, "small")
    for n in range(100):
        asked(bench, KEY, f"question {n}", at=later(seconds=n))
    first = bench.queue.claim("w1", later(minutes=5), LONG)
    asked(bench, small, "a question", at=later(minutes=6))
    ended(bench, first)
    assert bench.queue.claim("w1", later(minutes=7), LONG).shop == small


def test_shops_that_all_ask_for_much_are_served_in_turn(bench):
    shops = [KEY, other_shop(bench, "small"), other_shop(bench, "smaller")]
    for shop in shops:
        for n in range(4):
            # All of the first shop's were asked for before any of the second's.
            asked(bench, shop, f"question {n}", at=later(seconds=100 * shops.index(shop) + n))
    served = []
    for turn in range(12):
        run = bench.queue.claim("w1", later(hours=1, seconds=turn), LONG)
        served.append(run.shop)
        ended(bench, run)
    assert served == shops * 4


@contextmanager
def rows_one_by_one(engine) -> Iterator[None]:
    """Leave PostgreSQL no way but to go through the rows of a table one by one.

    How a statement is worked off is the database's to choose, by what it believes of the table.
    """
    if engine.dialect.name != "postgresql":
        yield
        return
    alter = f"ALTER DATABASE {engine.url.database}"
    with engine.begin() as connection:
        for way in ("hashjoin", "mergejoin", "material"):
            connection.exec_driver_sql(f"{alter} SET enable_{way} = off")
    engine.dispose()
    try:
        yield
    finally:
        with engine.begin() as connection:
            connection.exec_driver_sql(f"{alter} RESET ALL")


def test_one_is_taken_at_a_time_however_the_database_looks_for_it(bench):
    for n in range(12):
        asked(bench, KEY, f"question {n}", at=later(seconds=n))
    with rows_one_by_one(bench.engine):
        for n in range(12):
            assert bench.queue.claim("w1", later(minutes=1, seconds=n), LONG) is not None
            with bench.units.read(KEY) as unit:
                listed = unit.runs.listed(limit=50, subject=None)
            assert Counter(run.state for run in listed)["running"] == n + 1


def test_of_several_workers_one_shop_has_no_second_while_another_waits_for_its_first(bench):
    small = other_shop(bench, "small")
    for n in range(5):
        asked(bench, KEY, f"question {n}")
    asked(bench, small, "a question", at=later(hours=1))
    taken = [bench.queue.claim(f"w{n}", later(hours=2, seconds=n), LONG) for n in range(3)]
    assert [run.shop for run in taken] == [KEY, small, KEY]


def test_a_shop_with_a_long_run_under_way_gives_way_to_one_that_has_none(bench):
    small = other_shop(bench, "small")
    asked(bench, KEY, "a long question")
    assert bench.queue.claim("w1", later(minutes=1), LONG).shop == KEY
    asked(bench, small, "a question")
    ended(bench, bench.queue.claim("w2", later(minutes=2), LONG))
    asked(bench, KEY, "another question", at=later(minutes=3))
    asked(bench, small, "another question", at=later(minutes=4))
    assert bench.queue.claim("w2", later(minutes=5), LONG).shop == small


def test_of_one_shop_plans_come_before_questions_and_then_what_waits_longest(bench):
    asked(bench, KEY, "a later question", at=later(seconds=2))
    asked(bench, KEY, "a question", at=later(seconds=1))
    asked(bench, KEY, PLAN, at=later(seconds=3))
    taken = [bench.queue.claim(f"w{n}", later(minutes=1, seconds=n), LONG) for n in range(3)]
    assert [run.subject for run in taken] == [PLAN, "a question", "a later question"]


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_however_runs_come_and_go_no_shop_that_waits_sees_another_served_twice(bench, seed):
    drawn = random.Random(seed)
    shops = [KEY, other_shop(bench, "b"), other_shop(bench, "c"), other_shop(bench, "d")]
    waiting = {shop: set[str]() for shop in shops}
    going = list[Run]()
    # How often each other shop was served since this one has been waiting with nothing going.
    seen = {shop: Counter[str]() for shop in shops}
    served = 0
    for step in range(150):
        now = later(seconds=step)
        what = drawn.choice(("ask", "ask", "serve", "serve", "end", "end"))
        if what == "ask":
            shop, subject = drawn.choice(shops[: drawn.randint(1, 4)]), f"q{drawn.randint(1, 30)}"
            asked(bench, shop, subject, at=now)
            waiting[shop].add(subject)
        elif what == "end" and going:
            ended(bench, going.pop(drawn.randrange(len(going))))
        elif what == "serve" and len(going) < 3:
            run = bench.queue.claim(f"w{step}", now, LONG)
            if run is None:
                assert all(
                    (shop, subject) in {(r.shop, r.subject) for r in going}
                    for shop in shops
                    for subject in waiting[shop]
                ), "something was due and nobody was served"
                continue
            served += 1
            waiting[run.shop].remove(run.subject)
            going.append(run)
            seen[run.shop].clear()
            for shop in shops:
                if shop != run.shop and waiting[shop]:
                    seen[shop][run.shop] += 1
        for shop in shops:
            if not waiting[shop] or any(run.shop == shop for run in going):
                seen[shop].clear()
            assert max(seen[shop].values(), default=0) <= 1, f"{shop} waited for two of another's"
    assert served > 20


def test_what_is_due_is_what_can_be_taken_up(bench):
    assert not bench.queue.is_due(NOW)
    asked(bench, KEY)
    assert bench.queue.is_due(NOW)
    bench.queue.claim("w1", NOW, LEASE)
    asked(bench, KEY, at=later(seconds=1))
    assert not bench.queue.is_due(later(seconds=29)), "the shop's first is under way"
    assert bench.queue.is_due(later(seconds=31)), "the first was left behind"
