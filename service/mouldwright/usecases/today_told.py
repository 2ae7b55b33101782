"""Today as it is told: in titles and local times, the same to a page, a program and a terminal."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from mouldwright.domain.hours.opening import local
from mouldwright.domain.place_titles import place_title
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan, Task
from mouldwright.usecases.in_hand import InHand, units_of
from mouldwright.usecases.notice import Notice
from mouldwright.usecases.today import DueOrder, PersonToday, Today
from mouldwright.usecases.todays_notices import FEW_MIN

DueState = Literal["ready", "late", "close", "in time", "no date", "not planned"]


@dataclass(frozen=True, slots=True, kw_only=True)
class NextStep:
    """What comes after a task.

    Attributes:
        start: When it is planned.
        by: The last it may begin, by a greatest wait or a pot life; None without a limit.
        people: Who does it, by name.
    """

    place: int
    operation: str
    start: datetime
    by: datetime | None
    people: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskInHand:
    """A task in hand.

    Attributes:
        place: In the plan's tasks, from 0.
        what: Title of the part or set; empty for the upkeep of a mould.
        people: Whose hands are in it, by name.
        where: What people call its mould, or else its stations.
        stands: Whether it is over, and its pull stands and waits.
        then: What comes after it; None where nothing does.
    """

    place: int
    operation: str
    process: str
    part: str
    what: str
    mould: str | None
    stations: tuple[str, ...]
    where: str
    orders: tuple[str, ...]
    people: tuple[str, ...]
    start: datetime
    end: datetime
    stands: bool
    then: NextStep | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonTold:
    """One person's today.

    Attributes:
        hours: From when to when the person is there.
        steps: How many steps are booked.
        doing: The step being done, or else the next; empty where the day is done.
        doing_from: When that begins.
        until: When the last step ends; None where there is none.
    """

    person: str
    name: str
    hours: tuple[tuple[datetime, datetime], ...]
    steps: int
    booked_min: int
    doing: str
    doing_from: datetime | None
    until: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticeTold:
    """Something that waits for someone; see ``todays_notices.Notice``."""

    kind: str
    key: str
    text: str
    at: datetime | None
    presses: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DueTold:
    """An order and its date.

    Attributes:
        slack_min: Minutes in hand, below zero where it is late.
    """

    number: str
    part: str
    what: str
    quantity: int
    customer: str
    due: datetime | None
    finish: datetime | None
    likely: datetime | None
    slack_min: int | None
    state: DueState


@dataclass(frozen=True, slots=True, kw_only=True)
class TodayTold:
    """Today; see ``today.Today``."""

    now: datetime
    day: date
    zone: str
    plan_version: int | None
    has_plan: bool
    is_current: bool
    in_hand: tuple[TaskInHand, ...]
    tonight: tuple[TaskInHand, ...]
    closes: datetime | None
    people: tuple[PersonTold, ...]
    notices: tuple[NoticeTold, ...]
    due: tuple[DueTold, ...]
    due_more: int


def told(shop: Shop, today: Today) -> TodayTold:
    """Return today as it is told."""
    teller = _Teller(shop, today.plan, today.zone)
    return TodayTold(
        now=teller.at(today.now),
        day=today.day,
        zone=today.zone,
        plan_version=today.plan_version,
        has_plan=today.plan is not None,
        is_current=today.is_current,
        in_hand=tuple(teller.in_hand(each) for each in today.in_hand),
        tonight=tuple(teller.in_hand(each) for each in today.tonight),
        closes=teller.at_or_none(today.closes),
        people=tuple(teller.person(each) for each in today.people),
        notices=tuple(notice_told(each, today.zone) for each in today.notices),
        due=tuple(teller.due(each) for each in today.due),
        due_more=today.due_more,
    )


def notice_told(each: Notice, zone: str) -> NoticeTold:
    """Return a notice as it is told."""
    return NoticeTold(
        kind=each.kind,
        key=each.key,
        text=each.text,
        at=None if each.at is None else local(each.at, zone),
        presses=each.presses,
    )


def in_hand_told(shop: Shop, plan: Plan, each: InHand) -> TaskInHand:
    """Return a task in hand as it is told."""
    return _Teller(shop, plan, plan.zone).in_hand(each)


class _Teller:
    """Knows the shop's titles and its clock."""

    def __init__(self, shop: Shop, plan: Plan | None, zone: str) -> None:
        self.shop, self.plan, self.zone = shop, plan, zone

    def at(self, minute: int) -> datetime:
        return local(minute, self.zone)

    def at_or_none(self, minute: int | None) -> datetime | None:
        return None if minute is None else self.at(minute)

    def title(self, key: str) -> str:
        sold = self.shop.parts.get(key) or self.shop.sets.get(key)
        return sold.title if sold else key

    def names(self, task: Task) -> tuple[str, ...]:
        people = self.shop.people
        return tuple(people[key].title if key in people else key for key in task.people)

    def in_hand(self, each: InHand) -> TaskInHand:
        task = each.task
        units = task.stations if self.plan is None else units_of(self.shop, self.plan, each)
        return TaskInHand(
            place=each.place,
            operation=task.operation,
            process=task.process,
            part=task.part,
            what=self.title(task.part) if task.members else "",
            mould=task.mould,
            stations=units,
            where=", ".join(
                place_title(self.shop, name) for name in ((task.mould,) if task.mould else units)
            ),
            orders=tuple(dict.fromkeys(member.order for member in task.members)),
            people=self.names(task),
            start=self.at(task.start),
            end=self.at(task.end),
            stands=each.is_over,
            then=self._next(each),
        )

    def _next(self, each: InHand) -> NextStep | None:
        if each.next_place is None or self.plan is None:
            return None
        following = self.plan.tasks[each.next_place]
        return NextStep(
            place=each.next_place,
            operation=following.operation,
            start=self.at(following.start),
            by=self.at_or_none(each.next_by),
            people=self.names(following),
        )

    def person(self, each: PersonToday) -> PersonTold:
        last = max((step.end for step in each.steps), default=None)
        doing = each.now
        return PersonTold(
            person=each.person,
            name=self.shop.people[each.person].title,
            hours=tuple((self.at(start), self.at(end)) for start, end in each.hours),
            steps=len(each.steps),
            booked_min=each.booked_min,
            doing="" if doing is None else doing.tasks[0].task.operation,
            doing_from=None if doing is None else self.at(doing.start),
            until=self.at_or_none(last),
        )

    def due(self, each: DueOrder) -> DueTold:
        return DueTold(
            number=each.number,
            part=each.part,
            what=self.title(each.part),
            quantity=each.quantity,
            customer=each.customer,
            due=self.at_or_none(each.due),
            finish=self.at_or_none(each.finish),
            likely=self.at_or_none(each.likely),
            slack_min=each.slack_min,
            state=_state(each),
        )


def _state(each: DueOrder) -> DueState:
    slack = each.slack_min
    if each.is_ready:
        return "ready"
    if each.finish is None:
        return "not planned"
    if slack is None:
        return "no date"
    if slack < 0:
        return "late"
    return "close" if slack < FEW_MIN else "in time"
