"""A shop as it stands: moulds, people and deliveries as the log has left them by one minute."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from mouldwright.domain.costing.material_wait import drawn_by
from mouldwright.domain.errors import MouldwrightError
from mouldwright.domain.hours.opening import Window, local, minute_of
from mouldwright.domain.material import Stock
from mouldwright.domain.order import Order
from mouldwright.domain.process.mould import Mould, MouldFamily
from mouldwright.domain.process.process import Process
from mouldwright.domain.record.log import Happening
from mouldwright.domain.record.stock_ledger import stock_as_it_stands
from mouldwright.domain.shop import Shop
from mouldwright.planning.logged.done import Done
from mouldwright.planning.logged.reading import LogRead, read_log


def as_it_stands(shop: Shop, *, now: int, read: LogRead | None = None) -> Shop:
    """Return a shop as its log has left it, counted as of now; itself where it has no log.

    A mould that was lost or retired stays named and takes no more pulls; one that was made is at
    hand. What is returned may be given again and stays the same.

    Args:
        shop: With its open orders and its log.
        now: Minutes since the epoch; what happened later is left out.
        read: Its log as read, where that is known.
    """
    if not shop.log:
        return shop
    read = read_log(shop, now=now) if read is None else read
    since = _counted_from(shop)
    return replace(
        shop,
        moulds={key: _family(shop, family, read, since) for key, family in shop.moulds.items()},
        people={
            key: replace(person, away=_away(shop, key, person.away, read))
            for key, person in shop.people.items()
        },
        stock=_stock(shop, now),
        orders=tuple(_released(shop, order, read) for order in shop.orders),
        counted=datetime.fromtimestamp((now + 1) * 60, UTC),
    )


def _counted_from(shop: Shop) -> int | None:
    """Return the minute from which entries move what is counted; None for all of them."""
    since = shop.counts_since
    return None if since is None else minute_of(since)


# Moulds.


def _family(shop: Shop, family: MouldFamily, read: LogRead, since: int | None) -> MouldFamily:
    process = shop.processes.get(family.process)
    if process is None:
        return family
    at_hand = [*family.moulds, *_made(shop, family, read)]
    moulds = tuple(_mould(family, mould, process, read, since) for mould in at_hand)
    lost = sum(1 for mould in moulds if family.name(mould) in read.lost_moulds)
    made = len(at_hand) - len(family.moulds)
    again = max(lost - made, 0) if family.made_by is not None else 0
    return replace(family, moulds=moulds, to_make=max(family.to_make, again))


def _made(shop: Shop, family: MouldFamily, read: LogRead) -> Iterator[Mould]:
    """Yield the moulds of a family that were made, as the log tells, and are written nowhere."""
    maker = shop.processes.get(family.made_by or "")
    if maker is None or not maker.operations:
        return
    known = {family.name(mould) for mould in family.moulds}
    for done in read.done:
        task = done.task
        is_last = task.process == maker.key and task.operation == maker.operations[-1].name
        if task.members or not is_last or done.state != "over" or task.mould in known:
            continue
        key, _, number = (task.mould or "").rpartition(" ")
        if key == family.key:
            known.add(task.mould or "")
            yield Mould(number=number)


def _mould(
    family: MouldFamily, mould: Mould, process: Process, read: LogRead, since: int | None
) -> Mould:
    """Return a mould with the pulls and coats that the log tells of."""
    name = family.name(mould)
    upkeep = None if process.conditioning is None else process.conditioning.name
    # When it was given back or conditioned, and by which pull; None for a conditioning.
    turns: list[tuple[int, tuple[str, int] | None]] = [
        (end, ("", nth)) for nth, end in enumerate(_proofs(family, name, process, read))
    ]
    pulls: dict[tuple[str, int], int] = {}
    for done in read.done:
        task = done.task
        if task.mould != name or task.process != family.process:
            continue
        if not task.members:
            if task.operation == upkeep and done.state == "over":
                turns.append((task.end, None))
            continue
        for member in task.members:
            for pull in member.pulls:
                if (member.order, pull) in read.counted:
                    key = (member.order, pull)
                    pulls[key] = max(pulls.get(key, task.end), task.end)
    turns += [(end, key) for key, end in pulls.items()]
    taken, conditioned = mould.pulls, mould.pulls_since_conditioning
    for end, turn in sorted(turns, key=lambda t: (t[0], t[1] is None)):
        if since is not None and end < since:
            continue
        if turn is None:
            conditioned = 0
        else:
            taken, conditioned = taken + 1, conditioned + 1
    return replace(
        mould,
        pulls=taken,
        pulls_since_conditioning=conditioned,
        is_out=mould.is_out or name in read.out,
    )


def _proofs(family: MouldFamily, name: str, process: Process, read: LogRead) -> tuple[int, ...]:
    """Return when each pull that proved a mould gave it back."""
    if not family.proof_pulls or not process.proof.operations:
        return ()
    last = process.proof.operations[-1]
    ends = sorted(
        done.task.end
        for done in read.done
        if not done.task.members
        and (done.task.mould, done.task.process, done.task.operation)
        == (name, process.key, last.name)
        and done.state == "over"
    )
    each = family.cavities if last.per == "part" else 1
    return tuple(ends[each - 1 :: each])


# People.


def _away(shop: Shop, key: str, known: Sequence[Window], read: LogRead) -> tuple[Window, ...]:
    """Return when someone is away; without an end, until the day is over."""
    found = set(known)
    for entry in read.entries:
        if entry.what is not Happening.PERSON_AWAY or key not in entry.people:
            continue
        start = minute_of(entry.at)
        if entry.until is not None:
            end = minute_of(entry.until)
        else:
            day = local(start, shop.zone)
            midnight = (day + timedelta(days=1)).replace(hour=0, minute=0, second=0, microsecond=0)
            end = minute_of(midnight)
        if end > start:
            found.add((start, end))
    return tuple(sorted(found))


# Stock.


def _stock(shop: Shop, now: int) -> Stock:
    """Return what is left in stock and still to come; as written where plans take it as there."""
    if shop.materials_planned != "from stock":
        return shop.stock
    return stock_as_it_stands(shop, at=datetime.fromtimestamp(now * 60 + 59, UTC))


def _released(shop: Shop, order: Order, read: LogRead) -> Order:
    """Return an order that waits for a late delivery, where nothing of it is on the shelf."""
    if order.number in {m.order for done in read.done for m in done.task.members}:
        return order
    late: dict[str, datetime] = {}
    for entry in read.entries:
        if entry.material is None:
            continue
        if entry.what is Happening.DELIVERY_LATE and entry.until is not None:
            late[entry.material] = max(entry.until, late.get(entry.material, entry.until))
        if entry.what is Happening.RECEIVED:
            late.pop(entry.material, None)
    for key in list(late):
        if any(lot.arrives is None for lot in shop.stock.lots.get(key, ())):
            del late[key]
    if not late:
        return order
    try:
        drawn = {material for material, _ in drawn_by(shop, order)}
    except MouldwrightError:
        return order
    until = [late[material] for material in drawn if material in late]
    if not until:
        return order
    return replace(order, release=max([*until, *([order.release] if order.release else [])]))


def making(shop: Shop, read: LogRead) -> tuple[Done, ...]:
    """Return the work on moulds, for no order, that the planner still builds upon.

    Of a mould being made all of it; of one at hand what was done since its last pull. What came
    before is in its counts.
    """
    written = {f.name(m) for f in shop.moulds.values() for m in f.moulds}
    last: dict[str, int] = {}
    for done in read.done:
        mould = done.task.mould
        if mould is None:
            continue
        for member in done.task.members:
            if any((member.order, pull) in read.counted for pull in member.pulls):
                last[mould] = max(last.get(mould, done.task.end), done.task.end)
    for family in shop.moulds.values():
        process = shop.processes.get(family.process)
        for one in family.moulds if process is not None else ():
            name = family.name(one)
            proved = _proofs(family, name, shop.processes[family.process], read)
            if proved:
                last[name] = max(last.get(name, proved[-1]), proved[-1])
    found = []
    for done in read.done:
        task = done.task
        if task.members or task.mould is None or done.state == "stopped":
            continue
        makes = shop.mould_work(task.process, task.operation, task.mould) == "making"
        if task.mould not in written if makes else task.start >= last.get(task.mould, task.start):
            found.append(done)
    return tuple(found)
