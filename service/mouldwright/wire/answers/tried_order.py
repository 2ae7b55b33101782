"""Answer to "what if we said yes to this order?"."""

from __future__ import annotations

from datetime import datetime

from pydantic import BaseModel, ConfigDict, Field

from mouldwright.domain.hours.opening import local
from mouldwright.planning.gains import TriedOrder
from mouldwright.wire.answers.gains import OrderShiftAnswer, shift_answer


class TriedOrderAnswer(BaseModel):
    """When one more order would be ready, and which promises would move; nothing is kept."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "part": "sensor-fin",
                    "process": "cast-fin",
                    "quantity": 8,
                    "starts": 10,
                    "finish": "2027-03-02T16:20:00+00:00",
                    "due": None,
                    "late_min": 0,
                    "orders": [],
                    "kept": 410,
                    "moved": 0,
                    "because": "closed hours take 13 h 27 min of it",
                }
            ]
        }
    )

    part: str
    process: str | None
    quantity: int
    starts: int = Field(description="parts begun")
    finish: datetime
    due: datetime | None
    late_min: int
    orders: list[OrderShiftAnswer] = Field(description="orders whose finish would change")
    kept: int = Field(description="tasks still to come that would stand as they stand")
    moved: int = Field(description="tasks that would stand elsewhere")
    because: str = Field(description="what keeps it longest")

    @classmethod
    def of(cls, tried: TriedOrder) -> TriedOrderAnswer:
        """Return the answer for an order that was tried."""
        zone = tried.zone
        return cls(
            part=tried.part,
            process=tried.process,
            quantity=tried.quantity,
            starts=tried.starts,
            finish=local(tried.finish, zone),
            due=None if tried.due is None else local(tried.due, zone),
            late_min=tried.late_min,
            orders=[shift_answer(shift, zone) for shift in tried.shifts],
            kept=tried.kept,
            moved=tried.moved,
            because=tried.because,
        )
