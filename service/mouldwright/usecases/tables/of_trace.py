"""The tables of parts by their serials, and of orders that a new plan moved."""

from __future__ import annotations

from datetime import datetime

from mouldwright.domain.hours.opening import local
from mouldwright.domain.record.trace import PartRecord, Records
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.usecases.board import changes_between
from mouldwright.usecases.tables.sheet import Cell, Column, listed, moment, number, text, whole

TRACED: tuple[Column, ...] = (
    text("serial", "of the part: its order and its number"),
    text("order", "its number"),
    text("part", "key of the part"),
    text("process", "key of the process"),
    text("customer", "whom its order is for"),
    text("mould", "name of the mould it came of"),
    whole("pull", "which of its order"),
    text("stands", "what became of it"),
    text("causes", "what was wrong with it, and why"),
    number("mass_g", "what it weighs"),
    text("weight", "good, light or heavy by its window"),
    text("lots", "material and lot of what was mixed for it"),
    number("temperature_c", "in the shop as it set"),
    text("tests", "keys of the bench tests it was bent in"),
    number("hours_used", "before it came back"),
)
MOVED: tuple[Column, ...] = (
    text("order", "its number"),
    moment("was_ready", "by the plan before; empty where it was not in it"),
    moment("ready", "by the plan that holds; empty where it is not in it"),
    number("later_h", "hours later than before, below zero where sooner"),
    number("odds_before", "chance that its day is kept, by the plan before"),
    number("odds", "the same by the plan that holds"),
)


def traced_rows(
    shop: Shop, *, at: datetime, order: str | None, mould: str | None
) -> tuple[tuple[Cell, ...], ...]:
    """Return a row for each part the log tells of, or for those of one order or one mould."""
    records = Records(shop, at=at).records
    return tuple(
        _part(records[serial])
        for serial in sorted(records)
        if order in (None, serial.order) and mould in (None, records[serial].mould)
    )


def _part(record: PartRecord) -> tuple[Cell, ...]:
    lots = dict.fromkeys(
        f"{taken.lot.material} {taken.lot.name}".strip()
        for use in record.mixes
        for taken in use.taken
    )
    return (
        str(record.serial),
        record.serial.order,
        record.part,
        record.process,
        record.customer,
        record.mould,
        None if record.pull is None else record.pull.number,
        record.stands,
        listed([f"{what}: {cause}" if cause else what for what, cause in record.causes]),
        record.mass_g,
        None if record.on_scale is None else record.on_scale.state,
        listed(list(lots)),
        record.temperature_c,
        listed([test.key for test in record.tests]),
        record.hours_used,
    )


def moved_rows(before: Plan | None, plan: Plan | None) -> tuple[tuple[Cell, ...], ...]:
    """Return a row for each order whose finish the plan that holds changed."""
    if before is None or plan is None:
        return ()
    changes = changes_between(before, plan)
    chances = {each.order: each for each in changes.chances}
    found = []
    for was, now in changes.orders:
        known = now or was
        assert known is not None  # it is in one of the two
        chance = chances.get(known.number)
        found.append(
            (
                known.number,
                None if was is None else local(was.finish, plan.zone),
                None if now is None else local(now.finish, plan.zone),
                None if was is None or now is None else round((now.finish - was.finish) / 60, 2),
                None if chance is None else round(chance.before, 4),
                None if chance is None else round(chance.after, 4),
            )
        )
    return tuple(found)
