"""Answer to "what would change the answer?"."""

from __future__ import annotations

from decimal import Decimal

from pydantic import BaseModel, Field

from mouldwright.domain.shop import Shop
from mouldwright.domain.standing import Aim
from mouldwright.domain.switching.find import FARTHEST_TIMES, SwitchAt, WhatChanges


class SwitchAnswer(BaseModel):
    """The value of one number at which another process wins."""

    key: str = Field(description="where the number stands, as in a scenario file")
    title: str
    unit: str = Field(description="empty for a share")
    value: str = Field(description="as it is")
    at: str = Field(description="the nearest value, that way, at which another process wins")
    holds_to: str = Field(description="the last value before it at which none does")
    change: float | None = Field(
        description="from value to at, as a share; null where the value is 0"
    )
    instead: str | None = Field(description="the process that wins then; null where none can")
    looked_every: str | None = Field(
        description="null where no nearer change can have been passed over, else how far apart "
        "the values looked at on the way lay"
    )
    says: str = Field(description="the same in words")


class WhatChangesAnswer(BaseModel):
    """What would change the answer, the nearest first, and what would not."""

    part: str
    quantity: int
    aim: Aim
    process: str | None = Field(description="that is best as all is written; null where none is")
    switches: list[SwitchAnswer]
    steady: list[str] = Field(
        description="keys of the numbers that change nothing, from nothing up to "
        f"{FARTHEST_TIMES} times what is written"
    )
    why: str = Field(description="the nearest of them in words")

    @classmethod
    def of(cls, shop: Shop, found: WhatChanges) -> WhatChangesAnswer:
        """Return the answer for what was found in a shop."""
        switches = [_switch(shop, each) for each in found.switches]
        return cls(
            part=found.part,
            quantity=found.quantity,
            aim=found.aim,
            process=found.process,
            switches=switches,
            steady=[each.key for each in found.steady],
            why=f"The nearest: {switches[0].says}."
            if switches
            else "No number alone would change it short of "
            f"{FARTHEST_TIMES} times what is written.",
        )


def _switch(shop: Shop, each: SwitchAt) -> SwitchAnswer:
    change = each.change
    return SwitchAnswer(
        key=each.input.key,
        title=each.input.title,
        unit=each.input.unit,
        value=shown(each, each.input.value),
        at=shown(each, each.at),
        holds_to=shown(each, each.holds_to),
        change=None if change is None else float(change),
        instead=each.instead,
        looked_every=None if each.looked_every is None else plain(each.looked_every),
        says=said(shop, each),
    )


def said(shop: Shop, each: SwitchAt) -> str:
    """Return a switching value as the end of a sentence, its first letter small."""
    title = each.input.title
    instead = "no process would do"
    if each.instead is not None:
        instead = f"{shop.process(each.instead).title} would be taken"
    verb = "rose" if each.at > each.input.value else "fell"
    unit = f" {each.input.unit}" if each.input.unit else ""
    return f"{instead} if {title} {verb}{_percent(each)} to {shown(each, each.at)}{unit}"


def _percent(each: SwitchAt) -> str:
    change = each.change
    if change is None:
        return ""
    percent = abs(change) * 100
    return f" {float(percent):.0f} %" if percent >= 1 else f" {float(percent):.1f} %"


def shown(each: SwitchAt, value: Decimal) -> str:
    """Return a value in the decimals its number is written in."""
    return plain(value.quantize(each.input.step))


def plain(value: Decimal) -> str:
    """Return a number without an exponent."""
    return f"{value:f}"
