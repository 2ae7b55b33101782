"""The board's verbs: judge a move, pin, un-pin, and compare two plans."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from mouldwright.domain.errors import Conflict, HardLimit
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.shop import Shop
from mouldwright.planning.moving import Move, Verdict, judge_move
from mouldwright.planning.pinned import Identity, identity
from mouldwright.planning.plan import OrderOutcome, Plan, Task
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.errors import Stale
from mouldwright.usecases.kept import Asked, Reply
from mouldwright.usecases.kept_pin import Pin
from mouldwright.usecases.once import once, reply_before
from mouldwright.usecases.pinned_plan import kept_tasks
from mouldwright.usecases.promise_ports import PromiseWriting
from mouldwright.usecases.services import Services

__all__ = [
    "Changes",
    "Move",
    "Verdict",
    "changes_between",
    "judge",
    "pin",
    "pin_once",
    "pins_of",
    "unpin",
]

# A plan of more tasks is not tried while someone waits; the run that makes it says what it can.
MOST_TRIED = 2_000
MOST_REASONS = 4


def judge(services: Services, shop: str, version: int, move: Move) -> Verdict:
    """Say what a move in a published plan does, all else left as it is; nothing is kept.

    Raises:
        Unknown: if there is no such plan.
        InvalidInput: if there is no such task, mould or person.
    """
    written, plan = _read(services, shop, version)
    return judge_move(written, plan, move, now=minute_of(services.clock()))


def pin(services: Services, shop: str, version: int, move: Move, *, by: str) -> Pin:
    """Pin a task where a move puts it, with what goes along; pins of the same work give way.

    Where the move breaks a rule with all else as it is, a plan around it is tried first.

    Raises:
        Unknown: if there is no such plan.
        Stale: if another plan holds meanwhile.
        InvalidInput: if there is no such task, mould or person.
        Conflict: if no plan can keep it there.
    """
    pinned, zone = _to_pin(services, shop, version, move, by=by)
    with services.units.write(shop) as unit:
        _keep(unit, pinned, version, zone)
        unit.commit()
    return pinned


def pin_once(
    services: Services,
    shop: str,
    version: int,
    move: Move,
    *,
    by: str,
    asked: Asked,
    present: Callable[[Pin], Reply],
) -> Reply:
    """Pin as ``pin`` does, once however often it is asked with one key. Raises as that does."""
    before = reply_before(services.units, shop, asked)
    if before is not None:
        return before
    pinned, zone = _to_pin(services, shop, version, move, by=by)

    def work(unit: PromiseWriting) -> Reply:
        _keep(unit, pinned, version, zone)
        return present(pinned)

    return once(services.units.write(shop), asked, work, now=pinned.pinned_at)


def _to_pin(services: Services, shop: str, version: int, move: Move, *, by: str) -> tuple[Pin, str]:
    """Return the pin of a move, tried where that is needed, and the shop's zone."""
    now = services.clock()
    written, plan = _read(services, shop, version)
    verdict = judge_move(written, plan, move, now=minute_of(now))
    moved = {identity(task) for task in verdict.moved}
    with services.units.read(shop) as unit:
        others = [p for p in unit.pins.all() if not _overlaps(p, moved)]
    if verdict.breaks:
        kept = [*verdict.moved, *(task for other in others for task in other.tasks)]
        _must_be_possible(written, plan, kept, verdict, now=minute_of(now))
    pinned = Pin(id=services.chance()[:16], tasks=verdict.moved, pinned_at=now, by=by)
    return pinned, written.zone


def _keep(unit: PromiseWriting, pinned: Pin, version: int, zone: str) -> None:
    """Keep a pin in place of those of the same work. Raises Stale if another plan holds."""
    holds = unit.plans.newest().version
    if holds != version:
        raise Stale(read=f"plan {version}", holds=f"plan {holds}")
    moved = {identity(task) for task in pinned.tasks}
    for other in unit.pins.all():
        if _overlaps(other, moved):
            unit.pins.remove(other.id)
    unit.pins.add(pinned, zone=zone)


