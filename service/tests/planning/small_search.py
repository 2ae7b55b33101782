"""The best plan of a tiny shop by trying every order of its work.

Tries every sequence of attended and station steps, each placed at the first minute its
people, station and mould allow after what the sequence put there before. Some best plan
is found so: take any plan, sort its tasks by their start, and place them again in that
order; none starts later than it did, since every resource is taken in the same order and
opening hours never make an earlier start end later. That argument fails where a task may
come too early (a greatest wait, a pot life), so such shops are refused here.

Batches are not for this search either: ``oven_loads`` in the tests tries those.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations

from small_search_state import Chain, Search, Tools

from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.shop import Shop

_FAR_MIN = 60 * 1440


@dataclass(frozen=True, kw_only=True)
class Best:
    """The best reachable, weighted lateness first, then the finish from now."""

    weighted_late_min: int
    finish_min: int


def best_plan(shop: Shop, now: int) -> Best:
    """Return the best plan of a shop of a few pulls; every process goes by single units."""
    search = _laid_out(shop, now)
    _explore(search)
    late, finish = search.best
    return Best(weighted_late_min=late, finish_min=finish - now)


def _laid_out(shop: Shop, now: int) -> Search:
    chains: list[Chain] = []
    tools: dict[str, Tools] = {}
    for alike, order in enumerate(shop.orders):
        process = shop.process(order.process or "")
        for operation in process.operations:
            refused = (
                operation.per not in ("pull", "part")
                or operation.wait_max_min is not None
                or operation.pot_life_until is not None
                or operation.after
            )
            if refused or any(hold.resource != "mould" for hold in process.holds):
                raise ValueError(f"{operation.name}: not for this search")
        family = next(iter(shop.families(order.part, process.key)), None)
        if family is not None and family.key not in tools:
            tools[family.key] = Tools(
                free=[now] * len(family.moulds),
                since=[m.pulls_since_conditioning for m in family.moulds],
                every=family.conditioned_every_pulls,
                upkeep=process.conditioning,
            )
        if process.has_pulls and family is not None and family.cavities != 1:
            raise ValueError("one cavity a mould, for this search")
        begins = (
            now if order.release is None else max(now, -(-int(order.release.timestamp()) // 60))
        )
        count = order.starts or order.quantity
        for unit in range(count):
            # Parts are alike: the first so many go through what is done to a share of them.
            passing = frozenset(
                o.name
                for o in process.operations
                if unit >= -(-Fraction(o.applies_to_share) * count // 1)
            )
            own = replace(
                process,
                operations=tuple(o for o in process.operations if o.name not in passing),
                reworks=(),
            )
            hold = next(iter(own.holds), None)
            chains.append(
                Chain(
                    order=order,
                    process=own,
                    family=family if hold else None,
                    ready=begins,
                    hold=(own.index(hold.first), own.index(hold.last)) if hold else None,
                    alike=(alike, len(passing)),
                )
            )
            if hold and family is not None:
                tools[family.key].left += 1
    return Search(
        shop=shop,
        now=now,
        chains=chains,
        tools=tools,
        windows={
            p.key: shop.hours_of(p).windows(now, now + _FAR_MIN) for p in shop.people.values()
        },
        people=dict.fromkeys(shop.people, now),
        stations={s.key: [now] * s.count for s in shop.stations.values()},
        ends={o.number: now for o in shop.orders},
    )


def _explore(search: Search) -> None:
    key = _state(search)
    if key in search.seen:
        return
    search.seen.add(key)
    if _bound(search) >= search.best:
        return
    waiting = [c for c in search.chains if c.place < len(c.process.operations)]
    if not waiting:
        search.best = min(search.best, _value(search, search.ends))
        return
    for chain in waiting:
        # What needs nobody and nothing begins by itself: there is nothing to choose.
        operation = chain.process.operations[chain.place]
        takes_mould = chain.hold is not None and chain.place == chain.hold[0]
        if not operation.attended and operation.station is None and not takes_mould:
            _step(search, chain)
            return
    tried = set()
    for chain in waiting:
        like = (chain.alike, chain.place, chain.ready, chain.serial, chain.mould)
        if like not in tried:
            tried.add(like)
            _step(search, chain)
    for tools in search.tools.values():
        _upkeep(search, tools)


def _state(search: Search) -> tuple[object, ...]:
    return (
        tuple(
            sorted(
                (c.alike, c.place, c.ready, c.serial, -1 if c.mould is None else c.mould)
                for c in search.chains
            )
        ),
        tuple(search.people.items()),
        tuple(tuple(units) for units in search.stations.values()),
        tuple((tuple(t.free), tuple(t.since)) for t in search.tools.values()),
        tuple(search.ends.items()),
        tuple(sorted(search.last.items())),
        tuple(sorted(search.rooms.items())),
    )


def _value(search: Search, ends: dict[str, int]) -> tuple[int, int]:
    late = 0
    for order in search.shop.orders:
        if order.due is not None:
            late += order.weight * max(0, ends[order.number] - minute_of(order.due))
    return late, max(ends.values())


def _bound(search: Search) -> tuple[int, int]:
    ends = dict(search.ends)
    for chain in search.chains:
        rest = chain.process.operations[chain.place :]
        least = chain.ready + sum(o.wait_min + (0 if o.cures else o.duration_min(1)) for o in rest)
        ends[chain.order.number] = max(ends[chain.order.number], least)
    return _value(search, ends)


def _step(search: Search, chain: Chain) -> None:
    """Try the chain's next operation on every mould, station and crew it could have."""
    operation = chain.process.operations[chain.place]
    earliest = chain.ready + (operation.wait_min if chain.place else 0)
    if operation.least_age_h:
        earliest = max(earliest, chain.serial + int(operation.least_age_h * 60))
    for mould in _moulds(search, chain):
        tools = search.tools[chain.family.key] if chain.family else None
        begins = earliest
        if tools is not None and mould is not None and chain.mould is None:
            begins = max(begins, tools.free[mould])
        for start, end, people, unit in _placements(search, operation, begins):
            _place(search, chain, start, end, people, operation, unit, mould, tools)


