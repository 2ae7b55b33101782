"""The runs of one shop, as those see them who ask and watch."""

from __future__ import annotations

import json
from dataclasses import asdict
from datetime import datetime

from sqlalchemy import ColumnElement, Select, select, update
from sqlalchemy.orm import load_only
from sqlmodel import Session, col

from mouldwright import tracing
from mouldwright.planning.plan import Plan
from mouldwright.store.audit import untold
from mouldwright.store.repositories.plans import plan_of
from mouldwright.store.tables import RunRow
from mouldwright.store.touched import rows_touched
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept_run import PLAN, Basis, Run, RunProgress, TrailStep

# All but what came of it, which is large and seldom wanted.
_HEAVY = {"best", "answer"}
LIGHT = load_only(*(getattr(RunRow, name) for name in RunRow.model_fields if name not in _HEAVY))


class ShopRuns:
    """See ``usecases.promise_ports.Runs``."""

    def __init__(self, session: Session, shop: str) -> None:
        """Open it for one shop."""
        self._session, self._shop = session, shop

    def ask(self, run: Run) -> Run:
        """Queue a run; return the one that waits already where there is one.

        Raises:
            ValueError: if it is another shop's.
        """
        if run.shop != self._shop:
            raise ValueError(f"this unit is for {self._shop}, not for {run.shop}")
        waiting = self._session.scalar(
            self._mine().where(col(RunRow.state) == "waiting", col(RunRow.subject) == run.subject)
        )
        if waiting is not None:
            return run_of(waiting)
        place = tracing.here()
        self._session.add(
            RunRow(
                id=run.id,
                shop=run.shop,
                state="waiting",
                why=run.why,
                seconds=run.seconds,
                seed=run.seed,
                asked_at=run.asked_at,
                attempts=0,
                worker="",
                cancel_asked=False,
                publishes=run.publishes,
                problems="[]",
                subject=run.subject,
                ask=run.ask or None,
                traceparent="" if place is None else place.traceparent,
            )
        )
        self._session.flush()
        return run

    def by_id(self, run: str) -> Run:
        """Return a run. Raises Unknown."""
        return run_of(self._row(run))

    def best(self, run: str) -> Plan | None:
        """Return the best plan of a run so far. Raises Unknown."""
        self._row(run)
        document = self._session.scalar(select(col(RunRow.best)).where(col(RunRow.id) == run))
        return None if document is None else plan_of(document)

    def answer(self, run: str) -> str | None:
        """Return what a question at length was answered, as JSON. Raises Unknown."""
        self._row(run)
        return self._session.scalar(select(col(RunRow.answer)).where(col(RunRow.id) == run))

    def listed(
        self, *, limit: int = 20, after: str | None = None, subject: str | None = PLAN
    ) -> tuple[Run, ...]:
        """Return runs of a subject, the newest first; None for those of every one.

        Those after a run where one is named. Raises Unknown.
        """
        asked, name = col(RunRow.asked_at), col(RunRow.id)
        wanted = self._mine().order_by(asked.desc(), name).limit(limit)
        if subject is not None:
            wanted = wanted.where(col(RunRow.subject) == subject)
        if after is not None:
            last = self._row(after)
            wanted = wanted.where(
                (asked < last.asked_at) | ((asked == last.asked_at) & (name > last.id))
            )
        return tuple(run_of(row) for row in self._session.scalars(wanted))

    def ask_to_stop(self, run: str, at: datetime) -> Run:
        """Ask a run to stop; one that waits ends at once. Raises Unknown."""
        row = self._row(run)
        if row.state == "waiting":
            row.state, row.ended_at, row.cancel_asked = "cancelled", at, True
        elif row.state == "running":
            row.cancel_asked = True
        self._session.flush()
        return run_of(row)

    def end(self, run: Run, at: datetime) -> bool:
        """Keep how a run ended; False where its worker has lost it meanwhile."""
        ended = self._session.execute(
            update(RunRow)
            .where(
                col(RunRow.id) == run.id,
                col(RunRow.shop) == self._shop,
                *still_had(run),
            )
            .values(
                state=run.state,
                ended_at=at,
                leased_until=None,
                problems=json.dumps(run.problems),
                plan_version=run.plan_version,
            )
            .execution_options(**untold("a worker's own step; the plan it leaves is told"))
        )
        return rows_touched(ended) == 1

    def _row(self, run: str) -> RunRow:
        row = self._session.scalar(self._mine().where(col(RunRow.id) == run))
        if row is None:
            raise Unknown(kind="run", key=run)
        return row

    def _mine(self) -> Select[RunRow]:
        return select(RunRow).options(LIGHT).where(col(RunRow.shop) == self._shop)


def still_had(run: Run) -> tuple[ColumnElement[bool], ...]:
    """Return what holds only while the one who took this run up still has it."""
    return (
        col(RunRow.state) == "running",
        col(RunRow.worker) == run.worker,
        col(RunRow.attempts) == run.attempts,
    )


def run_of(row: RunRow) -> Run:
    """Return the value of a row."""
    basis = None
    if row.shop_version is not None and row.book_version is not None:
        basis = Basis(shop_version=row.shop_version, book_version=row.book_version)
    return Run(
        id=row.id,
        shop=row.shop,
        state=row.state,  # type: ignore[arg-type]  # the table's check holds it
        why=row.why,
        seconds=row.seconds,
        seed=row.seed,
        asked_at=row.asked_at,
        attempts=row.attempts,
        worker=row.worker,
        begun_at=row.begun_at,
        ended_at=row.ended_at,
        cancel_asked=row.cancel_asked,
        publishes=row.publishes,
        basis=basis,
        progress=None if row.progress is None else progress_of(row.progress),
        problems=tuple(json.loads(row.problems)),
        plan_version=row.plan_version,
        subject=row.subject,
        ask=row.ask or "",
        traceparent=row.traceparent,
    )


def progress_of(text: str) -> RunProgress:
    """Return progress as it was kept; what was kept before there were trails has none."""
    found = json.loads(text)
    trail = tuple(TrailStep(**step) for step in found.pop("trail", ()))
    return RunProgress(**found, trail=trail)


def progress_text(progress: RunProgress) -> str:
    """Return progress as it is kept."""
    return json.dumps(asdict(progress))