def unpin(services: Services, shop: str, pin_id: str) -> None:
    """Take a pin out. Raises Unknown."""
    with services.units.write(shop) as unit:
        unit.pins.remove(pin_id)
        unit.commit()


def pins_of(services: Services, shop: str) -> tuple[Pin, ...]:
    """Return every pin, the first pinned first. Raises Unknown."""
    with services.units.read(shop) as unit:
        return unit.pins.all()


def _read(services: Services, shop: str, version: int) -> tuple[Shop, Plan]:
    with services.units.read(shop) as unit:
        plan = unit.plans.at(version).plan
    return read_booked(services.units, shop, services.written).without(), plan


def _overlaps(pinned: Pin, moved: set[Identity]) -> bool:
    return any(identity(task) in moved for task in pinned.tasks)


def _must_be_possible(
    shop: Shop, plan: Plan, pinned: list[Task], verdict: Verdict, *, now: int
) -> None:
    """Raise Conflict where no plan keeps what would be pinned."""
    reasons = verdict.breaks
    if all(task.start >= now for task in verdict.moved):
        if len(plan.tasks) > MOST_TRIED:
            return
        # The planner is slow to import, and most who look at a board pin nothing.
        from mouldwright.planning.run import make_plan

        try:
            make_plan(shop, now=now, seconds=0.0, **kept_tasks(shop, plan, pinned, now=now))
        except HardLimit as limit:
            reasons = limit.reasons
        else:
            return
    raise Conflict(
        "No plan can keep it there. " + " ".join(_sentence(r) for r in reasons[:MOST_REASONS]),
        remedy="Choose another time, or un-pin what is in its way.",
        stands="not pinned",
    )


def _sentence(words: str) -> str:
    words = words[0].upper() + words[1:]
    return words if words.endswith(".") else f"{words}."


@dataclass(frozen=True, slots=True, kw_only=True)
class ChanceChange:
    """How likely an order's day is kept, by the plan before and by the one after.

    Attributes:
        at_risk: Whether it is less likely now than the shop promises.
    """

    order: str
    before: float
    after: float
    at_risk: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Changes:
    """What one plan does otherwise than another.

    Attributes:
        moved: Tasks that stand elsewhere, as they were and as they are.
        new: Tasks that only the other has.
        gone: Tasks that only the one has.
        orders: Each order as it was and as it is, where its finish changes; None where it
            is in one plan only.
        chances: Of each order with a day, how likely it is kept, before and after; where both
            plans were gone through for their odds.
    """

    moved: tuple[tuple[Task, Task], ...]
    new: tuple[Task, ...]
    gone: tuple[Task, ...]
    same: int
    orders: tuple[tuple[OrderOutcome | None, OrderOutcome | None], ...]
    chances: tuple[ChanceChange, ...] = ()


def changes_between(one: Plan, other: Plan) -> Changes:
    """Return what changes from one plan to another; upkeep of moulds is left out."""
    before = {identity(task): task for task in one.tasks if task.members}
    after = {identity(task): task for task in other.tasks if task.members}
    moved, same = [], 0
    for key, task in after.items():
        if key in before and before[key] != task:
            moved.append((before[key], task))
        elif key in before:
            same += 1
    were = {order.number: order for order in one.orders}
    are = {order.number: order for order in other.orders}
    orders = [
        (were.get(number), are.get(number))
        for number in dict.fromkeys((*were, *are))
        if number not in were or number not in are or were[number].finish != are[number].finish
    ]
    return Changes(
        moved=tuple(moved),
        new=tuple(task for key, task in after.items() if key not in before),
        gone=tuple(task for key, task in before.items() if key not in after),
        same=same,
        orders=tuple(orders),
        chances=tuple(_chances(one, other)),
    )


def _chances(one: Plan, other: Plan) -> Iterator[ChanceChange]:
    if one.odds is None or other.odds is None:
        return
    before = {odds.number: odds.chance for odds in one.odds.orders}
    for odds in other.odds.orders:
        was = before.get(odds.number)
        if was is None or odds.chance is None:
            continue
        yield ChanceChange(
            order=odds.number,
            before=was,
            after=odds.chance,
            at_risk=odds.chance < other.odds.level,
        )
