"""What is batched together: how many pulls or parts share a mix, a plate or an oven load.

Consecutive operations ``per = "batch"`` keep the batch formed at the first of them. Its
members are pulls, or parts in a process without pulls, and one pull is never split over
two batches. A batch is limited by the counts and the mass its first operation states, by
a station's room, by the moulds or stations its members hold all together, and for a mix
by the most that may be mixed at once and by pot life.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.material import Mix
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.pot_life import pot_life_members
from mouldwright.domain.process.process import Process
from mouldwright.domain.quantity import exact
from mouldwright.domain.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchLoad:
    """What one pull (or one part, without pulls) brings into its batches.

    Attributes:
        parts: Parts of a pull; 1 in a process without pulls.
        mixed_g: Grams each mixed material gives to it, by material, losses left out.
        mass_g: Its mass where a limit on mass does not concern a mix.
    """

    parts: int
    mixed_g: dict[str, Fraction]
    mass_g: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class MixNeed:
    """A mixing operation's demand.

    Attributes:
        operation: Name of the mixing operation.
        each_g: Grams a pull (or part) takes, losses in proportion included.
    """

    operation: str
    material: str
    mix: Mix
    each_g: Fraction

    def mixed_g(self, members: int) -> Fraction:
        """Return the grams mixed for so many members: what is lost included, never below the least.

        The surplus over the need is charged.
        """
        need = exact(self.mix.lost_g) + members * self.each_g
        return max(need, exact(self.mix.least_mixed_g))


@dataclass(frozen=True, slots=True, kw_only=True)
class Batching:
    """One run of consecutive batch operations and what limits the batch it keeps.

    Attributes:
        first: Place in the routing of the first operation of the run.
        last: Place of the last.
        most: Most pulls (or parts) that share a batch; None where nothing limits it.
        limit: What limits it, in words.
        mixes: The mixing operations among the run.
    """

    first: int
    last: int
    most: int | None
    limit: str
    mixes: tuple[MixNeed, ...]

    def sizes(self, members: int) -> tuple[int, ...]:
        """Return the members of each batch: as few batches as the limit allows, evenly filled.

        What a mix takes never grows by less per member than below the least, so even
        filling wastes least among the fewest batches.
        """
        return even_split(members, self.most)

    def grouped(self, members: int) -> dict[int, int]:
        """Return how many batches there are of each size, as ``sizes`` fills them."""
        return dict(Counter(self.sizes(members)))


def even_split(members: int, most: int | None) -> tuple[int, ...]:
    """Return batch sizes that differ by at most one, the larger first.

    Raises:
        ValueError: if ``most`` is below 1.
    """
    if most is not None and most < 1:
        raise ValueError("a batch takes at least one member")
    if members <= 0:
        return ()
    batches = 1 if most is None else -(-members // most)
    each, more = divmod(members, batches)
    return (each + 1,) * more + (each,) * (batches - more)


def runs_of_batches(process: Process) -> tuple[tuple[int, int], ...]:
    """Return (first, last) places of each maximal run of operations per batch."""
    runs: list[tuple[int, int]] = []
    for place, operation in enumerate(process.operations):
        if operation.per != "batch":
            continue
        if runs and runs[-1][1] == place - 1:
            runs[-1] = (runs[-1][0], place)
        else:
            runs.append((place, place))
    return tuple(runs)


def batchings(
    shop: Shop, process: Process, load: BatchLoad, *, moulds: int
) -> tuple[Batching, ...]:
    """Return every run of batch operations of a process with its limit.

    Args:
        shop: People, stations and materials.
        process: The routing.
        load: What one pull (or part) brings.
        moulds: Moulds that can be filled at the same time.

    Raises:
        HardLimit: if a single pull (or part) passes a limit; every such limit is named,
            with what would help.
    """
    found: list[Batching] = []
    broken: list[str] = []
    for first, last in runs_of_batches(process):
        mixes = tuple(
            mix_need(shop, process, process.operations[place], load)
            for place in range(first, last + 1)
            if is_mixing(shop, process.operations[place])
        )
        limits = [
            *_stated(process.operations[first], load, mixes),
            *_room(shop, process.operations[first : last + 1], load),
            *_held(shop, process, first, load, moulds),
            *(limit for need in mixes for limit in _mass(need, process)),
        ]
        for need in mixes:
            limits.extend(_pot_life(shop, process, need, load, limits))
        broken.extend(words for count, words in limits if count < 1)
        most, words = min(limits, key=lambda limit: limit[0], default=(None, ""))
        found.append(Batching(first=first, last=last, most=most, limit=words, mixes=mixes))
    if broken:
        raise HardLimit(broken)
    return tuple(found)


# A limit is a count of members and the words for it; below 1 the words say what would help.
_Limit = tuple[int, str]


def is_mixing(shop: Shop, operation: Operation) -> bool:
    """Return whether an operation mixes a material of components."""
    material = shop.materials.get(operation.material or "")
    return material is not None and material.mix is not None


def mix_need(shop: Shop, process: Process, operation: Operation, load: BatchLoad) -> MixNeed:
    """Return what each member of a mixing operation takes of its mix.

    Raises:
        KeyError: if the operation mixes no material of the shop.
    """
    key = operation.material or ""
    mix = shop.materials[key].mix
    assert mix is not None  # asked by is_mixing
    # Poured in stages, a material is mixed as often as the routing says and shared evenly.
    stages = sum(1 for o in process.operations if o.per == "batch" and o.material == key)
    each = load.mixed_g.get(key, Fraction(0)) / stages * (1 + exact(mix.lost_share))
    return MixNeed(operation=operation.name, material=key, mix=mix, each_g=each)


def _stated(operation: Operation, load: BatchLoad, mixes: Sequence[MixNeed]) -> list[_Limit]:
    limits: list[_Limit] = []
    if operation.batch_pulls is not None:
        limits.append((operation.batch_pulls, f"{operation.name} takes {operation.batch_pulls}"))
    if operation.batch_parts is not None:
        limits.append(_parts_limit(operation.name, operation.batch_parts, load))
    if operation.batch_g is not None:
        most = exact(operation.batch_g)
        lost = sum((exact(need.mix.lost_g) for need in mixes), Fraction(0))
        each = sum((need.each_g for need in mixes), Fraction(0)) or load.mass_g
        if each > 0:
            count = int((most - lost) // each)
            words = f"{operation.name} takes {_grams(most)}"
            if count < 1:
                words += (
                    f" at once and a single load is {_grams(each + lost)}: "
                    f"raise batch_g or make it smaller"
                )
            limits.append((count, words))
    return limits


def _parts_limit(name: str, parts: int, load: BatchLoad) -> _Limit:
    count = parts // load.parts
    words = f"{name} takes {parts} parts"
    if count < 1:
        words += f" at once and one pull gives {load.parts}: raise the limit or use fewer cavities"
    return count, words


def _room(shop: Shop, operations: Sequence[Operation], load: BatchLoad) -> list[_Limit]:
    return [
        _parts_limit(f"a unit of {operation.station}", station.room, load)
        for operation in operations
        if operation.station
        and (station := shop.stations.get(operation.station)) is not None
        and station.room is not None
    ]


def _held(shop: Shop, process: Process, first: int, load: BatchLoad, moulds: int) -> list[_Limit]:
    """Limit a batch to what its members hold all at once while it starts.

    A mould taken by each pull before the mix and kept past it bounds the pulls of a mix.
    """
    limits: list[_Limit] = []
    for hold in process.holds:
        taken, given_back = process.index(hold.first), process.index(hold.last)
        if not taken < first <= given_back:
            continue
        per = process.operations[taken].per
        if per not in ("pull", "part"):
            continue
        units = moulds if hold.resource == "mould" else _places(shop, hold.resource)
        each = load.parts if per == "part" else 1
        count = units // each
        words = f"{units} {'moulds' if hold.resource == 'mould' else hold.resource} held at once"
        if count < 1:
            words += f": one load needs {each}, so have more of them or use fewer cavities"
        limits.append((count, words))
    return limits


def _places(shop: Shop, key: str) -> int:
    station = shop.stations.get(key)
    return 0 if station is None else station.count * (station.room or 1)


def _mass(need: MixNeed, process: Process) -> list[_Limit]:
    most = exact(need.mix.most_mixed_g)
    room = most - exact(need.mix.lost_g)
    words = f"no more than {_grams(most)} of {need.material} may be mixed at once"
    if need.each_g <= 0:
        if room >= 0:
            return []
        return [(0, f"{words}, and {_grams(exact(need.mix.lost_g))} are lost in each mix")]
    count = int(room // need.each_g)
    if count < 1:
        load = "pull" if process.has_pulls else "part"
        words = (
            f"one {load} needs {_grams(need.each_g + exact(need.mix.lost_g))} of {need.material} "
            f"with what is lost, and no more than {_grams(most)} may be mixed at once: it needs "
            f"a staged pour or another resin"
        )
    return [(count, words)]


def _pot_life(
    shop: Shop, process: Process, need: MixNeed, load: BatchLoad, limits: Sequence[_Limit]
) -> list[_Limit]:
    most = min((count for count, _ in limits if count >= 1), default=None)
    life, warm = _surest_life(shop, need)
    count = pot_life_members(
        shop,
        process,
        process.index(need.operation),
        pot_life_min=life,
        parts_each=load.parts,
        most=most,
    )
    if count is None:
        return []
    words = f"the pot life of {need.material} is {life} min{warm}"
    if count < 1:
        until = process.operation(need.operation).pot_life_until
        words += (
            f" and the work from the end of {need.operation} to the end of {until} takes longer "
            f"even for one: work cooler, or take a slower hardener"
        )
    return [(count, words)]


def _surest_life(shop: Shop, need: MixNeed) -> tuple[int, str]:
    """Return the pot life to reckon with where no date is known: on the warmest of days."""
    sheet = shop.materials[need.material].warmth
    if sheet is None or shop.temperatures is None:
        return need.mix.pot_life_min, ""
    warmest = max(season.day_c for season in shop.temperatures.seasons)
    return sheet.pot_life_at(need.mix.pot_life_min, warmest), f" at {warmest:f} °C"


def _grams(amount: Fraction) -> str:
    value = Decimal(round(amount * 10)) / 10
    return f"{value.normalize():f} g"
