"""A learnt change written into a process or a set as it is kept."""

from __future__ import annotations

import json
from decimal import Decimal

from mouldwright.domain.record.learnt_changes import LearntChange
from mouldwright.scenario.demo import open_demo
from mouldwright.scenario.kept import KeptScenarios
from mouldwright.usecases.editing import entry_at, shop_with
from mouldwright.usecases.learning import section_of, with_change

WRITTEN = KeptScenarios()


def lower_yield(rate: str) -> LearntChange:
    return LearntChange(
        kind="yield",
        process="pressed",
        operation="inspect",
        was={"good_rate": Decimal("0.94")},
        proposed={"good_rate": Decimal(rate)},
        evidence=40,
        entries=(1,),
    )


def kept(**more) -> str:
    """Return the demo as it is kept, with more written at the step that has its good rate."""
    document = json.loads(WRITTEN.document(open_demo("foil-bench").shop))
    for operation in document["processes"]["pressed"]["operations"]:
        if operation["name"] == "inspect":
            operation.update(more)
    return json.dumps(document)


def inspected(document: str, change: LearntChange):
    path = (section_of(document, "pressed"), "pressed")
    entry = json.dumps(with_change(entry_at(document, path), change))
    shop, _ = shop_with(WRITTEN, document, path, entry)
    return shop.processes["pressed"].operation("inspect")


def test_the_one_step_is_changed_and_nothing_else():
    document = kept()
    before = WRITTEN.read(document).processes["pressed"]
    assert inspected(document, lower_yield("0.85")).good_rate == Decimal("0.85")
    entry = entry_at(document, ("processes", "pressed"))
    changed = with_change(entry, lower_yield("0.85"))
    others = [o for o in changed["operations"] if o["name"] != "inspect"]
    assert others == [o for o in entry["operations"] if o["name"] != "inspect"]
    assert len(others) == len(before.operations_written) + bool(before.conditioning) - 1


def test_a_range_of_the_good_rate_is_widened_to_hold_what_was_learnt():
    spread = inspected(kept(good_rate_range=[0.9, 0.97]), lower_yield("0.85")).good_rate_range
    assert (spread.least, spread.most) == (Decimal("0.85"), Decimal("0.97"))


def test_a_share_of_seconds_is_written_with_the_yield_so_that_the_two_fit():
    change = LearntChange(
        kind="yield",
        process="pressed",
        operation="inspect",
        was={"good_rate": Decimal("0.94"), "second_rate": Decimal(0)},
        proposed={"good_rate": Decimal("0.85"), "second_rate": Decimal("0.15")},
        evidence=40,
        entries=(1,),
    )
    step = inspected(kept(), change)
    assert (step.good_rate, step.second_rate) == (Decimal("0.85"), Decimal("0.15"))


def test_minutes_of_a_print_are_written_as_its_own():
    document = kept()
    change = LearntChange(
        kind="time",
        process="printed-small",
        operation="print",
        was={"unattended_min": Decimal(25), "unattended_each_min": Decimal(48)},
        proposed={"unattended_min": Decimal(30), "unattended_each_min": Decimal("57.6")},
        evidence=12,
        entries=(1,),
    )
    path = (section_of(document, "printed-small"), "printed-small")
    entry = json.dumps(with_change(entry_at(document, path), change))
    shop, _ = shop_with(WRITTEN, document, path, entry)
    step = shop.processes["printed-small"].operation("print")
    assert (step.attended, step.fixed_min, step.each_min) == (False, 30, Decimal("57.6"))


def test_failures_of_a_print_are_written_beside_its_minutes():
    document = kept()
    change = LearntChange(
        kind="failures",
        process="printed-small",
        operation="print",
        was={"failures_per_hour": Decimal(0)},
        proposed={"failures_per_hour": Decimal("0.041")},
        evidence=30,
        entries=(1,),
    )
    path = (section_of(document, "printed-small"), "printed-small")
    entry = json.dumps(with_change(entry_at(document, path), change))
    shop, _ = shop_with(WRITTEN, document, path, entry)
    step = shop.processes["printed-small"].operation("print")
    assert (step.failures_per_hour, step.fixed_min) == (Decimal("0.041"), 25)
