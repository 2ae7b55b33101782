"""What a plan's sessions cost, beside those its orders were reckoned with one by one."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from mouldwright.domain.costing.cost_model import cost_model
from mouldwright.domain.costing.labour import hour_cost_of, mean_hour_cost
from mouldwright.domain.costing.matching import good_pieces
from mouldwright.domain.costing.session_cost import SessionCost, overhead_min
from mouldwright.domain.errors import CannotBeMade
from mouldwright.domain.order import Order
from mouldwright.domain.part.constituent import Charge
from mouldwright.domain.part.mass import charge
from mouldwright.domain.quantity import exact
from mouldwright.domain.room import Session
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan, WorkSession
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.promise_lists import read_plan
from mouldwright.usecases.services import Services


def session_costs(shop: Shop, plan: Plan) -> tuple[SessionCost, ...]:
    """Return the cost of every kind of session, as planned and as reckoned without a plan.

    Work on sets themselves is planned and not reckoned here: it is priced with its set.
    """
    found = []
    for session in shop.sessions.values():
        mine = [each for each in plan.sessions if each.session == session.key]
        reckoned = list(_reckoned(shop, session, plan))
        assumed = sum((count for count, _, _ in reckoned), Fraction(0))
        costs = [cost for _, cost, _ in reckoned]
        used = sum((count * each for count, _, each in reckoned), Fraction(0))
        hands = None if None in costs else sum((c for c in costs if c is not None), Fraction(0))
        found.append(
            SessionCost(
                session=session,
                planned=len(mine),
                assumed=int(assumed),
                planned_min=sum(each.gear_up_min + each.clean_down_min for each in mine),
                assumed_min=int(assumed) * overhead_min(session),
                planned_cost=sum((_cost(shop, plan, each) for each in mine), Fraction(0)),
                assumed_cost=None if hands is None else hands + used,
            )
        )
    return tuple(found)


def sessions_of_plan(services: Services, shop: str) -> tuple[Shop, tuple[SessionCost, ...]]:
    """Return a shop and what the sessions of the plan that holds cost. Raises Unknown."""
    found = read_plan(services.units, shop)
    written = read_booked(services.units, shop, services.written).without()
    return written, session_costs(written, found.kept.plan)


def _cost(shop: Shop, plan: Plan, session: WorkSession) -> Fraction:
    """Return what one session of a plan costs: hands, overhead, and what each process uses up."""
    hours = Fraction(session.gear_up_min + session.clean_down_min, 60)
    person = shop.people.get(session.person)
    rate = hour_cost_of(person, shop) if person is not None else Fraction(0)
    processes = {
        task.process
        for task in plan.tasks
        if session.person in task.people
        and task.start >= session.start
        and task.end <= session.end
        and task.process in shop.processes
    }
    used = sum((_used_up(shop, key) for key in processes), Fraction(0))
    return hours * (rate + exact(shop.overhead_per_hour)) + used


def _used_up(shop: Shop, process: str) -> Fraction:
    consumables = shop.processes[process].consumables
    return sum((exact(c.cost) for c in consumables if c.per == "session"), Fraction(0))


def _reckoned(
    shop: Shop, session: Session, plan: Plan
) -> Iterator[tuple[Fraction, Fraction | None, Fraction]]:
    """Yield for each planned order's parts: sessions, what hands cost, what one uses up."""
    planned = {outcome.number for outcome in plan.orders}
    for order in shop.orders:
        if order.number not in planned:
            continue
        for part_key, process_key, quantity in _parts(shop, order):
            part, process = shop.part(part_key), shop.process(process_key)
            model = cost_model(shop, part, process, charge=_loaded(shop, part_key, process_key))
            counts = model.counts(model.starts(quantity))
            for need in model.sessions:
                if need.session.key != session.key:
                    continue
                count = counts[need.count]
                rate = mean_hour_cost(shop, need.skill)
                hours = count * overhead_min(session) / 60
                hands = None if rate is None else hours * (rate + exact(shop.overhead_per_hour))
                yield count, hands, _used_up(shop, process_key)


def _parts(shop: Shop, order: Order) -> list[tuple[str, str, int]]:
    sold = shop.sets.get(order.part)
    if sold is not None:
        pieces = good_pieces(shop, sold, order.quantity)
        return [(p.part, p.process, n) for p, n in zip(sold.parts, pieces, strict=True)]
    process = order.process or next(iter(shop.part(order.part).made_by), "")
    return [(order.part, process, order.quantity)]


def _loaded(shop: Shop, part: str, process: str) -> Charge | None:
    try:
        return charge(shop, shop.part(part), shop.process(process))
    except CannotBeMade:
        return None
