"""The published plans of one shop."""

from __future__ import annotations

from datetime import datetime
from functools import lru_cache

from sqlalchemy import func, select
from sqlmodel import Session, col

from mouldwright.planning.plan import Plan
from mouldwright.store.repositories.counters import Counters
from mouldwright.store.tables import PlanRow
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept_run import Basis, KeptPlan
from mouldwright.wire.kept_plan import KeptPlanDocument

# A plan of 2,000 tasks is about a megabyte as a document and as much again as values.
_READ_LATELY = 8


class ShopPlans:
    """See ``usecases.promise_ports.Plans``."""

    def __init__(self, session: Session, shop: str) -> None:
        """Open it for one shop."""
        self._session, self._shop = session, shop

    def keep(self, plan: Plan, *, basis: Basis, run: str, at: datetime) -> KeptPlan:
        """Keep a plan as the newest.

        Raises:
            ValueError: if the checker did not pass it.
        """
        kept = KeptPlan(
            version=Counters(self._session, self._shop).draw("plan"),
            plan=plan,
            basis=basis,
            run=run,
            made_at=at,
        )
        self._session.add(
            PlanRow(
                shop=self._shop,
                version=kept.version,
                shop_version=basis.shop_version,
                book_version=basis.book_version,
                run=run,
                made_at=at,
                document=document_of(plan),
            )
        )
        self._session.flush()
        return kept

    def newest(self) -> KeptPlan:
        """Return the plan that holds. Raises Unknown where there is none."""
        version = self._session.scalar(
            select(func.max(col(PlanRow.version))).where(col(PlanRow.shop) == self._shop)
        )
        if version is None:
            raise Unknown(kind="plan", key="newest")
        return self.at(version)

    def at(self, version: int) -> KeptPlan:
        """Return an earlier plan. Raises Unknown."""
        row = self._session.get(PlanRow, (self._shop, version))
        if row is None:
            raise Unknown(kind="plan", key=str(version))
        return KeptPlan(
            version=row.version,
            plan=plan_of(row.document),
            basis=Basis(shop_version=row.shop_version, book_version=row.book_version),
            run=row.run,
            made_at=row.made_at,
        )


def document_of(plan: Plan) -> str:
    """Return the document of a plan.

    Raises:
        ValueError: if the checker did not pass it: such a plan is never kept.
    """
    if not plan.checked:
        raise ValueError("a plan is kept only once it has passed its check")
    return KeptPlanDocument.of(plan).model_dump_json()


@lru_cache(_READ_LATELY)
def plan_of(document: str) -> Plan:
    """Return the plan of a document; those read lately are not read anew."""
    return KeptPlanDocument.model_validate_json(document).plan()
