"""What runs or stands, as Today and the day sheet show it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from mouldwright.domain.shown import listed
from mouldwright.usecases.today_told import TaskInHand
from mouldwright.web.places import shop_path
from mouldwright.web.words import moment


@dataclass(frozen=True, slots=True, kw_only=True)
class InHandView:
    """A task in hand.

    Attributes:
        tool: Mould, or stations where there is none.
        when: Until when it goes on, or since when it stands.
        path: Where it is opened; empty where the plan is not kept.
        then: What comes next, when and by whom.
        by: The last it may begin.
    """

    what: str
    of: str
    tool: str
    orders: tuple[str, ...]
    when: str
    hands: str
    stands: bool
    path: str
    then: str
    by: str


def in_hand_view(shop: str, version: int | None, day: date, each: TaskInHand) -> InHandView:
    """Return the view of a task in hand.

    Args:
        shop: The shop's key.
        version: Of the plan; None where it is not kept.
        day: Times of that day are shown without it.
        each: The task.
    """
    path = ""
    if version is not None:
        path = shop_path(shop, f"board/{version}/tasks/t{each.place}")
    then = by = ""
    if each.then is not None:
        then = f"{each.then.operation}, {_at(day, each.then.start)}"
        then += f" by {listed(each.then.people)}" if each.then.people else ""
        by = "" if each.then.by is None else _at(day, each.then.by)
    when = f"{'stands since' if each.stands else 'until'} {_at(day, each.end)}"
    return InHandView(
        what=each.operation.capitalize(),
        of=each.what,
        tool=each.where,
        orders=each.orders,
        when=when,
        hands=listed(each.people) if each.people and not each.stands else "",
        stands=each.stands,
        path=path,
        then=then,
        by=by,
    )


def _at(day: date, at: datetime) -> str:
    """Return the time of day where it is of that day, else the day too."""
    return f"{at:%H:%M}" if at.date() == day else moment(at)
