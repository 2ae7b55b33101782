"""Handing over: what cures, what must be taken up by when, what is at risk, who comes next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from mouldwright.domain.hours.opening import local
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.usecases.in_hand import InHand, in_hand
from mouldwright.usecases.services import Services
from mouldwright.usecases.today import Today, today
from mouldwright.usecases.today_told import NoticeTold, TaskInHand, in_hand_told, notice_told

_AT_RISK = frozenset(
    ("wait", "late", "moved", "close", "impossible", "no-plan", "out-of-date", "mould-life")
)
_LOOKED_AHEAD_MIN = 14 * 1440


@dataclass(frozen=True, slots=True, kw_only=True)
class Coming:
    """Someone who comes next.

    Attributes:
        name: As people call them.
        at: When, local to the shop.
    """

    person: str
    name: str
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Handover:
    """How the bench is handed over at one minute.

    Attributes:
        now: Local to the shop.
        has_plan: Whether a plan holds.
        curing: What runs with nobody's hands in it, the first to end first.
        attended: What someone's hands are in now.
        take_up: What goes on from no one's hands, and must be taken up next: the earliest limit
            first, those without one last. What hands are in says its own next step.
        at_risk: What breaks, is late or close.
        coming: Who comes next, each once, the first first.
    """

    now: datetime
    has_plan: bool
    curing: tuple[TaskInHand, ...]
    attended: tuple[TaskInHand, ...]
    take_up: tuple[TaskInHand, ...]
    at_risk: tuple[NoticeTold, ...]
    coming: tuple[Coming, ...]


def handover(services: Services, shop: str) -> tuple[Shop, Today, Handover]:
    """Return a shop, its today, and how it is handed over now. Raises Unknown."""
    kept, found = today(services, shop)
    return kept, found, handover_of(kept, found)


def handover_of(shop: Shop, found: Today) -> Handover:
    """Return how a bench is handed over, the plan taken as kept but for what the log tells."""
    plan, now = found.plan, found.now
    held = () if plan is None else in_hand(shop, plan, now)

    def told(several: list[InHand]) -> tuple[TaskInHand, ...]:
        return () if plan is None else tuple(in_hand_told(shop, plan, each) for each in several)

    return Handover(
        now=local(now, shop.zone),
        has_plan=plan is not None,
        curing=told([each for each in held if not each.is_attended and not each.is_over]),
        attended=told([each for each in held if each.is_attended]),
        take_up=told(_by_limit(plan, held)),
        at_risk=tuple(
            notice_told(each, shop.zone) for each in found.notices if each.kind in _AT_RISK
        ),
        coming=_coming(shop, now),
    )


def _by_limit(plan: Plan | None, held: tuple[InHand, ...]) -> list[InHand]:
    """Return what goes on, by the last it may; then by when it is planned to."""
    found: list[tuple[int, int, int, InHand]] = []
    for each in held:
        if plan is None or each.next_place is None or each.is_attended:
            continue
        # What goes on by itself waits for nobody.
        if not plan.tasks[each.next_place].people:
            continue
        limit = 2**62 if each.next_by is None else each.next_by
        found.append((limit, plan.tasks[each.next_place].start, each.place, each))
    return [each for *_, each in sorted(found, key=lambda row: row[:3])]


def _coming(shop: Shop, now: int) -> tuple[Coming, ...]:
    found = []
    for person in shop.people.values():
        ahead = shop.hours_of(person).windows(now, now + _LOOKED_AHEAD_MIN)
        start = next((start for start, _ in ahead if start > now), None)
        if start is not None:
            found.append(Coming(person=person.key, name=person.title, at=local(start, shop.zone)))
    return tuple(sorted(found, key=lambda each: (each.at, each.person)))
