"""The queue of runs as workers see it. Each step is a transaction of its own, and a short one."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Engine,
    SQLColumnExpression,
    Update,
    and_,
    exists,
    func,
    or_,
    select,
    update,
)
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import aliased
from sqlmodel import Session, col

from mouldwright.planning.plan import Plan
from mouldwright.store.engine import reading, writing
from mouldwright.store.fence import of_every_shop
from mouldwright.store.repositories.plans import document_of
from mouldwright.store.repositories.runs import progress_text, run_of, still_had
from mouldwright.store.runs_standing import is_lapsed
from mouldwright.store.tables import RunRow
from mouldwright.usecases.kept_run import MOST_ATTEMPTS, PLAN, Basis, Run, RunProgress

# As often as a worker looks again where another was quicker.
_TRIES = 5
_LOST = "The worker was lost while it had this run."


class StoreRunQueue:
    """See ``usecases.promise_ports.RunQueue``."""

    def __init__(self, engine: Engine) -> None:
        """Open it on an engine."""
        self._engine = of_every_shop(writing(engine))
        self._reading = of_every_shop(reading(engine))

    def is_due(self, now: datetime) -> bool:
        """Return whether there is a run to take up; asking waits for no one who writes."""
        with Session(self._reading) as session:
            return session.scalar(select(col(RunRow.id)).where(_due(now)).limit(1)) is not None

    def claim(self, worker: str, now: datetime, lease: timedelta) -> Run | None:
        """Take up the run whose turn it is, or one whose worker was lost; None if none is due.

        Shops take turns: first those that have the fewest runs under way, of these the one
        that was served longest ago. Of one shop plans come before questions, then the one
        that waits longest.

        One statement finds and takes it and counts the attempt, so no two workers take one.
        """
        for _ in range(_TRIES):
            with self._unit() as session:
                self._set_aside(session, now)
                try:
                    row = session.scalar(_taking(worker, now, lease, session))
                except IntegrityError:
                    # Another machine took a run of the same shop between our look and our
                    # grasp; that shop is busy now and the next look passes it by.
                    continue
                run = None if row is None else run_of(row)
                session.commit()
                return run
        return None

    def began(self, run: Run, basis: Basis) -> None:
        """Note what the run plans."""
        self._note(run, shop_version=basis.shop_version, book_version=basis.book_version)

    def beat(self, run: Run, now: datetime, lease: timedelta) -> bool | None:
        """Keep the run for another while; return whether it should stop, None where it is lost."""
        with self._unit() as session:
            stop = session.scalar(
                update(RunRow)
                .where(col(RunRow.id) == run.id, *still_had(run))
                .values(leased_until=now + lease)
                .returning(col(RunRow.cancel_asked))
                .execution_options(synchronize_session=False)
            )
            session.commit()
        return None if stop is None else bool(stop)

    def report(self, run: Run, progress: RunProgress) -> None:
        """Note where the search stands."""
        self._note(run, progress=progress_text(progress))

    def keep_best(self, run: Run, plan: Plan) -> None:
        """Keep the best plan so far. Raises ValueError where it was not checked."""
        self._note(run, best=document_of(plan))

    def keep_answer(self, run: Run, answer: str) -> None:
        """Keep what a question at length was answered, as JSON."""
        self._note(run, answer=answer)

    def give_back(self, run: Run, *, problem: str = "", counted: bool, now: datetime) -> None:
        """Let the run wait again; set it aside where it has failed too often."""
        aside = counted and run.attempts >= MOST_ATTEMPTS
        with self._unit() as session:
            waits = session.scalar(
                select(col(RunRow.id)).where(
                    col(RunRow.shop) == run.shop,
                    col(RunRow.subject) == run.subject,
                    col(RunRow.state) == "waiting",
                )
            )
            values: dict[str, object] = {
                "state": "set aside" if aside else "waiting",
                "leased_until": None,
                "attempts": run.attempts - (0 if counted else 1),
                "problems": json.dumps([problem] if problem else []),
            }
            if aside:
                values["ended_at"] = now
            elif waits is not None:
                # Another waits for this shop already and will plan the same.
                values |= {"state": "cancelled", "ended_at": now}
            session.execute(
                update(RunRow).where(col(RunRow.id) == run.id, *still_had(run)).values(**values)
            )
            session.commit()

    def set_aside(self, run: Run, *, problem: str, now: datetime) -> None:
        """Let the run be tried no more, with why."""
        self._note(
            run,
            state="set aside",
            ended_at=now,
            leased_until=None,
            problems=json.dumps([problem]),
        )

    def _set_aside(self, session: Session, now: datetime) -> None:
        session.execute(
            update(RunRow)
            .where(
                col(RunRow.state) == "running",
                is_lapsed(now),
                col(RunRow.attempts) >= MOST_ATTEMPTS,
            )
            .values(
                state="set aside", ended_at=now, leased_until=None, problems=json.dumps([_LOST])
            )
            .execution_options(synchronize_session=False)
        )

    def _note(self, run: Run, **values: object) -> None:
        with self._unit() as session:
            session.execute(
                update(RunRow).where(col(RunRow.id) == run.id, *still_had(run)).values(**values)
            )
            session.commit()

    @contextmanager
    def _unit(self) -> Iterator[Session]:
        with Session(self._engine, expire_on_commit=False) as session:
            yield session


def _due(now: datetime) -> ColumnElement[bool]:
    """Return what is true of runs that may be taken: one for each shop and subject at a time."""
    other = aliased(RunRow)
    busy = exists().where(
        col(other.shop) == col(RunRow.shop),
        col(other.subject) == col(RunRow.subject),
        col(other.state) == "running",
    )
    lost = and_(col(RunRow.state) == "running", is_lapsed(now))
    return or_(and_(col(RunRow.state) == "waiting", ~busy), lost)


def _taking(worker: str, now: datetime, lease: timedelta, session: Session) -> Update:
    """Return the statement that takes up the run whose turn it is."""
    due = select(col(RunRow.id)).where(_due(now)).order_by(*_turn(now)).limit(1)
    if session.get_bind().dialect.name == "postgresql":
        due = due.with_for_update(skip_locked=True)
    return (
        update(RunRow)
        # Equal, not in: what is looked for is then found once and before anything is taken. As a
        # list to join with, PostgreSQL may look anew for every run, each time find the next one,
        # since those taken are locked, and take them all.
        .where(col(RunRow.id) == due.scalar_subquery())
        .values(
            state="running",
            worker=worker,
            attempts=col(RunRow.attempts) + 1,
            leased_until=now + lease,
            begun_at=now,
        )
        .returning(RunRow)
        .execution_options(synchronize_session=False)
    )


def _turn(now: datetime) -> tuple[SQLColumnExpression[Any], ...]:
    """Return by what runs are ordered, so that no shop waits while another is served twice."""
    going, served = aliased(RunRow), aliased(RunRow)
    under_way = (
        select(func.count())
        .where(
            col(going.shop) == col(RunRow.shop),
            col(going.state) == "running",
            col(going.leased_until) >= now,
        )
        .scalar_subquery()
    )
    last_served = (
        select(func.max(col(served.begun_at)))
        .where(col(served.shop) == col(RunRow.shop))
        .scalar_subquery()
    )
    return (
        under_way,
        last_served.nulls_first(),
        col(RunRow.subject) != PLAN,
        col(RunRow.asked_at),
        col(RunRow.id),
    )
