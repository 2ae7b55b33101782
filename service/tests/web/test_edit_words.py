"""What the forms say and ask: in the bench's words, once, and no further than is needed."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from form_reader import form_on
from promise_bench import DEMO, KEY
from web_bench import plain

from mouldwright.usecases.kept import Role
from mouldwright.usecases.shelf import open_kept
from mouldwright.web.edit_sections import SECTIONS, root_of, runs_of
from mouldwright.web.hints import HINTS
from mouldwright.wire.forms import FormField

EDIT, ADD = f"/shops/{KEY}/edit", f"/shops/{KEY}/add"


def now(web):
    return open_kept(web.services.units, web.services.written, KEY).shop


def sent(visitor, path, do="keep", **fields):
    return visitor.post(path, form_on(visitor.page(path)) | fields | {"do": do})


@pytest.mark.parametrize("typed", ["wet, finish", "wet;finish", " wet \nfinish,", "wet,wet,finish"])
def test_skills_parted_with_commas_are_several_skills(web, typed):
    visitor = web.visitor()
    answer = sent(visitor, f"{ADD}/people", title="Ana", skills=typed, wage_per_hour="12.00")
    assert answer.status_code == 303, plain(answer.text)
    assert now(web).people["ana"].skills == {"wet", "finish"}


def test_the_skills_of_the_shop_are_offered_where_a_skill_is_asked(web):
    known = {skill for person in DEMO.people.values() for skill in person.skills}
    page = web.visitor().page(f"{ADD}/people")
    ticks = set(re.findall(r'<input type="checkbox" name="skills" value="([^"]+)"', page))
    assert ticks == known
    step = web.visitor().page(f"{ADD}/processes")
    select = re.search(r'<select id="f-operations.0.skill".*?</select>', step, re.S).group(0)
    assert set(re.findall(r'<option value="([^"]+)"', select)) == known


def test_a_name_that_is_typed_is_the_name_that_is_shown(web):
    visitor = web.visitor()
    answer = sent(visitor, f"{ADD}/people", title="Ana", wage_per_hour="12.00")
    page = visitor.page(answer.headers["location"])
    assert re.search(r"<h1>Ana</h1>", page)
    assert form_on(page)["title"] == "Ana"


def test_what_is_new_is_said_to_be_new_and_what_comes_next_is_offered(web):
    keeper = web.keeper()
    few = {"name": "Reeds", "key": "", "currency": "EUR", "zone": "Europe/Lisbon"}
    assert keeper.post("/shops/written", few | {"day": "08:30-17:00"}).status_code == 303
    reeds = "/shops/reeds"
    priced = sent(keeper, f"{reeds}/edit/shop", **{"price.rate": "40 %"})
    assert "Next: Add a person" in plain(keeper.page(priced.headers["location"]))
    made = sent(keeper, f"{reeds}/add/people", title="Ana", wage_per_hour="12.00")
    words = plain(keeper.page(made.headers["location"]))
    assert "Ana is added. Take it out again Next: Add a material Another person" in words
    # Shown again later, it is there and nothing was just done.
    assert "Next:" not in plain(keeper.page(f"{reeds}/edit/people/ana"))


def test_a_whole_shop_is_sent_on_to_an_enquiry_about_the_part(web):
    visitor = web.visitor()
    typed = form_on(visitor.page(f"{EDIT}/parts/stabiliser")) | {"span_mm": "262", "do": "keep"}
    kept = visitor.post(f"{EDIT}/parts/stabiliser", typed)
    page = visitor.page(kept.headers["location"])
    assert f'href="/shops/{KEY}/enquiry?part=stabiliser"' in page
    assert "Stabiliser foil, 260 mm is kept. Undo the change" in plain(page)


def test_a_planner_is_sent_on_to_what_a_planner_writes(web):
    few = {"name": "Reeds", "currency": "EUR", "zone": "Europe/Lisbon", "day": "08:30-17:00"}
    assert web.keeper().post("/shops/written", few).status_code == 303
    planner = web.visitor(Role.PLANNER, "reeds")
    kept = sent(planner, "/shops/reeds/add/stations", title="Press")
    page = planner.page(kept.headers["location"])
    # Prices and people are missing before materials, and are the owner's.
    assert "Next: Add a material" in plain(page)
    assert "/add/people" not in page


def test_a_process_asks_for_its_steps_before_what_they_hold_and_sells_nothing_unasked(web):
    page = web.visitor().page(f"{ADD}/processes")
    legends = re.findall(r"<legend>([^<]+)", page)
    assert legends.index("Steps") < legends.index("What is held")
    assert "fit_to_sell" not in form_on(page)
    assert form_on(web.visitor().page(f"{EDIT}/processes/pressed"))["fit_to_sell"] == "yes"


def test_a_hold_is_chosen_among_the_steps_that_are_written_so_far(web):
    visitor = web.visitor()
    page = visitor.page(f"{ADD}/processes")
    asked = form_on(page) | {"operations.0.name": "pour", "do": "add holds"}
    shown = visitor.post(f"{ADD}/processes", asked).text
    select = re.search(r'<select id="f-holds.0.from".*?</select>', shown, re.S).group(0)
    assert re.findall(r'<option value="([^"]+)"', select) == ["pour"]


def test_a_step_takes_hands_or_runs_alone_and_says_its_time_once(web):
    visitor, path = web.visitor(), f"{EDIT}/processes/pressed"
    typed = form_on(visitor.page(path))
    # "close" takes 8 min of hands and "cure" 24 h alone in the demo's own file.
    at = {typed[f"operations.{n}.name"]: n for n in range(11)}
    cure, close = at["cure"], at["close"]
    assert (typed[f"operations.{cure}.work"], typed[f"operations.{cure}.takes_min"]) == (
        "alone",
        "1440",
    )
    assert typed[f"operations.{close}.work"] == "hands"
    changed = {f"operations.{close}.work": "alone", f"operations.{close}.takes_min": "9"}
    kept = visitor.post(path, typed | changed | {"do": "keep"})
    assert kept.status_code == 303, plain(kept.text)
    step = next(o for o in now(web).processes["pressed"].operations if o.name == "close")
    assert (step.attended, step.fixed_min, step.skill) == (False, 9, None)


def test_a_step_without_a_time_is_said_beside_the_time(web):
    answer = sent(web.visitor(), f"{EDIT}/processes/pressed", **{"operations.3.takes_min": ""})
    assert answer.status_code == 422
    fault = re.search(r'id="f-operations.3.takes_min-fault">([^<]+)', answer.text).group(1)
    assert fault == "Write how long it takes."


def test_a_share_is_shown_and_written_in_per_cent_and_a_bare_number_is_asked_about(web):
    visitor = web.visitor()
    assert form_on(visitor.page(f"{EDIT}/people/ines"))["on_cost_rate"] == "24 %"
    answer = sent(visitor, f"{EDIT}/people/ines", on_cost_rate="2.4")
    assert answer.status_code == 422
    assert "Write it in per cent: 2.4 % or 240 %." in plain(answer.text)
    assert form_on(answer.text)["on_cost_rate"] == "2.4"
    # From ten on nothing else can be meant.
    for typed in ("0.3", "30 %", "30%", "30,0 %", "30"):
        sent(visitor, f"{EDIT}/people/ines", on_cost_rate=typed)
        assert now(web).people["ines"].on_cost_rate == Decimal("0.3"), typed
    deep = sent(visitor, f"{EDIT}/processes/pressed", **{"operations.3.good_rate": "9.5"})
    assert 'id="f-operations.3.good_rate-fault"' in deep.text


def test_a_mix_is_mixed_from_what_is_stocked_and_says_how_a_kit_is_written(web):
    page = web.visitor().page(f"{EDIT}/materials/laminating-epoxy")
    select = re.search(r'<select id="f-mix.parts.0.key".*?</select>', page, re.S).group(0)
    offered = set(re.findall(r'<option value="([^"]+)"', select))
    assert offered == {key for key, each in DEMO.materials.items() if each.mix is None}
    assert "a kit bought as one pack is an offer of a supplier" in plain(page)


def test_stock_is_chosen_among_the_materials(web):
    visitor = web.visitor()
    page = visitor.page(f"{ADD}/stock")
    select = re.search(r'<select id="f-new-key".*?</select>', page, re.S).group(0)
    assert "laminating-epoxy" not in select
    assert 'value="epoxy-resin"' in select


def every_path(field: FormField, path: str):
    yield path
    below = [*field.fields, *(each for table in field.tables.values() for each in table)]
    for each in below:
        yield from every_path(each, f"{path}.{each.name}")


def test_every_hint_belongs_to_a_field_there_is():
    known = {path for key, each in SECTIONS.items() for path in every_path(root_of(each), key)}
    assert not [path for path in HINTS if path not in known and not path.startswith("*.")]


@pytest.mark.parametrize("key", SECTIONS)
def test_every_field_of_a_section_is_asked_for_once_however_it_is_ordered(key):
    root = root_of(SECTIONS[key])
    asked = [each.name for _, fields in runs_of(SECTIONS[key], root) for each in fields]
    assert sorted(asked) == sorted(each.name for each in root.fields)


@pytest.mark.parametrize("key", SECTIONS)
def test_no_hint_repeats_its_label_or_speaks_of_keys(key, web):
    single = SECTIONS[key].is_single
    page = web.visitor().page(f"{EDIT if single else ADD}/{key}")
    for field in re.findall(
        r'<div class="field.*?</div>\s*</div>|<fieldset.*?</fieldset>', page, re.S
    ):
        label = re.search(r"<(?:label|legend)[^>]*>([^<]+)", field)
        for hint in re.findall(r'<p class="hint"[^>]*>([^<]+)', field):
            assert not label or hint.strip(" .").lower() != label.group(1).strip().lower()
    shown = " ".join(re.findall(r'<p class="hint"[^>]*>([^<]+)', page.split("Its key")[0]))
    assert not re.search(r"\bkeys?\b|\bmember|scenario", shown, re.I), shown


def test_moulds_that_were_noted_uncounted_are_counted_by_adding_them(web):
    # The boom gets a way that holds a mould: its moulds are noted by themselves, none there.
    visitor = web.visitor()
    sent(visitor, f"{EDIT}/parts/camera-boom", made_by=["printed", "cast-boom", "pressed"])
    assert now(web).moulds["camera-boom-pressed"].moulds == ()
    counted = sent(visitor, f"{ADD}/moulds", part="camera-boom", process="pressed", count="2")
    assert counted.status_code == 303
    assert len(now(web).moulds["camera-boom-pressed"].moulds) == 2
    again = sent(visitor, f"{ADD}/moulds", part="camera-boom", process="pressed", count="3")
    assert again.status_code == 422
    assert "There is one of that name already." in plain(again.text)


def test_a_time_is_shown_as_it_is_typed_and_a_measure_is_no_share(web):
    page = web.visitor().page(f"{EDIT}/shop")
    assert 'value="2027-03-01 08:30"' in page
    assert (
        "In per cent" not in plain(web.visitor().page(f"{ADD}/processes")).partition("Besides")[2]
    )
    assert "`" not in web.visitor().page(f"{ADD}/bench_tests")
