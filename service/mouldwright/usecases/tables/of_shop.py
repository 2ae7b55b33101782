"""Tables of what is written down: parts, processes, materials, stock, moulds, bench tests."""

from __future__ import annotations

from datetime import datetime

from mouldwright.domain.part.requirement import Part
from mouldwright.domain.place_titles import family_title
from mouldwright.domain.process.process import Process
from mouldwright.domain.record.mould_ledger import MouldLedger, mould_ledgers
from mouldwright.domain.record.stock_ledger import lot_name, stock_as_it_stands
from mouldwright.domain.shop import Shop
from mouldwright.usecases.tables.sheet import (
    Cell,
    Column,
    day,
    listed,
    money,
    number,
    text,
    whole,
    yes_or_no,
)

PARTS: tuple[Column, ...] = (
    text("part", "its key"),
    text("title", "as people read it"),
    text("shape", "what its section is drawn as"),
    number("span_mm", "root to tip, or between supports"),
    text("made_by", "keys of the processes that may make it"),
    text("support", "how it is held"),
    text("load", "where the force acts"),
    number("force_n", "force asked, where it is given as one"),
    number("deflection_mm", "the most it may bend"),
    number("most_mass_g", "the most it may weigh"),
    number("factor", "safety factor on the load"),
    money("second_price", "what a second is sold at"),
    yes_or_no("bears_load", "whether a failure could hurt someone"),
)
PROCESSES: tuple[Column, ...] = (
    text("process", "its key"),
    text("process_title", "as people read it"),
    whole("step", "place of the operation in the routing, from 1; 0 for conditioning"),
    text("operation", "what is done"),
    text("per", "for what it is done once"),
    yes_or_no("attended", "whether it needs hands"),
    number("fixed_min", "minutes however many members"),
    number("each_min", "minutes for each member besides"),
    whole("people", "how many at once"),
    text("skill", "what each of them must know"),
    text("station", "what it occupies"),
    text("material", "what it mixes"),
    whole("wait_min", "least minutes after what it follows"),
    whole("wait_max_min", "greatest minutes after what it follows"),
    number("good_rate", "share that passes it"),
    number("share", "share of parts or pulls it is done to"),
    text("cautions", "what to mind"),
)
MATERIALS: tuple[Column, ...] = (
    text("material", "its key"),
    text("title", "as people read it"),
    number("density_kg_m3", "density"),
    number("modulus_gpa", "Young's modulus"),
    text("mixed_of", "components and their parts"),
    text("mixed_by", "what the parts are parts of"),
    whole("pot_life_min", "from the end of mixing until it can no longer be worked"),
    number("most_mixed_g", "the most that may be mixed at once"),
    number("least_mixed_g", "the least worth mixing"),
    whole("shelf_life_days", "how long it keeps"),
    money("cost_per_kg", "what it costs where no offer holds it"),
    money("cost_per_m", "the same for what comes by the metre"),
    text("cautions", "the usual ones; the maker's data sheet goes before them"),
)
STOCK: tuple[Column, ...] = (
    text("material", "its key"),
    text("title", "as people read it"),
    text("lot", "what is written on it, else its place from 1"),
    number("amount_g", "grams left"),
    number("amount_m", "metres left, of what comes by the metre"),
    day("best_before", "the last day it may be used"),
    day("arrives", "from when it is there; empty for what is on the shelf"),
    money("paid", "what was paid for all of it, shipping left out"),
)
MOULDS: tuple[Column, ...] = (
    text("mould", "its name"),
    text("family", "key of its family"),
    text("title", "as people read the family"),
    text("part", "key of the part"),
    text("process", "key of the process"),
    whole("cavities", "parts from one pull"),
    whole("pulls", "taken from it so far"),
    whole("pulls_since_conditioning", "taken since it was last conditioned"),
    whole("life_pulls", "pulls until its insert is retired"),
    whole("pulls_left", "until then"),
    yes_or_no("gone", "whether it is lost or retired"),
    money("cost", "of a new one"),
)
BENCH_TESTS: tuple[Column, ...] = (
    text("test", "its key"),
    text("part", "key of the part that was bent"),
    text("process", "key of the process it was made by"),
    text("serial", "of the piece"),
    day("day", "when"),
    text("support", "how it was held"),
    number("span_mm", "from the clamp to the tip, or between the supports"),
    number("load_n", "put on it"),
    number("deflection_mm", "read off"),
    number("mass_g", "what the piece weighs"),
    number("temperature_c", "of the piece"),
    yes_or_no("touched_stop", "whether it met a stop at the greatest load"),
    text("note", "anything else"),
)


