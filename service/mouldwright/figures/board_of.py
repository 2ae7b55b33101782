"""A plan as a board."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import pairwise
from typing import Literal

from mouldwright.domain.place_titles import place_title
from mouldwright.domain.shop import Shop, Station
from mouldwright.domain.shown import lasting, listed
from mouldwright.figures.board import Board, BoardBar, BoardLevel, BoardOrder, BoardRow
from mouldwright.figures.board_rooms import room_bars, room_rows
from mouldwright.figures.time_scale import ZOOMS, moment
from mouldwright.planning.plan import Plan, Task

# A station of more units than this is drawn as a level: how many are taken, over time.
_MOST_UNIT_ROWS = 3
ShownRows = Literal["all", "moulds", "machines", "people", "rooms"]


def board_of(
    shop: Shop,
    plan: Plan,
    *,
    marks: Mapping[str, int],
    zoom: str = "week",
    first: int | None = None,
    now: int | None = None,
    chosen: str | None = None,
    shown_rows: ShownRows = "all",
) -> Board:
    """Return the board of a plan.

    Args:
        shop: Its people, stations, moulds and hours.
        plan: What is planned; its order of tasks gives them their keys, "t0" on.
        marks: How each process is drawn, by key.
        zoom: How much time it shows, a key of ``ZOOMS``.
        first: Left edge; None begins at the plan's now.
        now: Where the now-line stands; None, the plan's.
        chosen: Key of the task the reader chose.
        shown_rows: Which rows it has; a task stands on the first of its own that is shown.

    Raises:
        ValueError: if there is no such zoom.
    """
    if zoom not in ZOOMS:
        raise ValueError(f"{zoom!r} is no zoom of the board: choose one of {', '.join(ZOOMS)}")
    shown = ZOOMS[zoom]
    start = plan.now if first is None else first
    end = start + shown.span_min
    rows = (
        *(_mould_rows(shop) if shown_rows in ("all", "moulds") else ()),
        *(_unit_rows(shop) if shown_rows in ("all", "machines") else ()),
    )
    ground = room_rows(shop, plan) if shown_rows in ("all", "rooms") else ()
    people = tuple(
        BoardRow(key=p.key, title=p.title, hours=shop.hours_of(p).windows(start, end))
        for p in (shop.people.values() if shown_rows in ("all", "people") else ())
    )
    row_keys = {row.key for row in (*rows, *people)}
    bound_by = _what_binds(plan, {row.key for row in rows})
    bars = [
        *_bars(shop, plan, row_keys, marks, set(bound_by.values()), (start, end)),
        *_waits(plan, {row.key for row in rows}, (start, end)),
        *(room_bars(shop, plan, (start, end)) if ground else ()),
    ]
    return Board(
        title=f"{shop.name}: moulds by time",
        zone=plan.zone,
        first=start,
        last=end,
        open=shop.hours.windows(start, end),
        rows=(*rows, *ground),
        bars=tuple(bars),
        levels=_levels(shop, plan) if shown_rows in ("all", "machines") else (),
        people=people,
        orders=_orders(shop, plan, bound_by),
        now=plan.now if now is None else now,
        closed_share=shown.closed_share,
        chosen=chosen,
    )


def _mould_rows(shop: Shop) -> tuple[BoardRow, ...]:
    names = [f.name(mould) for f in shop.moulds.values() for mould in f.moulds]
    return tuple(BoardRow(key=name, title=place_title(shop, name)) for name in names)


def _has_rows(station: Station) -> bool:
    return station.room is None and station.count <= _MOST_UNIT_ROWS


def _unit_rows(shop: Shop) -> tuple[BoardRow, ...]:
    return tuple(
        BoardRow(key=f"{s.key} {unit}", title=place_title(shop, f"{s.key} {unit}"))
        for s in shop.stations.values()
        if _has_rows(s)
        for unit in range(1, s.count + 1)
    )


def _orders_in(task: Task) -> tuple[str, ...]:
    return tuple(dict.fromkeys(member.order for member in task.members))


def _bars(
    shop: Shop,
    plan: Plan,
    rows: set[str],
    marks: Mapping[str, int],
    binding: set[str],
    shown: tuple[int, int],
) -> Iterable[BoardBar]:
    titles = {person.key: person.title for person in shop.people.values()}
    for at, task in enumerate(plan.tasks):
        if task.end <= shown[0] or task.start >= shown[1]:
            continue
        on = [task.mould, *task.stations, *task.people]
        places = [row for row in dict.fromkeys(on) if row is not None and row in rows]
        if not places:
            continue
        orders = ", ".join(_orders_in(task))
        label = f"{orders} {task.operation}" if orders else task.operation
        yield BoardBar(
            key=f"t{at}",
            row=places[0],
            also=tuple(places[1:]),
            spans=task.spans,
            kind="hands" if task.people else "alone",
            # Work for no order makes or keeps a mould.
            mark=marks.get(task.process) if orders else None,
            labels=(label, orders) if orders else (label,),
            name=_name(task, titles, plan.zone),
            is_binding=f"t{at}" in binding,
        )


def _name(task: Task, titles: Mapping[str, str], zone: str) -> str:
    words = [task.operation]
    for member in task.members:
        what = [f"order {member.order}"]
        for kind, ids in (("pull", member.pulls), ("part", member.parts)):
            if ids:
                what.append(f"{kind if len(ids) == 1 else kind + 's'} {_ids(ids)}")
        words.append(" ".join(what))
    if task.mould:
        words.append(task.mould)
    words.append(f"{moment(task.start, zone)} to {moment(task.end, zone)}")
    if len(task.spans) > 1:
        words.append(f"pauses, {lasting(sum(b - a for a, b in task.spans))} worked")
    people = [titles.get(person, person) for person in task.people]
    words.append(listed(people) if people else "nobody needed")
    return ", ".join(words)


def _ids(ids: tuple[int, ...]) -> str:
    """Return "4", or "1 to 6" for a run, or the numbers."""
    if len(ids) > 2 and ids[-1] - ids[0] == len(ids) - 1:
        return f"{ids[0]} to {ids[-1]}"
    return listed([str(number) for number in ids])


def _waits(plan: Plan, rows: set[str], shown: tuple[int, int]) -> Iterable[BoardBar]:
    """Yield the time a mould or unit is kept for a pull while nothing is done to it."""
    by_row: dict[str, list[Task]] = {}
    for task in plan.tasks:
        for row in (task.mould, *task.stations):
            if row is not None and row in rows and task.members:
                by_row.setdefault(row, []).append(task)
    for row, tasks in by_row.items():
        tasks.sort(key=lambda task: (task.start, task.end))
        for at, (before, after) in enumerate(pairwise(tasks)):
            start, end = before.end, after.start
            if start >= end or before.members != after.members:
                continue
            if end > shown[0] and start < shown[1]:
                yield BoardBar(
                    key=f"wait-{row}-{at}",
                    row=row,
                    spans=((start, end),),
                    kind="waits",
                    labels=(lasting(end - start),),
                    name=f"stands and waits for {after.operation}, {lasting(end - start)}",
                )


def _levels(shop: Shop, plan: Plan) -> tuple[BoardLevel, ...]:
    found = []
    for station in shop.stations.values():
        if _has_rows(station):
            continue
        changes: dict[int, int] = {}
        for start, end, taken in _taken(plan, station):
            changes[start] = changes.get(start, 0) + taken
            changes[end] = changes.get(end, 0) - taken
        steps, count = [], 0
        for minute, change in sorted(changes.items()):
            count += change
            steps.append((minute, count))
        places = station.count * (station.room or 1)
        found.append(BoardLevel(title=station.title, places=places, steps=tuple(steps)))
    return tuple(found)


def _taken(plan: Plan, station: Station) -> Iterable[tuple[int, int, int]]:
    """Yield from when to when how many places of a station are taken.

    A unit that is held stays taken between the tasks of one pull.
    """
    last: dict[tuple[str, object], tuple[int, int]] = {}
    for task in sorted(plan.tasks, key=lambda task: (task.start, task.end)):
        for unit in task.stations:
            if unit.rpartition(" ")[0] != station.key:
                continue
            if station.room is not None:
                yield task.start, task.end, max(sum(len(m.parts) for m in task.members), 1)
                continue
            key = (unit, task.members)
            since = last[key][0] if key in last else task.start
            last[key] = (since, max(task.end, last.get(key, (0, 0))[1]))
    for since, until in last.values():
        yield since, until, 1


def _what_binds(plan: Plan, rows: set[str]) -> dict[str, str]:
    """Return, for each late order, the key of its last task on a mould or a unit."""
    late = {order.number for order in plan.orders if order.late_min}
    found: dict[str, tuple[int, str]] = {}
    for at, task in enumerate(plan.tasks):
        if not any(row in rows for row in (task.mould, *task.stations)):
            continue
        for number in _orders_in(task):
            if number in late and task.end >= found.get(number, (0, ""))[0]:
                found[number] = (task.end, f"t{at}")
    return {number: key for number, (_, key) in found.items()}


def _orders(shop: Shop, plan: Plan, bound_by: Mapping[str, str]) -> tuple[BoardOrder, ...]:
    starts: dict[str, int] = {}
    for task in plan.tasks:
        for number in _orders_in(task):
            starts[number] = min(task.start, starts.get(number, task.start))
    titles = {order.number: _title(shop, order.part) for order in shop.orders}
    return tuple(
        BoardOrder(
            number=outcome.number,
            title=titles.get(outcome.number, ""),
            start=starts.get(outcome.number, outcome.finish),
            finish=outcome.finish,
            due=outcome.due,
            bound_by=bound_by.get(outcome.number),
            why=outcome.binds[0] if outcome.binds else "",
        )
        for outcome in plan.orders
    )


def _title(shop: Shop, key: str) -> str:
    found = shop.parts.get(key) or shop.sets.get(key)
    return found.title if found else key
