"""Answer to "how likely is it, and by when?"."""

from __future__ import annotations

from pydantic import BaseModel, Field

from mouldwright.domain.hours.opening import local
from mouldwright.domain.promise.finish_odds import OrderOdds, PlanOdds


class OrderOddsAnswer(BaseModel):
    """When one order is likely to be finished; null for what lies beyond all hours known."""

    number: str
    planned: str = Field(description="where everything takes what is planned")
    due: str | None
    promised: str | None = Field(description="finished by then with the chance the shop asks for")
    promised_chance: float
    p50: str | None = Field(description="finished by then in half of the runs")
    p80: str | None = Field(description="in 80 of 100")
    p95: str | None = Field(description="in 95 of 100")
    chance: float | None = Field(description="of the due date; null without one")

    @classmethod
    def of(cls, odds: OrderOdds, zone: str) -> OrderOddsAnswer:
        """Return the answer for an order, times in a time zone."""

        def at(minute: int | None) -> str | None:
            return None if minute is None else local(minute, zone).isoformat()

        return cls(
            number=odds.number,
            planned=local(odds.planned, zone).isoformat(),
            due=at(odds.due),
            promised=at(odds.promised),
            promised_chance=odds.promised_chance,
            p50=at(odds.p50),
            p80=at(odds.p80),
            p95=at(odds.p95),
            chance=odds.chance,
        )


class LimitPassedAnswer(BaseModel):
    """An operation that came too late after another in some runs."""

    process: str
    operation: str
    share: float = Field(description="of the runs in which it did at least once")


class PlanOddsAnswer(BaseModel):
    """The odds of all orders of a plan."""

    runs: int
    seed: int
    level: float = Field(description="chance with which the shop promises")
    orders: list[OrderOddsAnswer]
    limits_passed: list[LimitPassedAnswer] = Field(
        description="greatest waits and pot lives that were passed, the most often first"
    )

    @classmethod
    def of(cls, odds: PlanOdds, zone: str) -> PlanOddsAnswer:
        """Return the answer for a plan, times in a time zone."""
        return cls(
            runs=odds.runs,
            seed=odds.seed,
            level=odds.level,
            orders=[OrderOddsAnswer.of(order, zone) for order in odds.orders],
            limits_passed=[
                LimitPassedAnswer(process=each.process, operation=each.operation, share=each.share)
                for each in odds.limits_passed
            ],
        )
