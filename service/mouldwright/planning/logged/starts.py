"""How many starts an order still needs, once the log says what came of those begun."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from mouldwright.domain.costing.scrap import GoodRates, fewest_starts, good_rates
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.planning.logged.pieces import Piece
from mouldwright.planning.logged.reading import LogRead
from mouldwright.planning.plan import Task
from mouldwright.planning.toolmaking import serving


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """What is known of one piece of an order, and what is still to be begun.

    Attributes:
        units: Units there are numbers for: those begun, those to come, and those dropped.
        begun: Units of which something was done.
        dropped: Units that turned out not to be needed.
        good: Parts through all that could spoil them.
        judged: Parts of which it is known whether they are good.
        to_begin: Units still to be begun.
        furthest: For each part begun, the place of the last operation it has been through.
        lost: Parts that go no further: unit and which of its parts, and from which minute.
        passed: The same as ``furthest``, by the place of a part among all of the piece.
        seconds: Places of parts that are seconds.
    """

    piece: Piece
    units: int
    begun: frozenset[int]
    dropped: frozenset[int]
    good: int
    judged: int
    to_begin: int
    furthest: dict[tuple[int, int], int]
    lost: dict[tuple[int, int], int]
    passed: dict[int, int]
    seconds: frozenset[int]


def outlook(
    shop: Shop, piece: Piece, read: LogRead, running: Iterable[Task], *, now: int
) -> Outlook:
    """Return how a piece stands.

    Where the log does not tell of its order, all stays as it was planned at first. Else as many
    more are begun as the missing good parts ask for by the shop's own rule; of those planned the
    last are dropped that are not needed. A number that the order states itself stands as long as
    it can still give enough.

    Raises:
        InvalidInput: if a good rate cannot be right.
    """
    process = shop.process(piece.process)
    places = {operation.name: at for at, operation in enumerate(process.operations)}
    furthest: dict[tuple[int, int], int] = {}
    begun: set[int] = set()
    for task in running:
        if task.process != piece.process or task.operation not in places:
            continue
        at = places[task.operation]
        for place in _parts_in(piece, task):
            begun.add(place[0])
            if task.start <= now:
                through = at if task.end <= now else at - 1
                furthest[place] = max(furthest.get(place, -1), through)
    lost = {}
    for part, loss in read.lost.get(piece.order, {}).items():
        known = piece.numbers.place_of_part(part)
        if known is not None:
            lost[known] = loss.minute
            begun.add(known[0])
    named = (piece.numbers.place_of_part(part) for part in read.seconds.get(piece.order, ()))
    seconds = {each for each in named if each is not None}
    families = serving(shop, piece.part, piece.process) if process.uses_mould else ()
    rates = good_rates(process, families[0].loss_rate if families else 0)
    sure = _sure_after(process, may_lose_mould=rates.pull < 1)
    living = {(unit, c) for unit in begun for c in range(piece.cavities)} - lost.keys() - seconds
    good = {part for part in living if furthest.get(part, -1) >= sure}
    judged = len(good) + len(lost) + len(seconds - lost.keys())
    to_begin = max(piece.units - len(begun), 0)
    if piece.order in read.tells_of:
        to_begin = _to_begin(shop, rates, piece, len(good), len(living - good), to_begin)
    free = [unit for unit in range(piece.units + to_begin + len(begun)) if unit not in begun]
    chosen = set(free[:to_begin])
    units = max([piece.units, *(unit + 1 for unit in begun | chosen)])
    return Outlook(
        piece=piece,
        units=units,
        begun=frozenset(begun),
        dropped=frozenset(range(units)) - begun - chosen,
        good=len(good),
        judged=judged,
        to_begin=to_begin,
        furthest=furthest,
        lost=lost,
        passed={unit * piece.cavities + c: at for (unit, c), at in furthest.items() if at >= 0},
        seconds=frozenset(unit * piece.cavities + c for unit, c in seconds),
    )


def _to_begin(
    shop: Shop, rates: GoodRates, piece: Piece, good: int, under_way: int, planned: int
) -> int:
    """Return the units still to begin, given the good parts and those not judged yet."""
    missing = piece.quantity - good
    if missing <= 0:
        return 0
    if piece.is_fixed and good + under_way + planned * piece.cavities >= piece.quantity:
        return planned
    starts = fewest_starts(
        missing, rates, cavities=piece.cavities, service_level=shop.service_level
    ).starts
    return max(-(-(starts - under_way) // piece.cavities), 0)


def _sure_after(process: Process, *, may_lose_mould: bool) -> int:
    """Return the place of the last operation that a part may fail at; -1 where none spoils any."""
    places = [
        at
        for at, operation in enumerate(process.operations)
        if operation.good_rate < 1 or operation.second_rate > 0 or operation.rework
    ]
    if may_lose_mould:
        places += [process.index(hold.last) for hold in process.holds if hold.resource == "mould"]
    return max(places, default=-1)


def _parts_in(piece: Piece, task: Task) -> Iterable[tuple[int, int]]:
    """Yield the unit and part of everything of a piece that takes part in a task."""
    for member in task.members:
        if member.order != piece.order:
            continue
        if member.parts:
            for part in member.parts:
                place = piece.numbers.place_of_part(part)
                if place is not None:
                    yield place
            continue
        for pull in member.pulls:
            unit = piece.numbers.unit_of_pull(pull)
            if unit is not None:
                yield from ((unit, c) for c in range(piece.cavities))
