"""What would change the answer, in the reader's words."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.shop import Shop
from mouldwright.domain.standing import AIMS, Aim
from mouldwright.domain.switching.find import FARTHEST_TIMES, SwitchAt, WhatChanges
from mouldwright.web.words import figure
from mouldwright.wire.answers.switching import WhatChangesAnswer, plain, shown


@dataclass(frozen=True, slots=True, kw_only=True)
class SwitchRow:
    """One number, and the value at which another process wins.

    Attributes:
        about: How far apart values were looked at, where a nearer one may have been passed over.
    """

    title: str
    value: str
    at: str
    unit: str
    change: str
    instead: str
    about: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SwitchesView:
    """All of them, nearest first.

    Attributes:
        aim: What the answer is the best of, as the head of a column says it.
        steady: What changes nothing.
    """

    why: str
    aim: str
    rows: tuple[SwitchRow, ...]
    steady: tuple[str, ...]
    farthest: int


def aim_asked(text: str) -> Aim | None:
    """Return the aim a query names; None where it names none."""
    return next((aim for aim in AIMS if aim == text), None)


def switches_view(shop: Shop, found: WhatChanges) -> SwitchesView:
    """Return what is shown of it."""
    return SwitchesView(
        why=WhatChangesAnswer.of(shop, found).why,
        aim=found.aim,
        rows=tuple(_row(shop, each) for each in found.switches),
        steady=tuple(_capital(each.title) for each in found.steady),
        farthest=FARTHEST_TIMES,
    )


def _row(shop: Shop, each: SwitchAt) -> SwitchRow:
    change = each.change
    sign = "+" if change is not None and change > 0 else "−"
    return SwitchRow(
        title=_capital(each.input.title),
        value=shown(each, each.input.value),
        at=shown(each, each.at),
        unit=each.input.unit,
        change="" if change is None else f"{sign}{figure(abs(change) * 100)} %",
        instead="none" if each.instead is None else shop.process(each.instead).title,
        about="" if each.looked_every is None else f"looked at every {plain(each.looked_every)}",
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
