"""One step of a process, as it is written down."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from mouldwright.domain.process import operation as domain
from mouldwright.wire.estimate import Range, range_of, want_within, written_range
from mouldwright.wire.heat import Heat
from mouldwright.wire.model import Key, Model, Text, key
from mouldwright.wire.numbers import (
    Amount,
    AmountAbove,
    Chance,
    Count,
    MinutesDown,
    MinutesUp,
    Rate,
    wrong,
)

_AGAIN = ("people", "skill", "station", "material", "pot_life_until", "wait_min", "wait_max_min")
_AND_AGAIN = (
    "least_age_h",
    "interruptible",
    "good_rate",
    "second_rate",
    "good_rate_per",
    "batch_pulls",
    "batch_parts",
)
_ROOMS = ("in_room", "room_state", "cures")
_SAME = (
    *_AGAIN,
    *_AND_AGAIN,
    *_ROOMS,
    "batch_g",
    "learning_rate",
    "applies_to_share",
    "failures_per_hour",
)


class Operation(Model):
    """One step, attended or unattended: exactly one of the two is given in minutes."""

    name: Text = key("Its name, one of a kind within the process.")
    per: Literal["order", "batch", "pull", "part", "conditioning"] = key(
        'What it is done once for; "conditioning" is upkeep of the mould.'
    )
    attended_min: Amount | None = key(
        "Minutes of people, however many members.", default=None, unit="min"
    )
    attended_each_min: Amount | None = key(
        "Minutes of people for each member besides.", default=None, unit="min"
    )
    unattended_min: Amount | None = key(
        "Minutes without people, however many members.", default=None, unit="min"
    )
    unattended_each_min: Amount | None = key(
        "Minutes without people for each member besides.", default=None, unit="min"
    )
    heat: Heat | None = key(
        "A post-cure in place of minutes: they follow from its recipe.", default=None
    )
    cures: Key | None = key(
        "Key of the material that sets meanwhile: its minutes are the sheet's and follow the "
        "temperature.",
        default=None,
    )
    people: Count = key("People needed at once.", default=1)
    skill: Text | None = key("What each of them must know.", default=None)
    station: Key | None = key("Key of the station it occupies.", default=None)
    in_room: Key | None = key("Key of the room it is done in.", default=None)
    room_state: Text | None = key(
        "State that room must be in, from its start to its end.", default=None
    )
    material: Key | None = key(
        "Key of the material it mixes, for a mixing operation.", default=None
    )
    pot_life_until: Text | None = key("Operation by whose end that mix must be used.", default=None)
    after: list[Text] = key("Operations it follows; left out, the one before it.", default=[])
    wait_min: MinutesUp = key("Least wait after the operation before.", default=0, unit="min")
    wait_max_min: MinutesDown | None = key(
        "Greatest wait from the end of the operation before to this start: a hard limit.",
        default=None,
        unit="min",
    )
    least_age_h: Amount = key(
        "Least age of a part before it: hours from its serial, which it has at the end of the "
        "first hold, without holds at the end of the first operation per part that is done to all.",
        default=Decimal(0),
        unit="h",
    )
    interruptible: bool = key("Whether it may pause while hours are closed.", default=False)
    good_rate: Chance = key("Chance that a member passes.", default=Decimal(1))
    second_rate: Rate = key(
        "Chance that a member comes out as a second: sold at its part's second_price, not good.",
        default=Decimal(0),
    )
    good_rate_per: Literal["part", "pull"] = key(
        "Whether that chance is for each part or for a whole pull.", default="part"
    )
    batch_pulls: Count | None = key("Most pulls that start together.", default=None)
    batch_parts: Count | None = key("Most parts that start together.", default=None)
    batch_g: AmountAbove | None = key("Most mass that starts together.", default=None, unit="g")
    applies_to_share: Chance = key(
        "Share of parts (or pulls) it is done to; the others pass it by.", default=Decimal(1)
    )
    learning_rate: Chance = key(
        "Time of the second unit as a share of the first's, and at every doubling; "
        "1 where nothing is learnt.",
        default=Decimal(1),
    )
    failures_per_hour: Amount = key(
        "Failures to be expected in an hour without people, as of a printer: it is then begun "
        "again.",
        default=Decimal(0),
        unit="per hour",
    )
    time_range: Range | None = key(
        "Least and most its time may turn out, as shares of the minutes above: 16 to 32 min for "
        "20 is [0.8, 1.6].",
        default=None,
    )
    good_rate_range: Range | None = key(
        "Least and most good_rate may really be, where it is only estimated.", default=None
    )
    cautions: list[Text] = key("Cautions shown with the operation.", default=[])

    def model_post_init(self, _context: object) -> None:
        """Want minutes of one kind, and waits that leave a moment to start."""
        attended = self.attended_min is not None or self.attended_each_min is not None
        unattended = self.unattended_min is not None or self.unattended_each_min is not None
        if self.heat is not None and (attended or unattended):
            raise wrong(
                "a post-cure takes the time of its recipe.",
                "Leave the minutes out, or put them into an operation of their own.",
                key="heat",
            )
        if attended and unattended:
            raise wrong(
                "an operation is attended or unattended, not both.",
                "Keep one, or split it in two.",
                key="unattended_min" if self.unattended_min is not None else "unattended_each_min",
            )
        if not attended and not unattended and self.heat is None:
            raise wrong(
                "the operation has no time.",
                "Write attended_min or unattended_min, or one of them for each member: "
                "attended_each_min, unattended_each_min.",
                key="attended_min",
            )
        upkeep = self.per == "conditioning"
        if self.cures is not None and (attended or upkeep or self.heat is not None):
            raise wrong(
                "what sets by the warmth of the shop needs no hands and no oven.",
                "Leave cures out, or write unattended_min.",
                key="cures",
            )
        if (self.in_room is None) != (self.room_state is None):
            raise wrong(
                "a room and its state go together.",
                "Write both in_room and room_state, or neither.",
                key="in_room" if self.in_room is None else "room_state",
            )
        if self.good_rate + self.second_rate > 1:
            raise wrong(
                f"with a good rate of {self.good_rate} no more than {1 - self.good_rate} can come "
                "out as seconds.",
                f"Write at most {1 - self.good_rate}.",
                key="second_rate",
            )
        if self.wait_max_min is not None and self.wait_max_min < self.wait_min:
            raise wrong(
                f"the greatest wait is less than the least, {self.wait_min} min.",
                f"Write at least {self.wait_min}.",
                key="wait_max_min",
            )

        if self.failures_per_hour and (attended or upkeep or self.heat is not None):
            raise wrong(
                "only work without people is begun again by the hour.",
                "Leave failures_per_hour out, and write good_rate for what hands spoil.",
                key="failures_per_hour",
            )
        want_within(self.time_range, Decimal(1), "time_range")
        want_within(self.good_rate_range, self.good_rate, "good_rate_range", most=Decimal(1))

    def operation(self) -> domain.Operation:
        """Return the operation."""
        heat = self.heat.heat() if self.heat else None
        attended = self.unattended_min is None and self.unattended_each_min is None and not heat
        fixed = self.attended_min if attended else self.unattended_min
        each = self.attended_each_min if attended else self.unattended_each_min
        return domain.Operation(
            name=self.name,
            per=self.per,
            attended=attended,
            fixed_min=Decimal(heat.minutes) if heat else fixed or Decimal(0),
            each_min=each or Decimal(0),
            heat=heat,
            after=tuple(self.after),
            cautions=tuple(self.cautions),
            time_range=range_of(self.time_range),
            good_rate_range=range_of(self.good_rate_range),
            **{name: getattr(self, name) for name in _SAME},
        )

    @classmethod
    def of(cls, operation: domain.Operation) -> Operation:
        """Return the operation as it would be written."""
        kind = "attended" if operation.attended else "unattended"
        times = {f"{kind}_min": operation.fixed_min, f"{kind}_each_min": operation.each_min}
        kept = {name: minutes for name, minutes in times.items() if minutes}
        written: dict[str, object] = dict(kept or {f"{kind}_min": Decimal(0)})
        if operation.heat is not None:
            written = {"heat": Heat.of(operation.heat)}
        return cls.written(
            name=operation.name,
            per=operation.per,
            **written,
            after=list(operation.after),
            cautions=list(operation.cautions),
            time_range=written_range(operation.time_range),
            good_rate_range=written_range(operation.good_rate_range),
            **{name: getattr(operation, name) for name in _SAME},
        )
