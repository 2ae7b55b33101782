"""Turning a process into a routing: its steps, its holds, and where it is cut into blocks."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from mouldwright.domain.material import Material
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Hold, Process
from mouldwright.domain.quantity import exact
from mouldwright.planning.ground import Footing
from mouldwright.planning.routing import (
    BATCH,
    MICROGRAMS,
    NEVER,
    ORDER,
    PART,
    UNIT,
    Block,
    Crews,
    Keep,
    Limits,
    Routing,
    Step,
)


def compile_routing(
    key: str,
    operations: Sequence[Operation],
    *,
    process: Process | None,
    crews: Crews,
    stations: Mapping[str, int],
    with_hours: frozenset[int],
    materials: Mapping[str, Material],
    rooms: Mapping[str, int],
    ground: Callable[[Operation], Footing],
) -> Routing:
    """Return the routing of a process, or of a set's own operations (``process`` None).

    Stations are given by their index; ``with_hours`` are those with hours of their own,
    ``rooms`` the parts a unit of each takes, where it counts parts; ``ground`` says what an
    operation stands on.
    """
    has_pulls = process is not None and process.has_pulls
    place = {operation.name: i for i, operation in enumerate(operations)}
    chains = _chains(operations)
    levels = [_level(operation, has_pulls=has_pulls) for operation in operations]
    holds = process.holds if process is not None else ()
    keeps = tuple(
        _keep(i, hold, place, levels, chains, stations, has_pulls=has_pulls)
        for i, hold in enumerate(holds)
    )

    def made(i: int, operation: Operation) -> Step:
        step = _step(
            i, operation, place, levels, chains, keeps, crews, stations, with_hours, materials
        )
        return _aged(_footed(step, ground(operation)), process)

    steps = tuple(made(i, operation) for i, operation in enumerate(operations))
    conditioning = process.conditioning if process is not None else None
    return Routing(
        key=key,
        has_pulls=has_pulls,
        steps=steps,
        keeps=keeps,
        blocks=_blocks(steps, keeps),
        limits=tuple(
            _limits(steps, chain, materials, rooms, has_pulls=has_pulls)
            for chain in range(max(chains, default=-1) + 1)
        ),
        conditioning=None
        if conditioning is None
        else _footed(
            _step(0, conditioning, {}, [UNIT], [-1], (), crews, stations, with_hours, materials),
            ground(conditioning),
        ),
    )


def _level(operation: Operation, *, has_pulls: bool) -> int:
    """Return what one task of it is done on."""
    if operation.per == "order":
        return ORDER
    if operation.per == "batch":
        return BATCH
    if operation.per == "part" and has_pulls:
        return PART
    return UNIT


def _chains(operations: Sequence[Operation]) -> list[int]:
    """Number the runs of consecutive batch operations; -1 for all others."""
    found, chain = [], -1
    for i, operation in enumerate(operations):
        if operation.per != "batch":
            found.append(-1)
            continue
        if i == 0 or operations[i - 1].per != "batch":
            chain += 1
        found.append(chain)
    return found


def _keep(
    index: int,
    hold: Hold,
    place: Mapping[str, int],
    levels: Sequence[int],
    chains: Sequence[int],
    stations: Mapping[str, int],
    *,
    has_pulls: bool,
) -> Keep:
    """Return a hold with what takes one unit of it."""
    first, last = place[hold.first], place[hold.last]
    is_mould = hold.resource == "mould"
    level = levels[first]
    if is_mould or (level == BATCH and chains[last] != chains[first]):
        # A mould makes one pull; and what outlasts its batch is kept by each pull.
        level = UNIT
    return Keep(
        index=index,
        station=-1 if is_mould else stations[hold.resource],
        first=first,
        last=last,
        level=level if has_pulls or level != PART else UNIT,
    )


def _step(
    i: int,
    operation: Operation,
    place: Mapping[str, int],
    levels: Sequence[int],
    chains: Sequence[int],
    keeps: Sequence[Keep],
    crews: Crews,
    stations: Mapping[str, int],
    with_hours: frozenset[int],
    materials: Mapping[str, Material],
) -> Step:
    """Return one operation compiled."""
    within = tuple(k for k in keeps if k.first <= i <= k.last)
    own = -1 if operation.station is None else stations[operation.station]
    held = any(k.station == own for k in within)
    uses = {k.station for k in within if k.station >= 0} | ({own} if own >= 0 else set())
    preds = tuple(sorted(place[name] for name in operation.after)) or ((i - 1,) if i else ())
    mix = materials[operation.material].mix if operation.material else None
    return Step(
        index=i,
        operation=operation,
        level=levels[i],
        crew=crews.of(operation.skill) if operation.attended else -1,
        people=operation.people if operation.attended else 0,
        station=-1 if held else own,
        hours_of=tuple(sorted(uses & with_hours)),
        exact=not operation.attended and bool(preds) and (own < 0 or held),
        preds=preds,
        wait_min=operation.wait_min,
        wait_max=NEVER if operation.wait_max_min is None else operation.wait_max_min,
        interruptible=operation.attended and operation.interruptible,
        pot_life_min=NEVER if mix is None else mix.pot_life_min,
        pot_until=place[operation.pot_life_until] if mix and operation.pot_life_until else -1,
        chain=chains[i],
        starts_holds=tuple(k.index for k in within if k.first == i),
        ends_holds=tuple(k.index for k in within if k.last == i),
        within=tuple(k.index for k in within),
    )


def _footed(step: Step, footing: Footing) -> Step:
    """Return a step on its footing; work of a session does not pause."""
    return replace(
        step,
        room=footing.room,
        session=footing.session,
        cure=footing.cure,
        pot=footing.pot,
        fastest=footing.fastest,
        slowest=footing.slowest,
        interruptible=step.interruptible and not footing.session,
    )


def _aged(step: Step, process: Process | None) -> Step:
    """Return a step with the step that age counts from, where it asks for an age."""
    age_min = step.operation.least_age_min
    serial = None if process is None else process.serial_place
    if not age_min or serial is None or serial >= step.index:
        return step
    return replace(step, age_of=serial, age_min=age_min)


def _tied(step: Step, steps: Sequence[Step]) -> bool:
    """Return whether a step must be placed together with those it follows."""
    preds = _really_before(step, steps)
    if not preds:
        return False
    if step.wait_max < NEVER:
        return True
    if not step.exact:
        return False
    # A start that may not wait is sure by itself, unless a station's hours, a room's state
    # or a hold that begins could refuse it. Where it gathers finer tasks it is placed once the
    # last of them has ended.
    return bool(step.hours_of or step.starts_holds or step.room) or all(
        step.level <= steps[p].level for p in preds
    )


def _really_before(step: Step, steps: Sequence[Step]) -> frozenset[int]:
    """Return the steps that one may follow: past those that only some parts go through."""
    found: set[int] = set()
    left = list(step.preds)
    while left:
        p = left.pop()
        if p not in found:
            found.add(p)
            left += [] if steps[p].operation.is_for_all else steps[p].preds
    return frozenset(found)


def _blocks(steps: Sequence[Step], keeps: Sequence[Keep]) -> tuple[Block, ...]:
    """Cut a routing between steps wherever no tie spans the cut."""
    open_cut = [True] * len(steps)

    def close(first: int, last: int) -> None:
        for cut in range(first, last):
            open_cut[cut] = False

    for step in steps:
        if _tied(step, steps):
            close(min(_really_before(step, steps)), step.index)
        if step.pot_until > step.index:
            close(step.index, step.pot_until)
    # A start that may not wait would wait if a later step of its block held it back.
    for step in reversed(steps):
        if step.exact and step.index + 1 < len(steps) and not open_cut[step.index]:
            close(min(_really_before(step, steps)), step.index)
    runs: list[list[Step]] = [[]]
    for step in steps:
        runs[-1].append(step)
        if open_cut[step.index] and step.index + 1 < len(steps):
            runs.append([])
    block_of = {step.index: b for b, run in enumerate(runs) for step in run}
    formed: set[int] = set()
    found = []
    for b, run in enumerate(runs if steps else []):
        chains = [s.chain for s in run if s.chain >= 0]
        forms = next((c for c in chains if c not in formed), -1)
        follows = next((c for c in chains if c in formed), -1)
        formed.update(chains)
        preds = {block_of[p] for s in run for p in (*s.preds, s.age_of) if p >= 0} - {b}
        # A later step of a formed batch may wait for something of its own: the batch is
        # formed only once that is done too.
        for chain in {c for c in chains if c == forms}:
            first = next(s.index for s in steps if s.chain == chain)
            more = (p for s in steps if s.chain == chain for p in s.preds if p < first)
            preds |= {block_of[p] for p in more} - {b}
        taken = [keeps[k] for s in run for k in s.starts_holds]
        found.append(
            Block(
                index=b,
                steps=tuple(run),
                level=max(s.level for s in run),
                forms=forms,
                follows=follows,
                preds=tuple(sorted(preds)),
                takes_mould=any(k.station < 0 for k in taken),
                stations=tuple(
                    sorted(
                        {k.station for k in taken if k.station >= 0}
                        | {s.station for s in run if s.station >= 0}
                    )
                ),
            )
        )
    return tuple(found)


def _limits(
    steps: Sequence[Step],
    chain: int,
    materials: Mapping[str, Material],
    rooms: Mapping[str, int],
    *,
    has_pulls: bool,
) -> Limits:
    """Return what a batch of that chain may hold: its limits stand at its first operation.

    A mix made anywhere in the chain limits the batch too, since the batch is kept.
    """
    run = [s.operation for s in steps if s.chain == chain]
    first = run[0]
    units = NEVER if first.batch_pulls is None else first.batch_pulls
    parts = NEVER if first.batch_parts is None else first.batch_parts
    for operation in run:
        if operation.station is not None and rooms.get(operation.station):
            parts = min(parts, rooms[operation.station])
    if not has_pulls:
        units, parts = min(units, parts), NEVER
    mixed, lost = NEVER * MICROGRAMS, Fraction(0)
    for operation in run:
        mix = materials[operation.material].mix if operation.material else None
        if mix is not None:
            lost += exact(mix.lost_g)
            room = exact(mix.most_mixed_g) - exact(mix.lost_g)
            room /= 1 + exact(mix.lost_share)
            mixed = min(mixed, int(room * MICROGRAMS // 1))
    mass = NEVER * MICROGRAMS
    if first.batch_g is not None:
        mass = int((exact(first.batch_g) - lost) * MICROGRAMS)
    return Limits(units=units, parts=parts, mixed_ug=mixed, mass_ug=mass)
