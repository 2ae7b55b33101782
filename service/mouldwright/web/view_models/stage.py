"""How far an order is, in words for its customer: the stage and the next date, nothing else."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from mouldwright.usecases.stage import OrderStage
from mouldwright.web.words import long_day, moment

_STAGES = {
    "waiting": "It is booked, and its work has not begun.",
    "being made": "It is being made.",
    "being finished": "It is being finished.",
    "ready": "It is ready to ship.",
    "called off": "It was called off.",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class StageView:
    """What the page says.

    Attributes:
        next: The next date; empty where nothing says when.
        seen: When it was looked at.
    """

    stage: str
    next: str
    seen: str


def stage_view(found: OrderStage, now: datetime) -> StageView:
    """Return what a customer reads."""
    said = ""
    if found.next_day is not None:
        day = long_day(found.next_day)
        said = f"Its work begins {day}." if found.stage == "waiting" else f"It is ready {day}."
    elif found.stage in ("waiting", "being made", "being finished"):
        said = "There is no date we can give you today."
    if found.is_later:
        later = "It will be ready" if found.stage == "waiting" else "That is"
        said += f" {later} later than we promised; we are sorry, and will tell you why."
    return StageView(stage=_STAGES[found.stage], next=said, seen=f"As of {moment(now)}.")
