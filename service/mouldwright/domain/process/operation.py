"""One step of a process."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from mouldwright.domain.estimate import Range
from mouldwright.domain.process.heat import SUPPORT, Heat
from mouldwright.domain.quantity import Exact, exact, whole_up

Per = Literal["order", "batch", "pull", "part", "conditioning"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """One step, attended or unattended.

    Its duration is the fixed minutes plus ``each_min`` for every member: the parts of
    an order or batch, the cavities of a pull, one for a part.

    Attributes:
        fixed_min: Minutes however many members.
        each_min: Minutes for each member besides.
        attended: Whether people are needed for its whole length.
        people: How many at once.
        skill: What each of them must know.
        station: Station it occupies, where one.
        in_room: Room it is done in, where that matters.
        room_state: State that room must be in from its start to its end, pauses included.
        material: The mixed material it makes, where it is a mixing operation.
        pot_life_until: Operation by whose end that mix must be used.
        after: Operations it follows; empty, the one before it.
        wait_min: Least minutes after the predecessor's end.
        wait_max_min: Greatest minutes from the predecessor's end to this start.
        least_age_h: Least hours from a part's serial (the end of its cure) to this start.
        interruptible: Whether it may pause when its people's hours close.
        good_rate: Chance that a member passes.
        second_rate: Chance that a member comes out as a second: to be sold, and not good.
        good_rate_per: Whether that chance is for each part or for a whole pull.
        batch_pulls: Most pulls that start together.
        batch_parts: Most parts that start together.
        batch_g: Most mass that starts together.
        applies_to_share: Share of parts (or pulls) it is done to; the others pass it by.
        rework: Name of the rework it is part of; empty for all other operations.
        round_number: Which round of a rework it is; 0 for all other operations.
        learning_rate: Unit-theory rate per doubling, 1 where nothing is learnt.
        time_range: Least and most its minutes may be, as shares of those; None where certain.
        good_rate_range: Least and most ``good_rate`` may really be; None where it is known.
        cures: The material that sets meanwhile, so that its minutes follow the temperature;
            None where they are what they are.
        failures_per_hour: Failures to be expected in an hour of it, the same in every hour; it is
            then begun again.
        heat: The recipe of a post-cure, whose minutes ``fixed_min`` then is.
    """

    name: str
    per: Per
    attended: bool
    fixed_min: Decimal = Decimal(0)
    each_min: Decimal = Decimal(0)
    people: int = 1
    skill: str | None = None
    station: str | None = None
    in_room: str | None = None
    room_state: str | None = None
    material: str | None = None
    pot_life_until: str | None = None
    after: tuple[str, ...] = ()
    wait_min: int = 0
    wait_max_min: int | None = None
    least_age_h: Decimal = Decimal(0)
    interruptible: bool = False
    good_rate: Decimal = Decimal(1)
    second_rate: Decimal = Decimal(0)
    good_rate_per: Literal["part", "pull"] = "part"
    batch_pulls: int | None = None
    batch_parts: int | None = None
    batch_g: Decimal | None = None
    learning_rate: Decimal = Decimal(1)
    failures_per_hour: Decimal = Decimal(0)
    time_range: Range | None = None
    good_rate_range: Range | None = None
    applies_to_share: Exact = 1
    rework: str = ""
    round_number: int = 0
    cautions: tuple[str, ...] = ()
    heat: Heat | None = None
    cures: str | None = None

    @property
    def told_cautions(self) -> tuple[str, ...]:
        """Return its cautions, those of heat included."""
        return (*self.cautions, SUPPORT) if self.heat is not None else self.cautions

    def duration_min(self, members: int) -> int:
        """Return whole minutes for so many members, rounded up: the plan's grain is a minute."""
        return whole_up(self.fixed_min + self.each_min * members)

    @property
    def is_for_all(self) -> bool:
        """Return whether it is done to every part."""
        return self.applies_to_share == 1

    def taken_of(self, count: int) -> int:
        """Return how many of so many parts (or pulls) a plan puts through it: rounded up."""
        return whole_up(exact(self.applies_to_share) * count)

    @property
    def least_age_min(self) -> int:
        """Return the least age in whole minutes, rounded up."""
        return whole_up(self.least_age_h * 60)
