"""What the log teaches of times, yields, failures and losses: shown, and taken into the shop."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from typing import Any

from mouldwright.domain.record.learnt_changes import LearntAtBench, LearntChange
from mouldwright.domain.shop import Shop
from mouldwright.usecases.editing import Change, change_entry, entry_at
from mouldwright.usecases.errors import Stale, Unknown
from mouldwright.usecases.kept import Asked, Reply
from mouldwright.usecases.kept_decline import Declined
from mouldwright.usecases.ledgers import ledgers
from mouldwright.usecases.lessons import waiting
from mouldwright.usecases.services import Services
from mouldwright.usecases.shelf import read_version


@dataclass(frozen=True, slots=True, kw_only=True)
class Learning:
    """What the log of a shop teaches.

    Attributes:
        version: Of the shop that it is set beside.
        found: Without the changes that are declined.
        declined: Changes that someone left, and which evidence has not doubled since.
    """

    shop: Shop
    version: int
    found: LearntAtBench
    declined: tuple[LearntChange, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Taking:
    """A change that someone takes into the shop.

    Attributes:
        key: Of the change.
        evidence: How much it rested on when it was read.
        read: The version of the shop it was set beside.
        now: Zone-aware.
        by: Id of the token that takes it.
    """

    key: str
    evidence: int
    read: int
    now: datetime
    by: str


def learning(services: Services, shop: str) -> Learning:
    """Return what the log of a shop that is kept teaches. Raises Unknown."""
    version = read_version(services.units, shop).version
    whole = ledgers(services, shop).shop
    with services.units.read(shop) as unit:
        declines = unit.declines.all()
    found = services.lessons.of(shop, version, whole)
    shown = waiting(found, declines)
    declined = tuple(change for change in found.changes if change not in shown)
    return Learning(
        shop=whole, version=version, found=replace(found, changes=shown), declined=declined
    )


def take_change(
    services: Services,
    shop: str,
    taking: Taking,
    *,
    asked: Asked,
    reply: Callable[[int, LearntChange], Reply],
) -> Reply:
    """Take what was learnt into the shop as a new version, once however often it is asked.

    Args:
        services: The ports.
        shop: Which shop.
        taking: Which change, and as it was read.
        asked: Who asks, under which key.
        reply: Gives the reply, told the version that holds then, and the change.

    Raises:
        Unknown: if there is no such shop, or the log speaks for no such change.
        Stale: if it rests on other evidence by now, or the operation was changed since.
        InvalidInput: if anything in the shop would then be wrong.
    """
    with services.units.read(shop) as unit:
        before = unit.replies.find(asked)
    if before is not None:
        return before
    change = learning(services, shop).found.change(taking.key)
    if change is None:
        raise Unknown(kind="learnt change", key=taking.key)
    if change.evidence != taking.evidence:
        raise Stale(read=f"evidence of {taking.evidence}", holds=f"evidence of {change.evidence}")
    document = read_version(services.units, shop, taking.read).document
    path = path_of_change(document, change)
    entry = with_change(entry_at(document, path), change)
    return change_entry(
        services.units,
        services.written,
        shop,
        Change(path=path, entry=json.dumps(entry), read=taking.read, now=taking.now, by=taking.by),
        asked=asked,
        reply=lambda version: reply(version, change),
    ).reply


def decline_change(
    services: Services, shop: str, key: str, *, by: str, now: datetime
) -> LearntChange:
    """Leave a change: it is not shown again until it rests on twice the evidence.

    Declined once more, nothing changes.

    Raises:
        Unknown: if there is no such shop, or the log speaks for no such change.
    """
    found = learning(services, shop)
    for change in found.declined:
        if change.key == key:
            return change
    change_now = found.found.change(key)
    if change_now is None:
        raise Unknown(kind="learnt change", key=key)
    with services.units.write(shop) as unit:
        unit.declines.put(Declined(key=key, evidence=change_now.evidence, declined_at=now, by=by))
        unit.commit()
    return change_now


def show_again(services: Services, shop: str, key: str) -> None:
    """Show a declined change again. Raises Unknown where it is not declined."""
    with services.units.write(shop) as unit:
        unit.declines.remove(key)
        unit.commit()


def path_of_change(document: str, change: LearntChange) -> tuple[str, str]:
    """Return where the entry that a change is of stands in a kept document."""
    if change.material:
        return ("materials", change.material)
    return (section_of(document, change.process), change.process)


def section_of(document: str, process: str) -> str:
    """Return where the operations of a process, or of a set, stand in a kept document."""
    return "processes" if entry_at(document, ("processes", process)) is not None else "sets"


def with_change(entry: Any, change: LearntChange) -> Any:
    """Return a process, a set or a material as it is written down, with a change in it.

    A range stated for the good rate is widened to hold the new one.
    """
    if change.material:
        lost = {name: _number(value) for name, value in change.proposed.items()}
        return {**entry, "mix": {**entry["mix"], **lost}}
    operations = [
        {**each, **{name: _number(value) for name, value in change.proposed.items()}}
        if each["name"] == change.operation
        else each
        for each in entry["operations"]
    ]
    for each in operations:
        held = each.get("good_rate_range")
        if each["name"] == change.operation and held is not None and change.kind == "yield":
            rate = float(change.proposed["good_rate"])
            each["good_rate_range"] = [min(float(held[0]), rate), max(float(held[1]), rate)]
    return {**entry, "operations": operations}


def _number(value: Decimal) -> int | float:
    return int(value) if value == int(value) else float(value)
