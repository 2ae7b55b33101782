"""Answer to "how fast can we make them, and what holds us back?"."""

from __future__ import annotations

from pydantic import BaseModel, Field

from mouldwright.domain.rate import Rate


class LimitAnswer(BaseModel):
    """What one resource alone would allow; null where it sets no limit."""

    name: str
    per_hour: float | None
    per_day: float | None


class RateAnswer(BaseModel):
    """The sustainable rate of one part by one process."""

    part: str
    process: str
    moulds: int | None
    per_hour_at_bench: float = Field(description="parts begun an hour while the bench is open")
    per_day_sustained: float = Field(description="parts begun an open day, week in, week out")
    good_per_hour_at_bench: float
    good_per_day_sustained: float
    binds: str
    moulds_that_help: int | None = Field(description="more than this many do not raise the rate")
    limits: list[LimitAnswer]

    @classmethod
    def of(cls, rate: Rate) -> RateAnswer:
        """Return the answer for a rate."""
        return cls(
            part=rate.part,
            process=rate.process,
            moulds=rate.moulds,
            per_hour_at_bench=float(rate.per_hour_at_bench),
            per_day_sustained=float(rate.per_day_sustained),
            good_per_hour_at_bench=float(rate.good_per_hour_at_bench),
            good_per_day_sustained=float(rate.good_per_day_sustained),
            binds=rate.binds,
            moulds_that_help=rate.moulds_that_help,
            limits=[
                LimitAnswer(
                    name=limit.name,
                    per_hour=None if limit.per_hour is None else float(limit.per_hour),
                    per_day=None if limit.per_day is None else float(limit.per_day),
                )
                for limit in rate.limits
            ],
        )
