"""What people read for moulds and machines, however long the keys are."""

from __future__ import annotations

from dataclasses import replace

from promise_bench import DEMO

from mouldwright.domain.place_titles import family_title, place_title, places_together

FAMILY = DEMO.moulds["stabiliser-pressed"]


def test_a_part_with_moulds_of_several_processes_names_the_process_too():
    # The demo's "Stabiliser foil, 260 mm" is pressed ("Pressed chopped carbon") and cast.
    assert place_title(DEMO, "stabiliser-pressed 3") == "Stabiliser foil, pressed 3"
    assert place_title(DEMO, "stabiliser-cast 1") == "Stabiliser foil, fast-cure 1"


def test_a_part_with_one_kind_of_mould_is_enough():
    only = replace(DEMO, moulds={FAMILY.key: FAMILY})
    assert family_title(only, FAMILY) == "Stabiliser foil"


def test_a_title_of_their_own_is_what_is_read():
    own = replace(FAMILY, title="Stab P")
    shop = replace(DEMO, moulds={**DEMO.moulds, FAMILY.key: own})
    assert place_title(shop, "stabiliser-pressed 3") == "Stab P 3"


def test_two_families_never_read_the_same():
    part = DEMO.parts["stabiliser"]
    twin = replace(part, key="stabiliser-b", title="Stabiliser foil, 300 mm")
    twins = replace(FAMILY, key="other", part=twin.key)
    shop = replace(
        DEMO, parts={part.key: part, twin.key: twin}, moulds={FAMILY.key: FAMILY, "other": twins}
    )
    assert family_title(shop, FAMILY) == "Stabiliser foil, 260 mm, pressed chopped carbon"
    assert family_title(shop, twins) == "Stabiliser foil, 300 mm, pressed chopped carbon"


def test_a_machine_is_read_by_its_title_with_its_number_where_there_are_several():
    assert place_title(DEMO, "clamps 3") == f"{DEMO.stations['clamps'].title} 3"
    assert place_title(DEMO, "press 1") == DEMO.stations["press"].title
    assert place_title(DEMO, "no-such 3") == "no-such 3"


def test_places_of_one_family_stand_together_under_its_name_in_the_order_they_are_named():
    names = ("stabiliser-cast 3", "press 1", "stabiliser-cast 1", "stabiliser-cast 3")
    press = DEMO.stations["press"].title
    assert places_together(DEMO, names) == ("Stabiliser foil, fast-cure 3, 1", press)
