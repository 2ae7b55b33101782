"""What a person needs this morning: what is in hand, today's work, what waits, what is due."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from mouldwright.domain.hours.opening import Window, local, minute_of
from mouldwright.domain.promise.booking import Booking
from mouldwright.domain.promise.revision import QuoteSummary
from mouldwright.domain.record.learnt_changes import LearntChange
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.usecases.as_told import as_told
from mouldwright.usecases.booked_shop import basis_of, with_orders
from mouldwright.usecases.day_sheet import DayStep, bounds_of, last_goes, left_alone, steps_of
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.in_hand import InHand, in_hand
from mouldwright.usecases.kept_run import KeptPlan, Page, Run
from mouldwright.usecases.lessons import waiting
from mouldwright.usecases.looked_at import waits_to_be_looked_at
from mouldwright.usecases.notice import Notice
from mouldwright.usecases.promises import lapse_quotes
from mouldwright.usecases.services import Services
from mouldwright.usecases.stage import ready_by_log
from mouldwright.usecases.todays_notices import notices_of

MOST_DUE = 8
RUNS_LOOKED_AT = 5
QUOTES_LOOKED_AT = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonToday:
    """One person's today.

    Attributes:
        hours: When the person is there.
        steps: What is booked, in the order of the day.
        booked_min: Minutes of it.
        now: The step being done, or else the next one; None where the day is done.
    """

    person: str
    hours: tuple[Window, ...]
    steps: tuple[DayStep, ...]
    booked_min: int
    now: DayStep | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DueOrder:
    """An order and its date.

    Attributes:
        finish: Minute it is ready by the plan; None where no plan has it.
        likely: Minute it is ready by as often as the shop promises; None where that is not known.
        is_ready: Whether it is ready already, by the plan, or by the log where there is none.
    """

    number: str
    part: str
    quantity: int
    customer: str
    due: int | None
    finish: int | None
    likely: int | None
    is_ready: bool

    @property
    def slack_min(self) -> int | None:
        """Return minutes in hand, below zero where it is late; None where that is not known."""
        return None if self.due is None or self.finish is None else self.due - self.finish


@dataclass(frozen=True, slots=True, kw_only=True)
class Today:
    """A day at the bench, seen at one minute of it.

    Attributes:
        in_hand: What runs and what stands, by the plan.
        tonight: What runs or stands as the last person goes.
        closes: Minute at which the last person goes; None where nobody comes today.
        due: The orders with the next dates.
        due_more: How many orders there are besides.
        made_at: When the plan was published; None for a plan that is not kept.
    """

    now: int
    zone: str
    day: date
    plan: Plan | None
    plan_version: int | None
    made_at: datetime | None
    is_current: bool
    in_hand: tuple[InHand, ...]
    tonight: tuple[InHand, ...]
    closes: int | None
    people: tuple[PersonToday, ...]
    notices: tuple[Notice, ...]
    due: tuple[DueOrder, ...]
    due_more: int


def today(services: Services, shop: str) -> tuple[Shop, Today]:
    """Return a shop with all that is booked, and its today. Raises Unknown."""
    lapse_quotes(services, shop)
    now = services.clock()
    with services.units.read(shop) as unit:
        version = unit.shops.now()
        declines = unit.declines.all()
        bookings = unit.bookings.open()
        log = unit.log.all()
        basis = basis_of(unit)
        before: Plan | None = None
        try:
            kept: KeptPlan | None = unit.plans.newest()
            if kept is not None and kept.version > 1 and log:
                before = unit.plans.at(kept.version - 1).plan
        except Unknown:
            kept = None
        runs = unit.runs.listed(limit=RUNS_LOOKED_AT)
        quotes = unit.quotes.listed(Page(limit=QUOTES_LOOKED_AT), state="sent")
    written = replace(services.written.read(version.document), log=log)
    written = with_orders(written, (b.order for b in bookings))
    found = today_of(
        written,
        None if kept is None else kept.plan,
        now=minute_of(now),
        kept=kept,
        is_current=kept is not None and kept.basis == basis,
        going=next((run for run in runs if not run.ended), None),
        ready=waits_to_be_looked_at(runs, kept, basis),
        failed=_failed(runs, kept),
        quotes=quotes,
        bookings=bookings,
        before=before,
        learnt=waiting(services.lessons.of(shop, version.version, written), declines),
    )
    return written, found


def today_of(
    shop: Shop,
    plan: Plan | None,
    *,
    now: int,
    kept: KeptPlan | None = None,
    is_current: bool = True,
    going: Run | None = None,
    ready: Run | None = None,
    failed: Run | None = None,
    quotes: Sequence[QuoteSummary] = (),
    bookings: Sequence[Booking] = (),
    before: Plan | None = None,
    learnt: Sequence[LearntChange] = (),
) -> Today:
    """Return today by a plan.

    Args:
        shop: With every open order.
        plan: Taken as kept to the minute, but for what the shop's log tells; None for none.
        now: Minute it is seen at.
        kept: How the plan was published; None where it was only made.
        is_current: Whether the plan is of the shop and its orders as they are.
        going: A run under way.
        ready: A run whose plan waits to be looked at.
        failed: The newest run, where it found that no plan can be made.
        quotes: Those with customers.
        bookings: Open orders that came from quotes.
        before: The plan that held before; None where there is none.
        learnt: Changes the log speaks for, that nobody took or left.
    """
    day = local(now, shop.zone).date()
    told = as_told(shop, plan, now=now)
    written, planned, shop, plan = shop, plan, told.shop, told.plan
    people = tuple(_person(shop, plan, key, day, now) for key in shop.people)
    closes = last_goes(shop, bounds_of(day, shop.zone))
    due = _due(shop, plan, now)
    found = () if plan is None else in_hand(shop, plan, now)
    return Today(
        now=now,
        zone=shop.zone,
        day=day,
        plan=plan,
        plan_version=None if kept is None else kept.version,
        made_at=None if kept is None else kept.made_at,
        is_current=is_current,
        in_hand=found,
        tonight=() if plan is None or closes is None else left_alone(shop, plan, closes),
        closes=closes,
        people=people,
        notices=notices_of(
            written,
            planned,
            now=now,
            in_hand=found,
            is_current=is_current,
            going=going,
            ready=ready,
            failed=failed,
            quotes=quotes,
            bookings=bookings,
            told=told,
            before=before,
            learnt=learnt,
            to_make=sum(not each.is_ready for each in due),
        ),
        due=tuple(due[:MOST_DUE]),
        due_more=max(0, len(due) - MOST_DUE),
    )


def _failed(runs: Iterable[Run], kept: KeptPlan | None) -> Run | None:
    """Return the newest run that ended, where it found no plan and none was published since."""
    last = next((run for run in runs if run.ended and run.state != "stale"), None)
    if last is None or last.state not in ("impossible", "set aside") or last.ended_at is None:
        return None
    return last if kept is None or kept.made_at < last.ended_at else None


def _person(shop: Shop, plan: Plan | None, key: str, day: date, now: int) -> PersonToday:
    steps = () if plan is None else steps_of(shop, plan, key, day)
    booked = sum(
        max(0, min(b, each.end) - max(a, each.start))
        for step in steps
        for each in step.tasks
        for a, b in each.task.spans
    )
    return PersonToday(
        person=key,
        hours=shop.hours_of(shop.people[key]).windows(*bounds_of(day, shop.zone)),
        steps=steps,
        booked_min=booked,
        now=next((step for step in steps if step.end > now), None),
    )


def _due(shop: Shop, plan: Plan | None, now: int) -> list[DueOrder]:
    """Return every order, those that are ready last, else the first due first."""
    planned = {} if plan is None else {outcome.number: outcome for outcome in plan.orders}
    # A plan says when what is done was done; without one the log does.
    ready = ready_by_log(shop) if plan is None else frozenset()
    found = []
    for order in shop.orders:
        outcome = planned.get(order.number)
        finish = None if outcome is None else outcome.finish
        found.append(
            DueOrder(
                number=order.number,
                part=order.part,
                quantity=order.quantity,
                customer=order.customer,
                due=None if order.due is None else minute_of(order.due),
                finish=finish,
                likely=None if plan is None else plan.likely(order.number),
                is_ready=order.number in ready or (finish is not None and finish <= now),
            )
        )
    last = 2**62
    return sorted(found, key=lambda o: (o.is_ready, last if o.due is None else o.due, o.number))