def _moulds(search: Search, chain: Chain) -> Iterator[int | None]:
    if chain.family is None or chain.hold is None or chain.place != chain.hold[0]:
        yield chain.mould
        return
    tools = search.tools[chain.family.key]
    tried = set()
    for mould, free in enumerate(tools.free):
        due = tools.every is not None and tools.upkeep and tools.since[mould] >= tools.every
        like = (free, tools.since[mould])
        if free < _FAR_MIN + search.now and not due and like not in tried:
            tried.add(like)
            yield mould


def _placements(
    search: Search, operation: Operation, earliest: int
) -> Iterator[tuple[int, int, tuple[str, ...], int | None]]:
    units: list[int | None] = [None]
    if operation.station is not None:
        free = search.stations[operation.station]
        units = [free.index(moment) for moment in sorted(set(free))]
    work = operation.duration_min(1)
    for unit in units:
        begins = earliest
        if unit is not None:
            begins = max(begins, search.stations[operation.station or ""][unit])
        if not operation.attended:
            yield begins, _alone_until(search, operation, begins, work), (), unit
            continue
        begins = max(begins, _settled(search, operation))
        able = [p.key for p in search.shop.with_skill(operation.skill)]
        for crew in combinations(able, operation.people):
            moment = max([begins, *(search.people[p] for p in crew)])
            if search.shop.sessions:
                placed = _geared_up(search, crew[0], begins, work, operation)
            else:
                placed = _worked(search, crew, moment, work, operation.interruptible)
            yield placed[0], placed[1], crew, unit


def _alone_until(search: Search, operation: Operation, start: int, work: int) -> int:
    """Return when it is through: what sets counts minute by minute how warm it is."""
    material = search.shop.materials.get(operation.cures or "")
    warm = search.shop.temperatures
    if warm is None or material is None or material.warmth is None:
        return start + work
    if (start, work) not in search.cured:
        gone, end = 0, start
        while gone < work * 1_000_000:
            moment = local(end, search.shop.zone)
            season, minute = warm.on(moment.date()), moment.hour * 60 + moment.minute
            is_day = warm.day[0] <= minute < warm.day[1]
            gone += material.warmth.cure_speed(season.day_c if is_day else season.night_c)
            end += 1
        search.cured[start, work] = end
    return search.cured[start, work]


def _settled(search: Search, operation: Operation) -> int:
    """Return when the room of an operation is free of other states, what was placed counted."""
    if operation.in_room is None:
        return search.now
    room = search.shop.rooms[operation.in_room]
    return max(
        (
            end + room.settles_min(state)
            for (key, state), end in search.rooms.items()
            if key == room.key and state != operation.room_state
        ),
        default=search.now,
    )