def part_rows(shop: Shop) -> tuple[tuple[Cell, ...], ...]:
    """Return a row for each part."""
    return tuple(_part(part) for part in shop.parts.values())


def _part(part: Part) -> tuple[Cell, ...]:
    asked = part.requirement
    return (
        part.key,
        part.title,
        type(part.section).__name__.lower(),
        part.span_mm,
        listed(part.made_by),
        asked.support if asked else None,
        asked.load if asked else None,
        asked.force_n if asked else None,
        asked.deflection_mm if asked else None,
        asked.mass_g if asked else None,
        asked.factor if asked else None,
        part.second_price,
        part.bears_load,
    )


def process_rows(shop: Shop) -> tuple[tuple[Cell, ...], ...]:
    """Return a row for each operation of each process, conditioning last."""
    return tuple(row for process in shop.processes.values() for row in _steps(process))


def _steps(process: Process) -> list[tuple[Cell, ...]]:
    steps = list(enumerate(process.operations, 1))
    steps += [(0, process.conditioning)] if process.conditioning is not None else []
    return [
        (
            process.key,
            process.title,
            place,
            step.name,
            step.per,
            step.attended,
            step.fixed_min,
            step.each_min,
            step.people if step.attended else None,
            step.skill,
            step.station,
            step.material,
            step.wait_min,
            step.wait_max_min,
            step.good_rate,
            float(step.applies_to_share),
            listed(step.told_cautions),
        )
        for place, step in steps
    ]


def material_rows(shop: Shop) -> tuple[tuple[Cell, ...], ...]:
    """Return a row for each material."""
    return tuple(
        (
            each.key,
            each.title,
            each.density_kg_m3,
            each.modulus_gpa,
            listed([f"{key} {parts}" for key, parts in each.mix.parts.items()])
            if each.mix
            else None,
            each.mix.by if each.mix else None,
            each.mix.pot_life_min if each.mix else None,
            each.mix.most_mixed_g if each.mix else None,
            each.mix.least_mixed_g if each.mix else None,
            each.shelf_life_days,
            each.cost_per_kg,
            each.cost_per_m,
            listed(each.cautions),
        )
        for each in shop.materials.values()
    )


def stock_rows(shop: Shop, now: datetime) -> tuple[tuple[Cell, ...], ...]:
    """Return a row for each lot as it stands by the log."""
    stands = stock_as_it_stands(shop, at=now).lots
    return tuple(
        (
            key,
            shop.material_title(key),
            lot_name(lots, place),
            lot.grams,
            lot.metres,
            lot.expires,
            lot.arrives,
            lot.paid,
        )
        for key, lots in stands.items()
        for place, lot in enumerate(lots)
    )


def mould_rows(shop: Shop) -> tuple[tuple[Cell, ...], ...]:
    """Return a row for each mould as it stands by the log."""
    return tuple(_mould(shop, each) for each in mould_ledgers(shop))


def _mould(shop: Shop, ledger: MouldLedger) -> tuple[Cell, ...]:
    family = ledger.family
    left = None if family.life_pulls is None else max(0, family.life_pulls - ledger.pulls)
    return (
        f"{family.key} {ledger.number}",
        family.key,
        family_title(shop, family),
        family.part,
        family.process,
        family.cavities,
        ledger.pulls,
        ledger.since,
        family.life_pulls,
        left,
        ledger.gone is not None,
        family.cost,
    )


def bench_test_rows(shop: Shop) -> tuple[tuple[Cell, ...], ...]:
    """Return a row for each reading of each bench test."""
    return tuple(
        (
            test.key,
            test.part,
            test.process,
            test.serial,
            test.day,
            test.support,
            test.span_of(shop.parts[test.part].span_mm) if test.part in shop.parts else None,
            reading.load_n,
            reading.deflection_mm,
            test.mass_g,
            test.temperature_c,
            test.touched_stop,
            test.note,
        )
        for test in shop.bench_tests.values()
        for reading in test.readings
    )
