"""Where a routing is cut: what must be placed whole, and what may be placed apart."""

from __future__ import annotations

import builders as build

from mouldwright.domain.material import Material
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.planning.cutting import compile_routing
from mouldwright.planning.ground import Footing
from mouldwright.planning.routing import BATCH, UNIT, Crews, Routing
from mouldwright.planning.shapes import lay_out


def routing_of(process: Process, materials: dict[str, Material] | None = None) -> Routing:
    return compile_routing(
        process.key,
        process.operations,
        process=process,
        crews=Crews([frozenset({"wet"})]),
        stations={"press": 0, "cabinet": 1},
        with_hours=frozenset(),
        materials=materials or {},
        rooms={},
        ground=lambda _operation: Footing(),
    )


def names(routing: Routing) -> list[list[str]]:
    return [[step.name for step in block.steps] for block in routing.blocks]


def pulls(*operations: Operation) -> Process:
    return build.process(*operations, holds=[build.hold(operations[0].name, operations[0].name)])


def test_a_mix_stays_whole_up_to_the_end_of_its_pot_life() -> None:
    process = pulls(
        build.hands("reset", 6),
        build.hands("mix", 4, per="batch", material="resin", pot_life_until="close"),
        build.hands("load", 12),
        build.hands("close", 8),
        build.alone("cure", 1440),
        build.hands("demould", 6),
    )
    assert names(routing_of(process, {"resin": build.mixed()})) == [
        ["reset"],
        ["mix", "load", "close", "cure"],
        ["demould"],
    ]


def test_a_greatest_wait_ties_all_that_lies_between() -> None:
    process = pulls(
        build.hands("a", 1),
        build.hands("b", 1),
        build.hands("c", 1, after=("a",), wait_max_min=10),
        build.hands("d", 1),
    )
    assert names(routing_of(process)) == [["a", "b", "c"], ["d"]]


def test_a_stay_that_may_queue_for_a_station_is_placed_apart() -> None:
    process = pulls(
        build.hands("coat", 4), build.alone("dry", 60, station="cabinet"), build.hands("look", 1)
    )
    assert names(routing_of(process)) == [["coat"], ["dry"], ["look"]]


def test_a_start_that_may_not_wait_is_tied_backwards_if_it_could_be_held_back() -> None:
    # Alone, the oven starts as its last part comes in; but polishing must follow within
    # 10 min, so in the evening the oven is held back, and with it what comes before.
    process = pulls(
        build.hands("trim", 4),
        build.alone("oven", 60, per="batch"),
        build.hands("polish", 5, per="part", wait_max_min=10),
    )
    assert names(routing_of(process)) == [["trim", "oven", "polish"]]


def test_batch_steps_in_a_row_keep_their_batch_over_blocks() -> None:
    process = build.process(
        build.hands("start", 5, per="batch"),
        build.alone("print", 40, per="batch"),
        build.hands("remove", 3, per="batch"),
        build.hands("sand", 3, per="part"),
        build.hands("spray", 3, per="batch"),
    )
    routing = routing_of(process)
    assert names(routing) == [["start", "print"], ["remove"], ["sand"], ["spray"]]
    assert [(b.forms, b.follows, b.level) for b in routing.blocks] == [
        (0, -1, BATCH),
        (-1, 0, BATCH),
        (-1, -1, UNIT),
        (1, -1, BATCH),
    ]


def test_what_is_mixed_is_poured_pull_by_pull() -> None:
    process = pulls(
        build.hands("mix", 4, per="batch", material="resin", pot_life_until="close"),
        build.hands("load", 12),
        build.hands("close", 8),
    )
    (block,) = routing_of(process, {"resin": build.mixed()}).blocks
    shape = lay_out(block, (1, 1))
    assert [(slot.step.name, slot.member) for slot in shape] == [
        ("mix", -1),
        ("load", 0),
        ("close", 0),
        ("load", 1),
        ("close", 1),
    ]
    # Each close must end within the pot life of the one mix.
    assert [slot.mix for slot in shape] == [-1, -1, 0, -1, 0]
