"""Parts, processes, materials and moulds to be read, and found by number or name."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from promise_bench import DEMO, KEY
from web_bench import plain

from mouldwright.domain.judgement import judge
from mouldwright.web.view_models.part_ways import part_way

HERE = f"/shops/{KEY}"


@pytest.mark.parametrize("room", ["parts", "processes", "materials"])
def test_every_entry_of_a_list_has_a_sheet_that_opens(web, room):
    visitor = web.visitor()
    listed = visitor.page(f"{HERE}/{room}")
    for thing in getattr(DEMO, room).values():
        assert f"{HERE}/{room}/{thing.key}" in listed
        assert f"<h1>{thing.title}</h1>" in visitor.page(f"{HERE}/{room}/{thing.key}")
    assert visitor.get(f"{HERE}/{room}/nothing").status_code == 404


def test_a_parts_sheet_says_its_sizes_its_load_and_its_ways(web):
    page = web.visitor().page(f"{HERE}/parts/main-foil")
    words = plain(page)
    assert "NACA 0012, chord 96 to 72 mm" in words
    # Half of 1000 kg/m3 x (2.2 m/s)^2 x 0.42 m x 0.084 m x 0.6 is 51.2 N.
    assert "51.2 N spread along the span, from 2.2 m/s" in words
    assert "1.2 on the load" in words
    assert "It carries load." in words
    assert page.count('role="img"') == 6, "two drawings and how it bends, each wide and narrow"
    for way in DEMO.part("main-foil").made_by:
        assert DEMO.process(way).title in words


def test_a_parts_sheet_says_by_each_way_how_it_bears_its_load(web):
    page = web.visitor().page(f"{HERE}/parts/main-foil")
    rows = dict(
        re.findall(r'<tr><th scope="row">(.*?)</th>(.*?)</tr>', page.split('id="h-ways"')[1], re.S)
    )
    told = {plain(title): plain(cells) for title, cells in rows.items()}
    ways = [
        judge(DEMO, DEMO.part("main-foil"), DEMO.process(w)) for w in ("pressed-long", "printed")
    ]
    assert told["Verdict"] == " ".join("passes" if w.meets_requirement else "fails" for w in ways)
    assert told["Mass g"] == " ".join(f"{w.mass_g:.1f}" for w in ways)
    assert told["First frequency Hz"] == " ".join(f"{w.first_frequency_hz:.0f}" for w in ways)
    words = plain(page)
    # ½ · 1000 · 2.2² = 2420 Pa on 420 x 84 mm.
    assert "Dynamic pressure 2,420.0 Pa" in words
    assert "35,280 mm², span by mean chord" in words
    assert "Greatest bending stress" in words


def test_a_material_without_a_modulus_is_said_in_the_forms_words_with_its_field():
    soft = replace(DEMO.materials["fast-resin"], modulus_gpa=None)
    shop = replace(DEMO, materials={**DEMO.materials, "fast-resin": soft})
    way = part_way(shop, shop.part("stabiliser"), shop.process("cast"), at=KEY)
    assert way.verdict == "cannot be said"
    (line,) = way.faults
    assert line.sentence.startswith("Fast resin, young’s modulus: stiffness needs a modulus.")
    assert line.at == f"{HERE}/edit/materials/fast-resin#f-modulus_gpa"


def test_keys_in_what_a_part_fails_read_as_their_fields_are_called():
    asked = replace(DEMO.part("stabiliser").requirement, root_stress_share=0.5)
    part = replace(DEMO.part("stabiliser"), requirement=asked)
    way = part_way(DEMO, part, DEMO.process("cast"), at=KEY)
    assert any("add “strength in bending”" in reason for reason in way.reasons)


def test_a_processs_sheet_lists_every_step_with_what_it_holds(web):
    page = web.visitor().page(f"{HERE}/processes/pressed")
    steps = re.findall(r'<th scope="row"><strong>(.*?)</strong>', page)
    pressed = DEMO.process("pressed")
    assert steps == [*(o.name for o in pressed.operations), pressed.conditioning.name]
    assert "Clamp sets: from the start of close to the end of demould" in plain(page)


def test_moulds_show_their_count_and_what_is_left_of_their_life(web):
    page = web.visitor().page(f"{HERE}/moulds")
    row = re.search(r'<tr id="stabiliser-pressed-1">(.*?)</tr>', page, re.S)[1]
    cells = [plain(cell) for cell in re.findall(r"<td[^>]*>(.*?)</td>", row, re.S)]
    # 38 of 60 pulls are taken, and 2 of 4 since it was last conditioned.
    assert cells == [
        "Stabiliser foil, pressed 1",
        "38",
        "22",
        "conditioning after 2 pulls",
        "–",
        "–",
    ]


def test_a_material_shows_its_packs_and_cautions(web):
    words = plain(web.visitor().page(f"{HERE}/materials/fast-resin"))
    material = DEMO.materials["fast-resin"]
    assert f"{material.mix.most_mixed_g:g} g" in words
    for caution in material.cautions:
        assert caution in words


@pytest.mark.parametrize(
    ("sought", "leads_to"),
    [
        ("1004", "orders/1004"),
        ("stabiliser-pressed 3", "moulds/stabiliser-pressed%203"),
        ("STABILISER-PRESSED 3", "moulds/stabiliser-pressed%203"),
        ("camera boom, 300", "parts/camera-boom"),
        ("quote 1", "quotes/1"),
        ("boom cast on", "processes/cast-boom"),
    ],
)
def test_one_thing_that_fits_is_opened_at_once(web, sought, leads_to):
    web.bench.quoted()
    answer = web.visitor().get(f"{HERE}/find", params={"q": sought})
    assert answer.headers["location"] == f"{HERE}/{leads_to}"


def test_a_customers_quotes_and_orders_are_found_however_the_name_is_typed(web, bench):
    booked = bench.booked()
    page = plain(web.visitor().page(f"{HERE}/find?q=TERN+survey"))
    assert f"Quote Quote {booked.quote} Stabiliser foil, 260 mm, Tern survey club" in page
    assert f"Order Order {booked.order.number} 12 × Stabiliser foil, 260 mm" in page
    # A customer of the orders that are written in the shop.
    assert plain(web.visitor().page(f"{HERE}/find?q=trimaran+club")).count("Order Order") == 2


def test_a_person_is_found_without_their_accents_and_leads_to_their_day(web):
    answer = web.visitor().get(f"{HERE}/find", params={"q": "ines"})
    assert answer.headers["location"] == f"{HERE}/day?person=ines"


def test_where_several_fit_all_are_shown_and_where_none_does_it_is_said(web):
    web.bench.booked()
    visitor = web.visitor()
    words = plain(visitor.page(f"{HERE}/find?q=q1"))
    assert "Quote 1" in words
    assert "Order Q1" in words
    assert "Nothing fits." in plain(visitor.page(f"{HERE}/find?q=zeppelin"))
    assert "Write what you look for." in plain(visitor.page(f"{HERE}/find"))
    assert "Nothing fits." in plain(visitor.page(f"{HERE}/find?q=%C2%B2"))


def test_empty_rooms_say_what_to_do_first(web):
    keeper = web.keeper()
    few = {"name": "B", "key": "few", "currency": "EUR", "zone": "Europe/Lisbon"}
    keeper.post("/shops/written", few | {"day": "08:00-17:00"})
    for room, said in (
        ("parts", "No part yet."),
        ("processes", "No process yet."),
        ("materials", "No material yet."),
        ("moulds", "No mould yet."),
        ("orders", "No order yet."),
        ("quotes", "No quote yet."),
    ):
        assert said in plain(keeper.page(f"/shops/few/{room}"))
