"""What must hold of a month, worked out from its log alone."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from decimal import Decimal

from mouldwright.client.shop import Shop as ServedShop
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.shop import Shop
from mouldwright.wire.service.log import LogEntryAnswer

Span = tuple[int, int, str]


class Broken(AssertionError):
    """Raised where something that must hold does not."""


def watch(served: ServedShop, shop: Shop) -> tuple[int, int]:
    """Look through a month's log and ledgers; return how many tasks and pulls were done.

    Raises:
        Broken: if a person or mould was in two places, work began out of hours, or a ledger
            does not balance.
    """
    log = [entry for entry in served.log.list() if entry.holds]
    done = _pairs(log)
    _nobody_twice(done)
    _no_mould_twice(done)
    _in_hours(done, shop)
    pulls = _moulds_balance(served, shop, log)
    _stock_balances(served)
    numbers = sorted(entry.number for entry in served.log.list())
    if numbers != list(range(1, len(numbers) + 1)):
        raise Broken("the log's numbers have a gap")
    return len(done), pulls


def _pairs(log: Sequence[LogEntryAnswer]) -> list[tuple[LogEntryAnswer, int, int]]:
    """Return each task begun with its minutes; one still under way ends as it began."""
    begun: dict[str, list[LogEntryAnswer]] = defaultdict(list)
    found = []
    for entry in sorted(log, key=lambda each: (each.at, each.number)):
        if entry.task is None:
            continue
        name = entry.task.model_dump_json()
        if entry.what == "started":
            begun[name].append(entry)
        elif entry.what in {"finished", "stopped"}:
            first = begun[name].pop(0)
            found.append((first, minute_of(first.at), minute_of(entry.at)))
    return found


def _apart(name: str, of: Iterable[Span]) -> None:
    last: Span | None = None
    for span in sorted(of):
        if last is not None and span[0] < last[1]:
            raise Broken(f"{name} was at {last[2]} and at {span[2]} at once")
        last = span


def _nobody_twice(done: Sequence[tuple[LogEntryAnswer, int, int]]) -> None:
    spans: dict[str, list[Span]] = defaultdict(list)
    for entry, start, end in done:
        for person in entry.people:
            spans[person].append((start, end, entry.task.operation if entry.task else ""))
    for person, of in spans.items():
        _apart(person, of)


def _no_mould_twice(done: Sequence[tuple[LogEntryAnswer, int, int]]) -> None:
    """Raise Broken where a pull was begun in a mould before the one in it was out."""
    in_it: dict[str, dict[tuple[str, int], Span]] = defaultdict(dict)
    for entry, start, end in done:
        task = entry.task
        if task is None or task.mould is None:
            continue
        for member in task.members:
            for pull in member.pulls:
                before = in_it[task.mould].get((member.order, pull), (start, end, ""))
                span = min(before[0], start), max(before[1], end), f"{member.order}, pull {pull}"
                in_it[task.mould][member.order, pull] = span
    for mould, of in in_it.items():
        _apart(mould, of.values())


def _in_hours(done: Sequence[tuple[LogEntryAnswer, int, int]], shop: Shop) -> None:
    """Raise Broken where hands began outside their hours; what took longer may end after them."""
    for entry, start, end in done:
        for person in entry.people if start < end else ():
            hours = shop.hours_of(shop.people[person]).windows(start - 1440, end + 1440)
            if not any(a <= start < b for a, b in hours):
                operation = entry.task.operation if entry.task else ""
                raise Broken(f"{person} began {operation} out of hours")


def _moulds_balance(served: ServedShop, shop: Shop, log: Sequence[LogEntryAnswer]) -> int:
    """Raise Broken where a mould's pulls are not those that the log shows it gave or spoiled."""
    out: dict[str, set[tuple[str, int]]] = defaultdict(set)
    on: dict[tuple[str, int], str] = {}
    for entry in log:
        task = entry.task
        if task is not None and task.mould is not None:
            pulls = {(m.order, pull) for m in task.members for pull in m.pulls}
            on |= dict.fromkeys(pulls, task.mould)
            holds = shop.processes[task.process].holds if task.process in shop.processes else ()
            is_out = any(h.resource == "mould" and h.last == task.operation for h in holds)
            if entry.what == "stopped" or (entry.what == "finished" and is_out):
                out[task.mould] |= pulls
        if entry.what == "scrapped":
            for member in entry.members:
                for pull in member.pulls:
                    if (member.order, pull) in on:
                        out[on[member.order, pull]].add((member.order, pull))
    counted = 0
    for stand in served.ledgers.moulds().moulds:
        if stand.counted_pulls != len(out[stand.name]):
            raise Broken(
                f"{stand.name} gave {len(out[stand.name])} pulls and its ledger counts "
                f"{stand.counted_pulls}"
            )
        if stand.opening_pulls + stand.counted_pulls != stand.pulls:
            raise Broken(f"the pulls of {stand.name} do not add up")
        counted += stand.counted_pulls
    return counted


def _stock_balances(served: ServedShop) -> None:
    for stand in served.ledgers.stock().materials:
        of = (stand.opening, stand.received, stand.used, stand.counted, stand.left)
        opening, received, used, counted, left = map(Decimal, of)
        if opening + received - used + counted != left:
            raise Broken(f"{stand.material}: {opening} + {received} - {used} + {counted} != {left}")
