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
    moulds: int = Field(description="0 for a process without")
    per_hour_at_bench: float | None = Field(
        description="parts begun an hour while the bench is open; null where nothing binds"
    )
    per_day_sustained: float | None = Field(
        description="parts begun an open day, week in, week out"
    )
    good_per_hour_at_bench: float | None
    good_per_day_sustained: float | None
    binds: str = Field(description="what holds the sustained rate")
    binds_at_bench: str = Field(description="what holds the rate within an open hour")
    moulds_that_help: int | None = Field(description="more than this many do not raise the rate")
    limits: list[LimitAnswer]
    mean_c: float | None = Field(
        default=None,
        description="mean temperature of the season that cures are reckoned at; null where times "
        "are taken as they are written",
    )

    @classmethod
    def of(cls, part: str, process: str, rate: Rate) -> RateAnswer:
        """Return the answer for the rate of a part by a process."""
        return cls(
            part=part,
            process=process,
            moulds=rate.moulds,
            per_hour_at_bench=rate.per_hour_at_bench,
            per_day_sustained=rate.per_day_sustained,
            good_per_hour_at_bench=rate.good_per_hour_at_bench,
            good_per_day_sustained=rate.good_per_day_sustained,
            binds=rate.binds,
            binds_at_bench=rate.binds_at_bench,
            moulds_that_help=rate.moulds_that_help,
            limits=[
                LimitAnswer(name=limit.name, per_hour=limit.per_hour, per_day=limit.per_day)
                for limit in rate.limits
            ],
            mean_c=None if rate.mean_c is None else float(rate.mean_c),
        )
