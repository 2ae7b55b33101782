"""Parts and their records as sheets show them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from mouldwright.domain.record.done import DoneTask
from mouldwright.domain.record.trace import Cure, PartRecord, Records
from mouldwright.domain.shop import Shop
from mouldwright.web.view_models.quote import title_of, way_of
from mouldwright.web.view_models.shape import Facts
from mouldwright.web.words import moment, percent

STANDS = {
    "in work": "In work",
    "good": "Good",
    "second": "Second",
    "scrapped": "Scrapped",
    "returned": "Came back",
}
WEIGHTS = {"good": "within its window", "light": "too light", "heavy": "too heavy"}


@dataclass(frozen=True, slots=True, kw_only=True)
class PartRow:
    """One part in a list.

    Attributes:
        is_off: Whether it weighs what it should not, or is no good part.
    """

    serial: str
    title: str
    mould: str
    stands: str
    grams: str
    weight: str
    is_off: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MixRow:
    """What was mixed or loaded for a part; ``entry`` finds its other parts."""

    what: str
    at: str
    entry: int
    lots: tuple[tuple[str, str, str, str], ...]
    others: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StepRow:
    """Something that was done to a part."""

    what: str
    began: str
    ended: str
    by: str
    where: str
    remark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PartSheet:
    """All that is known of one part.

    Attributes:
        mould: Name of its mould; empty where none is known.
        order: Number of its order.
        tests: Keys of the bench tests it was bent in.
        weighs: What its mass says; empty where nobody weighed it.
        trend: Of the mass of parts made so, by temperature.
    """

    serial: str
    title: str
    stands: str
    is_off: bool
    order: str
    mould: str
    process_key: str
    facts: Facts
    weighs: str
    trend: str
    mixes: tuple[MixRow, ...]
    tests: tuple[str, ...]
    steps: tuple[StepRow, ...]


def part_rows(shop: Shop, parts: Sequence[PartRecord]) -> tuple[PartRow, ...]:
    """Return the rows of a list of parts."""
    return tuple(
        PartRow(
            serial=str(record.serial),
            title=title_of(shop, record.part),
            mould=record.mould or "",
            stands=STANDS[record.stands],
            grams="–" if record.mass_g is None else _grams(record.mass_g),
            weight="–" if record.on_scale is None else WEIGHTS[record.on_scale.state],
            is_off=record.stands in ("scrapped", "returned")
            or (record.on_scale is not None and record.on_scale.state != "good"),
        )
        for record in parts
    )


def common_words(shop: Shop, asked: Mapping[str, str], mix: int | None) -> str:
    """Return what the parts of a list have in common, in words; empty for all of them."""
    found = []
    if asked["order"]:
        found.append(f"of order {asked['order']}")
    if asked["mould"]:
        found.append(f"of mould {asked['mould']}")
    if asked["material"]:
        title = shop.material_title(asked["material"])
        found.append(f"that hold of lot {asked['lot']} of {title}")
    if mix is not None:
        found.append(f"of the mix in entry {mix} of the log")
    return ", ".join(found)


def part_sheet(records: Records, record: PartRecord) -> PartSheet:
    """Return the sheet of one part."""
    shop = records.shop
    return PartSheet(
        serial=str(record.serial),
        title=title_of(shop, record.part),
        stands=STANDS[record.stands],
        is_off=record.stands in ("scrapped", "returned"),
        order=record.serial.order,
        mould=record.mould or "",
        process_key=record.process if record.process in shop.processes else "",
        facts=tuple(_facts(shop, record)),
        weighs=_weighs(records, record),
        trend=records.trend(record.part, record.process).words,
        mixes=tuple(_mixes(records, record)),
        tests=tuple(test.key for test in record.tests),
        steps=tuple(_step(shop, done) for done in record.steps),
    )


def _facts(shop: Shop, record: PartRecord) -> Iterator[tuple[str, str]]:
    yield "For", record.customer or "nobody named"
    yield "Made by", way_of(shop, record.process)
    if record.pull is not None:
        yield "Pull", f"{record.pull.number} of its order"
        if record.pull.ended is not None:
            yield "Out of the mould", _moment(shop, record.pull.ended)
            yield "By", ", ".join(_name(shop, who) for who in record.pull.people) or "not noted"
    for cure in record.cures:
        yield cure.done.task.operation.capitalize(), _cure(shop, cure)
    for what, cause in record.causes:
        yield what.capitalize(), cause or "no cause noted"
    if record.hours_used is not None:
        yield "Used before it came back", f"{record.hours_used:f} h"


def _cure(shop: Shop, cure: Cure) -> str:
    began = "start not noted" if cure.done.began is None else _moment(shop, cure.done.began)
    ended = "goes on" if cure.done.ended is None else _moment(shop, cure.done.ended)
    if cure.temperature_c is None:
        return f"{began} to {ended}; how warm it was is not known"
    known = "as noted" if cure.is_noted else "by the season"
    return f"{began} to {ended}, {cure.temperature_c:f} °C {known}"


def _weighs(records: Records, record: PartRecord) -> str:
    if record.mass_g is None:
        return ""
    window, scale = records.window(record.part, record.process), record.on_scale
    if window is None or scale is None:
        return f"{_grams(record.mass_g)}; what it should weigh is not known."
    return (
        f"{_grams(record.mass_g)}, {WEIGHTS[scale.state]}: from {window.least_g:.1f} to "
        f"{window.most_g:.1f} g pass, and it is {percent(scale.share)} of what is expected."
    )


def _mixes(records: Records, record: PartRecord) -> Iterator[MixRow]:
    shop = records.shop
    for use in record.mixes:
        entry = use.done.entries[-1]
        yield MixRow(
            what=use.done.task.operation.capitalize(),
            at=_moment(shop, use.done.last_known),
            entry=entry,
            lots=tuple(
                (
                    taken.lot.material,
                    shop.material_title(taken.lot.material),
                    taken.lot.name,
                    f"{taken.amount:,f} {taken.lot.unit}, "
                    + ("noted" if taken.is_noted else "what expires first"),
                )
                for taken in use.taken
            ),
            others=tuple(
                str(other.serial) for other in records.of_mix(entry) if other is not record
            ),
        )


def _step(shop: Shop, done: DoneTask) -> StepRow:
    return StepRow(
        what=done.task.operation.capitalize(),
        began="–" if done.began is None else _moment(shop, done.began),
        ended="goes on" if done.ended is None else _moment(shop, done.ended),
        by=", ".join(_name(shop, who) for who in done.people) or "–",
        where=done.task.mould or ", ".join(done.task.stations) or "–",
        remark=f"stopped: {done.cause or 'no cause noted'}" if done.state == "stopped" else "–",
    )


def _grams(mass_g: Decimal) -> str:
    """Return a mass as a scale shows it, to the hundredth at the most."""
    return f"{mass_g.quantize(Decimal('0.01')).normalize():,f} g"


def _moment(shop: Shop, at: datetime) -> str:
    return moment(at.astimezone(ZoneInfo(shop.zone)))


def _name(shop: Shop, key: str) -> str:
    return shop.people[key].title if key in shop.people else key
