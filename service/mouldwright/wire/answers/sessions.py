"""Answer to "what does going in and coming out cost us?"."""

from __future__ import annotations

from collections.abc import Iterable

from pydantic import BaseModel, Field

from mouldwright.domain.costing.session_cost import SessionCost
from mouldwright.domain.money import Currency
from mouldwright.planning.plan import Plan
from mouldwright.wire.answers.money import amount_text
from mouldwright.wire.answers.plan import PlanAnswer


class SessionCostAnswer(BaseModel):
    """One kind of session, as planned and as each order was reckoned by itself."""

    session: str
    planned: int = Field(description="sessions of the plan")
    assumed: int = Field(description="sessions its orders were reckoned with one by one")
    planned_min: int = Field(description="person-minutes going in and coming out")
    assumed_min: int
    planned_cost: str = Field(description="hands, overhead and what is used up by session")
    assumed_cost: str | None


class SessionCostsAnswer(BaseModel):
    """Every kind of session of the shop."""

    sessions: list[SessionCostAnswer]

    @classmethod
    def of(cls, costs: Iterable[SessionCost], currency: Currency) -> SessionCostsAnswer:
        """Return the answer for what sessions cost."""
        return cls(
            sessions=[
                SessionCostAnswer(
                    session=cost.session.key,
                    planned=cost.planned,
                    assumed=cost.assumed,
                    planned_min=cost.planned_min,
                    assumed_min=cost.assumed_min,
                    planned_cost=amount_text(currency, cost.planned_cost) or "",
                    assumed_cost=amount_text(currency, cost.assumed_cost),
                )
                for cost in costs
            ]
        )


class PlannedAnswer(PlanAnswer):
    """A plan made from a scenario, with what its sessions cost."""

    session_costs: list[SessionCostAnswer]

    @classmethod
    def with_sessions(
        cls, plan: Plan, costs: Iterable[SessionCost], currency: Currency
    ) -> PlannedAnswer:
        """Return the answer for a plan."""
        told = SessionCostsAnswer.of(costs, currency).sessions
        return cls(**dict(PlanAnswer.of(plan)), session_costs=told)
