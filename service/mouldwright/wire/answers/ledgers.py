"""Answer to "how does everything stand?": moulds and stock together."""

from __future__ import annotations

from datetime import datetime

from pydantic import BaseModel

from mouldwright.wire.answers.mould_ledger import MouldStand
from mouldwright.wire.answers.stock_ledger import StockStand


class LedgersAnswer(BaseModel):
    """How every mould and every material stands by the log, and what the plan leaves of it."""

    now: datetime
    moulds: list[MouldStand]
    materials: list[StockStand]
