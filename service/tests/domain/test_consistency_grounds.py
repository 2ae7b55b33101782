"""What a check says of rooms, sessions and temperatures that do not fit the shop."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import builders as build
import pytest

from mouldwright.domain.consistency.check import faults_of
from mouldwright.domain.errors import Fault
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Consumable
from mouldwright.domain.shop import Shop
from mouldwright.domain.warmth import Season, Temperatures, Warmth


def bench(*operations: Operation, **more: Any) -> Shop:
    steps = operations or (build.hands("lay", 30, per="part", skill="wet"),)
    return build.shop(
        build.process(*steps),
        people=[build.person("ana", ["wet"])],
        rooms=[build.room("bench", 30, dust=None, wet=None)],
        hours=build.opening(build.week("08:00-12:00")),
        parts=[build.part()],
        **more,
    )


def found(shop: Shop, *, warnings: bool = False) -> list[Fault]:
    return [fault for fault in faults_of(shop) if fault.is_warning == warnings]


def said(faults: list[Fault], path: str) -> str:
    """Return the problem and remedy said at a place; fail where nothing is."""
    (only,) = [fault for fault in faults if fault.path == path]
    return f"{only.problem} {only.remedy}"


@pytest.mark.parametrize(
    ("room", "state", "key", "words"),
    [
        ("bnech", "wet", "in_room", "Did you mean bench?"),
        ("bench", "wte", "room_state", "Did you mean wet?"),
    ],
)
def test_a_room_or_state_that_is_not_there_is_named(
    room: str, state: str, key: str, words: str
) -> None:
    shop = bench(build.hands("lay", 30, per="part", in_room=room, room_state=state))
    assert words in said(found(shop), f'processes.pressed.operations["lay"].{key}')


def test_a_session_names_a_skill_that_somebody_has() -> None:
    shop = bench(sessions=[build.session("gloves", 5, 5, skill="wt")])
    assert "Did you mean wet?" in said(found(shop), "sessions.gloves.skill")


def test_work_is_of_one_session_at_most() -> None:
    lay = build.hands("lay", 30, per="part", skill="wet", in_room="bench", room_state="wet")
    both = [
        build.session("gloves", 5, 5, skill="wet"),
        build.session("mask", 2, 2, in_room="bench", room_state="wet"),
    ]
    shop = bench(lay, sessions=both)
    assert "gloves and mask" in said(found(shop), 'processes.pressed.operations["lay"]')


def test_work_of_a_session_does_not_pause_and_must_fit_with_its_gearing_up() -> None:
    gloves = [build.session("gloves", 20, 20, skill="wet")]
    pausing = build.hands("lay", 60, per="part", skill="wet", interruptible=True)
    at = 'processes.pressed.operations["lay"]'
    assert "does not pause" in said(
        found(bench(pausing, sessions=gloves), warnings=True), f"{at}.interruptible"
    )
    # 200 + 20 + 20 fit the 240 min of a morning, 201 do not.
    fits = bench(build.hands("lay", 200, per="part", skill="wet"), sessions=gloves)
    assert found(fits) == []
    over = bench(build.hands("lay", 201, per="part", skill="wet"), sessions=gloves)
    assert "at least 241 min" in said(found(over), f"{at}.attended_min")


def test_a_session_that_nothing_is_of_is_warned_of() -> None:
    shop = bench(sessions=[build.session("mask", 2, 2, in_room="bench", room_state="dust")])
    assert "no attended operation" in said(found(shop, warnings=True), "sessions.mask")


def test_a_consumable_by_session_wants_a_session() -> None:
    shop = bench()
    gloves = Consumable(name="gloves", cost=Decimal(1), per="session")
    process = replace(shop.processes["pressed"], consumables=(gloves,))
    shop = replace(shop, processes={"pressed": process})
    path = 'processes.pressed.consumables["gloves"].per'
    assert "never be used" in said(found(shop), path)


def warmed(*seasons: tuple[int, int], pour: int = 13, **sheet: Any) -> Shop:
    """Return a shop that mixes with a pot life of 25 min at 20 °C."""
    resin = replace(
        build.mixed(pot_life=25, most=150), warmth=Warmth(reference_c=Decimal(20), **sheet)
    )
    months = zip(range(1, 13), seasons, strict=False)
    return bench(
        build.hands("mix", 2, per="batch", skill="wet", material="resin", pot_life_until="pour"),
        build.hands("pour", pour, per="part", skill="wet"),
        build.alone("cure", 600, per="part", cures="resin"),
        materials=[resin, build.mixed("part")],
        temperatures=Temperatures(
            seasons=tuple(
                Season(begins=(month, 1), day_c=Decimal(day), night_c=Decimal(night))
                for month, (day, night) in months
            )
        ),
    )


def test_a_mix_that_sets_too_soon_in_one_season_is_warned_of_and_in_all_refused() -> None:
    path = 'processes.pressed.operations["mix"].pot_life_until'
    # 25 min at 20 °C are 12 whole minutes at 30: pouring takes 13.
    some = warmed((20, 18), (30, 20))
    assert "at 30 °C resin can be worked for 12 min" in said(found(some, warnings=True), path)
    assert not [fault for fault in found(some) if fault.path == path]
    always = warmed((30, 30))
    assert "no mix can be used in time" in said(found(always), path)


def test_what_a_sheet_does_not_speak_of_is_warned_of() -> None:
    shop = warmed((20, 9), sheet_from_c=Decimal(12), sheet_to_c=Decimal(30))
    words = said(found(shop, warnings=True), "shop.temperatures.seasons[1].night_c")
    assert "12 to 30 °C" in words


def test_a_temperature_at_which_nothing_cures_is_warned_of() -> None:
    shop = warmed((20, 9), least_c=Decimal(12))
    words = said(found(shop, warnings=True), "shop.temperatures.seasons[1].night_c")
    assert "does not cure below 12 °C" in words


def test_a_mix_larger_than_its_sheets_is_warned_of() -> None:
    shop = warmed((20, 20), reference_g=Decimal(100))
    words = said(found(shop, warnings=True), "materials.resin.mix.most_mixed_g")
    assert "sets sooner" in words
    assert "at most 100 g" in words


def test_what_cures_must_be_a_material_whose_sheet_speaks_of_temperature() -> None:
    path = 'processes.pressed.operations["cure"].cures'
    wrong = bench(build.alone("cure", 60, per="part", cures="rsin"), materials=[build.mixed()])
    assert "Did you mean resin?" in said(found(wrong), path)
    plain = bench(build.alone("cure", 60, per="part", cures="resin"), materials=[build.mixed()])
    assert "taken as they are" in said(found(plain, warnings=True), path)
