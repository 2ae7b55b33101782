"""What waits for someone about moulds: conditioning that is due, a life that runs out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.hours.spoken import spoken_moment
from mouldwright.domain.place_titles import place_title
from mouldwright.domain.record.mould_ledger import MouldLedger
from mouldwright.domain.record.mould_life import LifeAhead
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.usecases.ledgers import Ledgers

# As few pulls as these are few, whatever is planned.
FEW_PULLS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class MouldNotice:
    """Something a mould needs.

    Attributes:
        mould: Its name.
        at: Minute by which it matters; None where it matters now.
    """

    kind: Literal["conditioning", "mould-life"]
    mould: str
    text: str
    at: int | None
    presses: bool


def mould_notices(shop: Shop, plan: Plan | None, now: int) -> Iterator[MouldNotice]:
    """Yield what moulds need, conditioning first; one that nothing is planned on needs none."""
    moulds = Ledgers(shop=shop, plan=plan, now=local(now, shop.zone)).moulds()
    next_pulls = _next_pulls(plan, now)
    for ledger, _ in moulds:
        due = ledger.is_usable and ledger.until_conditioning == 0
        if due and (ledger.name in next_pulls or plan is None):
            yield _conditioning(shop, ledger, next_pulls.get(ledger.name))
    for ledger, ahead in moulds:
        if ledger.life_left and (ahead.is_by_plan or ledger.life_left <= FEW_PULLS):
            yield _life(shop, ledger, ahead, now)


def _next_pulls(plan: Plan | None, now: int) -> dict[str, int]:
    """Return when the first pull is begun on each mould from now on, by its name."""
    found: dict[str, int] = {}
    for task in () if plan is None else plan.tasks:
        if task.mould and task.members and task.start >= now:
            found[task.mould] = min(task.start, found.get(task.mould, task.start))
    return found


def _conditioning(shop: Shop, ledger: MouldLedger, pulled: int | None) -> MouldNotice:
    when = "" if pulled is None else f", planned {spoken_moment(local(pulled, shop.zone))}"
    text = f"{place_title(shop, ledger.name)} is to be conditioned before its next pull{when}."
    return MouldNotice(kind="conditioning", mould=ledger.name, text=text, at=pulled, presses=False)


def _life(shop: Shop, ledger: MouldLedger, ahead: LifeAhead, now: int) -> MouldNotice:
    left = ledger.life_left or 0
    text = f"{place_title(shop, ledger.name)} has {left} pull{'' if left == 1 else 's'} left"
    if ahead.is_by_plan and ahead.used_up is not None:
        text += f"; the plan uses it up {spoken_moment(ahead.used_up)}"
    if ahead.begin_by is not None:
        text += f". Begin the next by {spoken_moment(ahead.begin_by)}"
    return MouldNotice(
        kind="mould-life",
        mould=ledger.name,
        text=f"{text}.",
        at=None if ahead.begin_by is None else minute_of(ahead.begin_by),
        presses=ahead.is_pressing(local(now, shop.zone)),
    )