def _geared_up(
    search: Search, person: str, earliest: int, work: int, operation: Operation
) -> tuple[int, int]:
    """Return when one person can do it: gearing up before, cleaning down after, in one opening.

    Within the opening of their last task they come out of its session first, unless the work
    is of the same one.
    """
    sessions = search.shop.sessions
    own = search.shop.session_of(operation)
    gear, clean = (own.gear_up_min, own.clean_down_min) if own else (0, 0)
    free, last = search.people[person], search.last.get(person, "")
    left, first = work, None
    for opens, closes in search.windows[person]:
        if free > closes:
            continue
        ready = opens + gear
        if opens < free <= closes:
            out = sessions[last].clean_down_min if last else 0
            ready = free if last == (own.key if own else "") else free + out + gear
        start = max(ready, earliest)
        if start >= closes:
            continue
        if start + left + clean <= closes:
            return start if first is None else first, start + left
        if operation.interruptible and own is None:
            first = start if first is None else first
            left -= closes - start
    raise ValueError("the work fits into no opening")


def _worked(
    search: Search, crew: tuple[str, ...], earliest: int, work: int, pauses: bool
) -> tuple[int, int]:
    """Return the first start, and the end, of so much work by these people together."""
    windows = search.windows[crew[0]]
    shared = list(windows[max(bisect_right(windows, (earliest, 1 << 60)) - 1, 0) :])
    for person in crew[1:]:
        shared = [
            (max(a, c), min(b, d))
            for a, b in shared
            for c, d in search.windows[person]
            if max(a, c) < min(b, d)
        ]
    left, first = work, None
    for opens, closes in shared:
        start = max(opens, earliest)
        if start >= closes:
            continue
        if start + left <= closes:
            return start if first is None else first, start + left
        if pauses:
            first = start if first is None else first
            left -= closes - start
    raise ValueError("the work fits into no opening")


def _place(
    search: Search,
    chain: Chain,
    start: int,
    end: int,
    people: tuple[str, ...],
    operation: Operation,
    unit: int | None,
    mould: int | None,
    tools: Tools | None,
) -> None:
    """Do it, explore what follows, and take it back."""
    before = (chain.place, chain.ready, chain.mould, chain.serial)
    kept = (search.people, search.ends, search.stations, search.last, search.rooms)
    tools_kept = (tools.free, tools.since, tools.left) if tools else None
    # Change copies: the loops above still walk over what was there before.
    search.people = {**search.people, **dict.fromkeys(people, end)}
    own = search.shop.session_of(operation)
    search.last = {**search.last, **dict.fromkeys(people, own.key if own else "")}
    if operation.in_room is not None:
        where = (operation.in_room, operation.room_state or "")
        search.rooms = {**search.rooms, where: max(end, search.rooms.get(where, end))}
    search.ends = dict(search.ends)
    search.stations = {key: list(free) for key, free in search.stations.items()}
    if unit is not None:
        search.stations[operation.station or ""][unit] = end
    chain.mould = mould
    if tools is not None and mould is not None and chain.hold is not None:
        tools.free, tools.since = list(tools.free), list(tools.since)
        if chain.place == chain.hold[0]:
            tools.free[mould] = search.now + 2 * _FAR_MIN
            tools.since[mould] += 1
            tools.left -= 1
        if chain.place == chain.hold[1]:
            tools.free[mould] = end
            chain.mould = None
    if chain.place == chain.process.serial_place:
        chain.serial = end
    chain.place, chain.ready = chain.place + 1, end
    search.ends[chain.order.number] = max(search.ends[chain.order.number], end)
    _explore(search)
    chain.place, chain.ready, chain.mould, chain.serial = before
    search.people, search.ends, search.stations, search.last, search.rooms = kept
    if tools is not None and tools_kept is not None:
        tools.free, tools.since, tools.left = tools_kept


def _upkeep(search: Search, tools: Tools) -> None:
    """Try conditioning each mould that is due and free, where a pull is still to come."""
    if tools.upkeep is None or tools.every is None or not tools.left:
        return
    for mould, free in enumerate(tools.free):
        if tools.since[mould] < tools.every or free > search.now + _FAR_MIN:
            continue
        for _, end, people, unit in _placements(search, tools.upkeep, free):
            if unit is not None:
                raise ValueError("conditioning at a station is not for this search")
            before = (search.people, tools.free, tools.since)
            search.people = {**search.people, **dict.fromkeys(people, end)}
            tools.free, tools.since = list(tools.free), list(tools.since)
            tools.free[mould], tools.since[mould] = end, 0
            _explore(search)
            search.people, tools.free, tools.since = before
