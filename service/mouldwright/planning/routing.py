"""A process compiled for planning: steps, holds, and the blocks that must be placed whole.

A *block* is a run of operations tied together by greatest waits, pot life or a
start that may not wait. Placing its first step without knowing that the rest fits could
spoil a mix or miss a window, so a block is placed whole or not at all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.material import Mix
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.quantity import exact, whole_up
from mouldwright.domain.warmth import MILLION

# Later than anything; an absent limit.
NEVER = 1 << 40

# What one task of a step is done on, from fine to coarse.
PART, UNIT, BATCH, ORDER = 0, 1, 2, 3

# Grams are counted in whole micrograms, so that sums compare exactly.
MICROGRAMS = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One operation of a routing.

    Attributes:
        level: PART, UNIT (a pull, or a part where the process has no pulls), BATCH or ORDER.
        crew: Index of the people who can do it; -1 where it is unattended.
        station: Index of the station it occupies by itself; -1 where it has none or
            a hold keeps it already.
        hours_of: Stations whose own hours it must keep.
        room: Room it needs and the state, by index; None for none.
        session: Session it is work of; NO_SESSION for none.
        cure: Clock its minutes go by, see Footing; -1 for the clock on the wall.
        pot: Clock the pot life of its mix goes by.
        fastest: The fastest the first ever goes, in millionths of the wall's.
        slowest: The slowest the second ever goes.
        exact: Whether it must start as soon as its predecessors allow.
        preds: Indices of the steps it follows.
        pot_life_min: Of the mix this step makes; NEVER where it makes none.
        pot_until: Index of the step by whose end the mix must be used; -1 for none.
        chain: Which run of consecutive batch steps it belongs to; -1 for none.
        starts_holds: Holds taken at its start.
        ends_holds: Holds given back at its end.
        within: Holds that are on while it runs.
        age_of: Index of the step from whose end age counts; -1 where no age is asked.
        age_min: Least minutes from that end to this start.
    """

    index: int
    operation: Operation
    level: int
    crew: int
    people: int
    station: int
    hours_of: tuple[int, ...]
    exact: bool
    preds: tuple[int, ...]
    wait_min: int
    wait_max: int
    interruptible: bool
    pot_life_min: int
    pot_until: int
    chain: int
    starts_holds: tuple[int, ...]
    ends_holds: tuple[int, ...]
    within: tuple[int, ...]
    room: tuple[int, int] | None = None
    session: int = 0
    cure: int = -1
    pot: int = -1
    fastest: int = MILLION
    slowest: int = MILLION
    age_of: int = -1
    age_min: int = 0

    @property
    def name(self) -> str:
        """Return the operation's name."""
        return self.operation.name


@dataclass(frozen=True, slots=True, kw_only=True)
class Keep:
    """A hold of the routing.

    Attributes:
        station: Index of the station; -1 for a mould.
        level: What takes one unit of it: a part, a unit, a batch or the order.
    """

    index: int
    station: int
    first: int
    last: int
    level: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What one batch of a chain may hold at most.

    Attributes:
        units: Pulls, or parts where there are no pulls.
        parts: Parts.
        mixed_ug: Micrograms of matrix the parts take, losses already taken off.
        mass_ug: Micrograms of parts.
    """

    units: int
    parts: int
    mixed_ug: int
    mass_ug: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Consecutive steps placed whole.

    Attributes:
        level: The coarsest level of its steps.
        forms: Batch chain first formed here; -1 for none.
        follows: Batch chain formed earlier and kept here; -1 for none.
        preds: Blocks that must be done before, in rising order.
        takes_mould: Whether a mould is taken in it.
        stations: Stations it occupies or takes.
    """

    index: int
    steps: tuple[Step, ...]
    level: int
    forms: int
    follows: int
    preds: tuple[int, ...]
    takes_mould: bool
    stations: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Routing:
    """A process as steps, holds and blocks.

    Attributes:
        key: Key of the process, or of the set whose own operations these are.
        has_pulls: Whether a unit is a pull.
        conditioning: The mould's upkeep; None where there is none.
        limits: Of each batch chain.
    """

    key: str
    has_pulls: bool
    steps: tuple[Step, ...]
    keeps: tuple[Keep, ...]
    blocks: tuple[Block, ...]
    limits: tuple[Limits, ...]
    conditioning: Step | None

    @property
    def uses_mould(self) -> bool:
        """Return whether a hold is on a mould."""
        return any(keep.station < 0 for keep in self.keeps)


class Crews:
    """The distinct sets of people who can do some step, each found once."""

    def __init__(self, skills: Sequence[frozenset[str]]) -> None:
        """Remember what each person can do, by index."""
        self._skills = skills
        self._index: dict[tuple[int, ...], int] = {}
        counts: dict[str, int] = {}
        for known in skills:
            for skill in known:
                counts[skill] = counts.get(skill, 0) + 1
        # Who knows few and common things goes first, so that scarce skills are kept.
        worth = [sum((Fraction(1, counts[s]) for s in known), Fraction(0)) for known in skills]
        self._order = sorted(range(len(skills)), key=lambda p: (worth[p], p))

    def of(self, skill: str | None) -> int:
        """Return the index of the crew with that skill; everyone where none is asked."""
        people = tuple(p for p in self._order if skill is None or skill in self._skills[p])
        return self._index.setdefault(people, len(self._index))

    @property
    def all(self) -> tuple[tuple[int, ...], ...]:
        """Return every crew met so far, by index, each with those to ask first in front."""
        return tuple(self._index)


def duration_min(operation: Operation, members: int) -> int:
    """Return whole minutes for so many members."""
    return operation.duration_min(members)


def setting_millionths(operation: Operation, members: int) -> int:
    """Return what must go by on a cure's own clock, in millionths of a minute of its sheet."""
    return whole_up((exact(operation.fixed_min) + exact(operation.each_min) * members) * MILLION)


def least_min(step: Step, members: int) -> int:
    """Return the fewest whole minutes a step takes for so many members, however warm it gets."""
    if step.cure < 0:
        return duration_min(step.operation, members)
    return -(-setting_millionths(step.operation, members) // step.fastest)


def micrograms(grams: float | Decimal | Fraction) -> int:
    """Return grams as whole micrograms, to the nearest.

    What was computed in floating point carries a noise far below a microgram; rounding
    it up would refuse four times 120 g in a cup for 480 g.
    """
    return whole_up(exact(grams) * MICROGRAMS - Fraction(1, 2))


def mixed_ug(mix: Mix, need_ug: int) -> int:
    """Return what is mixed for a need, in micrograms: losses on top, never below the least."""
    lost = int(mix.lost_g * 1_000_000)
    most = need_ug + int(need_ug * mix.lost_share) + lost
    return max(most, int(mix.least_mixed_g * 1_000_000))
