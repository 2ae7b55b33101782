"""Writing the shop in forms: changed, kept, taken out, put back, and nothing typed lost."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from form_reader import buttons_on, form_on
from promise_bench import DEMO, KEY
from web_bench import plain

from mouldwright.usecases.kept import Role
from mouldwright.usecases.shelf import open_kept

EDIT = f"/shops/{KEY}/edit"
ADD = f"/shops/{KEY}/add"
# One entry of every section, a field of it, another value, and where the shop then says it.
CHANGES = [
    ("shop", "packaging_per_part", "1,25", lambda s: str(s.packaging_per_part), "1.25"),
    ("shop", "price.rate", "41 %", lambda s: s.price.rate, Decimal("0.41")),
    (
        "hours",
        "sat",
        "09:00-12:00, 13:00-15:00",
        lambda s: s.hours.weekly[5],
        ((540, 720), (780, 900)),
    ),
    ("hours", "closed", "2027-08-02/2027-08-03", lambda s: len(s.hours.closed), 2),
    (
        "people/ines",
        "wage_per_hour",
        "16.50",
        lambda s: str(s.people["ines"].wage_per_hour),
        "16.50",
    ),
    ("stations/clamps", "count", "7", lambda s: s.stations["clamps"].count, 7),
    (
        "materials/laminating-epoxy",
        "mix.pot_life_min",
        "35",
        lambda s: s.materials["laminating-epoxy"].mix.pot_life_min,
        35,
    ),
    ("parts/stabiliser", "span_mm", "262.5", lambda s: s.parts["stabiliser"].span_mm, 262.5),
    (
        "processes/pressed",
        "operations.2.cautions",
        "hot\nsharp",
        lambda s: s.processes["pressed"].operations[1].cautions,
        ("hot", "sharp"),
    ),
    (
        "moulds/stabiliser-pressed",
        "life_pulls",
        "90",
        lambda s: s.moulds["stabiliser-pressed"].life_pulls,
        90,
    ),
    ("bench_tests/cast-1", "mass_g", "80.5", lambda s: s.bench_tests["cast-1"].mass_g, 80.5),
    ("orders", "0.weight", "4", lambda s: s.orders[0].weight, 4),
]


def now(web):
    return open_kept(web.services.units, web.services.written, KEY)


def sent(visitor, path, do="keep", **fields):
    """Open a form, type into it and press a button."""
    typed = form_on(visitor.page(path)) | fields
    return visitor.post(path, typed | {"do": do})


@pytest.mark.parametrize(("entry", "field", "typed", "read", "kept"), CHANGES)
def test_a_field_that_is_changed_is_kept_and_all_else_stays(web, entry, field, typed, read, kept):
    visitor = web.visitor()
    answer = sent(visitor, f"{EDIT}/{entry}", **{field: typed})
    assert answer.status_code == 303, plain(answer.text)
    assert answer.headers["location"] == f"{EDIT}/{entry}?changed=2"
    shop = now(web).shop
    assert read(shop) == kept
    # Undone, the shop is what it was: nothing else was touched.
    page = visitor.page(answer.headers["location"])
    back = visitor.post(f"/shops/{KEY}/undo", undo_form(page))
    assert back.status_code == 303, plain(back.text)
    assert now(web).shop == DEMO


def undo_form(page):
    form = re.search(r'<form class="undo.*?</form>', page, re.S).group(0)
    return dict(re.findall(r'name="([^"]+)" value="([^"]*)"', form))


@pytest.mark.parametrize("entry", [change[0] for change in CHANGES])
def test_a_form_sent_as_it_was_shown_changes_nothing(web, entry):
    visitor = web.visitor()
    answer = sent(visitor, f"{EDIT}/{entry}")
    assert answer.status_code == 303, plain(answer.text)
    assert now(web).version.version == 1


def test_every_fault_is_said_at_once_beside_its_field_and_what_was_typed_stays(web):
    answer = sent(
        web.visitor(),
        f"{EDIT}/people/ines",
        wage_per_hour="much",
        on_cost_rate="-1",
        skills="wet",
    )
    assert answer.status_code == 422
    words = plain(answer.text)
    assert "2 things cannot be right" in words
    assert "On-costs : This must be a number ≥ 0." in words
    assert 'href="#f-wage_per_hour"' in answer.text
    typed = form_on(answer.text)
    assert (typed["wage_per_hour"], typed["on_cost_rate"]) == ("much", "-1")
    assert typed["skills"] == ["wet", ""]
    first = re.search(r'<[^>]*id="f-wage_per_hour"[^>]*>', answer.text).group(0)
    assert 'aria-invalid="true"' in first
    assert "autofocus" in first
    assert now(web).version.version == 1


def test_a_fault_deep_within_a_process_is_said_beside_its_step(web):
    answer = sent(
        web.visitor(),
        f"{EDIT}/processes/pressed",
        **{"operations.3.per": "", "operations.4.people": "x"},
    )
    assert answer.status_code == 422
    assert 'id="f-operations.3.per-fault"' in answer.text
    assert 'id="f-operations.4.people-fault"' in answer.text


def test_what_another_entry_needs_is_not_taken_out_and_the_reason_is_said(web):
    answer = sent(web.visitor(), f"{EDIT}/materials/laminating-epoxy", do="remove")
    assert answer.status_code == 422
    assert "laminating-epoxy" in plain(answer.text)
    assert now(web).shop == DEMO


def test_an_entry_is_added_taken_out_and_put_back(web):
    visitor = web.visitor()
    added = sent(
        visitor, f"{ADD}/people", title="Rui Sé", skills="wet\nfinish", wage_per_hour="11.00"
    )
    assert (
        added.headers["location"] == f"{EDIT}/people/rui-sé?changed=2"
        or "rui-s" in added.headers["location"]
    )
    (key,) = set(now(web).shop.people) - set(DEMO.people)
    assert now(web).shop.people[key].title == "Rui Sé"
    gone = sent(visitor, f"{EDIT}/people/{key}", do="remove")
    assert gone.status_code == 303
    assert now(web).shop.people == DEMO.people
    page = visitor.page(gone.headers["location"])
    assert visitor.post(f"/shops/{KEY}/undo", undo_form(page)).status_code == 303
    assert now(web).shop.people[key].wage_per_hour == Decimal("11.00")


def test_a_new_entry_without_a_name_or_with_one_that_is_taken_is_not_kept(web):
    visitor = web.visitor()
    nameless = sent(visitor, f"{ADD}/stations")
    assert nameless.status_code == 422
    assert "Name : Write a name." in plain(nameless.text)
    taken = sent(visitor, f"{ADD}/stations", title="Press")
    assert taken.status_code == 422
    assert "There is one of that name already." in plain(taken.text)


def test_two_at_different_entries_do_not_stand_in_each_others_way(web):
    one, other = web.visitor(), web.visitor()
    typed = form_on(one.page(f"{EDIT}/people/ines")) | {"wage_per_hour": "17.00", "do": "keep"}
    assert sent(other, f"{EDIT}/stations/press", count="2").status_code == 303
    assert one.post(f"{EDIT}/people/ines", typed).status_code == 303
    shop = now(web).shop
    assert (shop.stations["press"].count, shop.people["ines"].wage_per_hour) == (
        2,
        Decimal("17.00"),
    )


def test_two_at_the_same_entry_see_both_versions_and_neither_is_lost(web):
    one, other = web.visitor(), web.visitor()
    typed = form_on(one.page(f"{EDIT}/people/ines")) | {"wage_per_hour": "17.00", "do": "keep"}
    assert sent(other, f"{EDIT}/people/ines", on_cost_rate="0.30").status_code == 303
    answer = one.post(f"{EDIT}/people/ines", typed)
    assert answer.status_code == 409
    words = plain(answer.text)
    assert "Someone else changed it meanwhile" in words
    assert "Wage 15.00 15.00 17.00" in words
    assert "On-costs 24 % 30 % 24 %" in words
    assert now(web).shop.people["ines"].on_cost_rate == Decimal("0.30")
    # Pressed again, mine goes over theirs: that was shown.
    again = one.post(f"{EDIT}/people/ines", form_on(answer.text) | {"do": "keep"})
    assert again.status_code == 303
    assert now(web).shop.people["ines"].wage_per_hour == Decimal("17.00")


def test_a_form_sent_twice_is_kept_once(web):
    visitor = web.visitor()
    for path, more in (
        (f"{EDIT}/people/ines", {"wage_per_hour": "17.00"}),
        (f"{ADD}/stations", {"title": "Oven"}),
    ):
        typed = form_on(visitor.page(path)) | more | {"do": "keep"}
        first, second = visitor.post(path, typed), visitor.post(path, typed)
        assert first.status_code == second.status_code == 303
        assert first.headers["location"] == second.headers["location"]
    assert now(web).version.version == 3


def test_a_form_left_and_sent_again_after_another_change_of_ones_own_says_so(web):
    visitor = web.visitor()
    typed = form_on(visitor.page(f"{EDIT}/people/ines")) | {"do": "keep"}
    assert (
        visitor.post(f"{EDIT}/people/ines", typed | {"wage_per_hour": "17.00"}).status_code == 303
    )
    back = visitor.post(f"{EDIT}/people/ines", typed | {"wage_per_hour": "18.00"})
    assert back.status_code == 409
    assert "Wage 15.00 17.00 18.00" in plain(back.text)


def test_an_undo_after_someone_changed_it_again_is_not_done_unasked(web):
    visitor = web.visitor()
    first = sent(visitor, f"{EDIT}/people/ines", wage_per_hour="17.00")
    undo = undo_form(visitor.page(first.headers["location"]))
    sent(visitor, f"{EDIT}/people/ines", wage_per_hour="18.00")
    answer = visitor.post(f"/shops/{KEY}/undo", undo)
    assert answer.status_code == 409
    assert now(web).shop.people["ines"].wage_per_hour == Decimal("18.00")


def test_steps_are_added_moved_copied_and_taken_out_before_anything_is_kept(web):
    visitor = web.visitor()
    path = f"{EDIT}/processes/pressed"
    names = lambda page: [  # noqa: E731
        value
        for name, value in form_on(page).items()
        if re.fullmatch(r"operations\.\d+\.name", name)
    ]
    before = names(visitor.page(path))
    later = sent(visitor, path, do="down operations.1")
    assert names(later.text)[1:3] == [before[2], before[1]]
    assert "Not kept yet." in plain(later.text)
    copied = visitor.post(path, form_on(later.text) | {"do": "copy operations.0"})
    assert names(copied.text)[:2] == [before[0], before[0]]
    dropped = visitor.post(path, form_on(copied.text) | {"do": "drop operations.0"})
    added = visitor.post(path, form_on(dropped.text) | {"do": "add operations"})
    assert len(names(added.text)) == len(before) + 1
    assert names(added.text)[-1] == ""
    assert now(web).version.version == 1


def test_every_button_of_a_form_leads_to_a_form(web):
    visitor = web.visitor()
    for entry in (
        "parts/stabiliser",
        "materials/laminating-epoxy",
        "moulds/stabiliser-pressed",
        "hours",
    ):
        page = visitor.page(f"{EDIT}/{entry}")
        for do in buttons_on(page):
            if do not in ("keep", "remove"):
                answer = visitor.post(f"{EDIT}/{entry}", form_on(page) | {"do": do})
                assert answer.status_code == 200, (entry, do)
    assert now(web).version.version == 1


def test_another_shape_shows_its_own_fields_and_is_kept(web):
    visitor, path = web.visitor(), f"{EDIT}/parts/stabiliser"
    turned = sent(visitor, path, do="kind section", **{"section.shape": "rectangle"})
    typed = form_on(turned.text)
    assert "section.width_mm" in typed
    assert "section.code" not in typed
    kept = visitor.post(
        path, typed | {"section.width_mm": "40", "section.height_mm": "6", "do": "keep"}
    )
    assert kept.status_code == 303, plain(kept.text)
    assert now(web).shop.parts["stabiliser"].section.width_mm == 40


def test_an_outline_is_pasted_as_two_columns(web):
    visitor, path = web.visitor(), f"{EDIT}/parts/stabiliser"
    turned = sent(visitor, path, do="kind section", **{"section.shape": "polygon"})
    corners = "A bar\n0 0\n40 0\n40, 6\n0 6"
    kept = visitor.post(path, form_on(turned.text) | {"section.points_mm": corners, "do": "keep"})
    assert kept.status_code == 303, plain(kept.text)
    assert now(web).shop.parts["stabiliser"].section.points_mm == ((0, 0), (40, 0), (40, 6), (0, 6))


def test_moulds_are_numbered_one_by_one_from_their_count(web):
    visitor, path = web.visitor(), f"{EDIT}/moulds/{counted_family()}"
    listed = sent(visitor, path, do="list count")
    typed = form_on(listed.text)
    assert typed["count.0.number"] == "1"
    kept = visitor.post(path, typed | {"count.0.pulls": "12", "do": "keep"})
    assert kept.status_code == 303, plain(kept.text)
    assert now(web).shop.moulds[counted_family()].moulds[0].pulls == 12


def counted_family():
    return next(
        key
        for key, family in DEMO.moulds.items()
        if [(m.number, m.pulls) for m in family.moulds]
        == [(str(n + 1), 0) for n in range(len(family.moulds))]
    )


def test_an_entry_is_kept_as_text_and_its_faults_are_said(web):
    visitor, path = web.visitor(), f"{EDIT}/parts/stabiliser/text"
    typed = form_on(visitor.page(path))
    assert "span_mm = 260" in typed["text"]
    broken = visitor.post(path, typed | {"text": "span_mm = "})
    assert broken.status_code == 422
    assert "this is not TOML" in plain(broken.text)
    wrong = visitor.post(path, typed | {"text": typed["text"].replace("260", "-1")})
    assert wrong.status_code == 422
    assert "span_mm" in plain(wrong.text)
    kept = visitor.post(path, typed | {"text": typed["text"].replace("260", "264")})
    assert kept.status_code == 303
    assert now(web).shop.parts["stabiliser"].span_mm == 264


def test_wages_and_prices_are_the_owners_and_how_things_are_made_the_planners(web):
    planner, bench = web.visitor(Role.PLANNER), web.visitor(Role.BENCH)
    assert planner.get(f"{EDIT}/processes/pressed").status_code == 200
    assert planner.get(f"{EDIT}/people/ines").status_code == 403
    assert planner.post(f"{EDIT}/shop", {"do": "keep"}).status_code == 403
    assert bench.get(f"{EDIT}/processes/pressed").status_code == 403
    assert bench.post(f"{EDIT}/processes/pressed", {"do": "remove"}).status_code == 403


@pytest.mark.parametrize("path", ["edit/nothing", "edit/parts/nothing", "edit/parts", "add/shop"])
def test_what_is_not_there_is_not_shown(web, path):
    assert web.visitor().get(f"/shops/{KEY}/{path}").status_code == 404


def test_a_form_of_another_site_changes_nothing(web):
    visitor = web.visitor()
    typed = form_on(visitor.page(f"{EDIT}/people/ines")) | {"do": "keep", "form_key": "guessed"}
    typed = {name: "guessed" if "key" in name else value for name, value in typed.items()}
    assert (
        visitor.web.client.post(
            f"{EDIT}/people/ines", data=typed, headers=visitor._headers()
        ).status_code
        == 403
    )


def test_a_way_in_a_mould_brings_its_moulds_and_takes_them_with_it(web):
    visitor, path = web.visitor(), f"{EDIT}/parts/sensor-fin"
    typed = form_on(visitor.page(path))
    ways = typed["made_by"] if isinstance(typed["made_by"], list) else [typed["made_by"]]
    kept = visitor.post(path, typed | {"made_by": [*ways, "pressed"], "do": "keep"})
    assert kept.status_code == 303, plain(kept.text)
    family = now(web).shop.moulds["sensor-fin-pressed"]
    assert (family.part, family.process, family.moulds) == ("sensor-fin", "pressed", ())
    gone = sent(visitor, f"{EDIT}/moulds/sensor-fin-pressed", do="remove")
    assert gone.status_code == 303, plain(gone.text)
    shop = now(web).shop
    assert "pressed" not in shop.parts["sensor-fin"].made_by
    assert "sensor-fin-pressed" not in shop.moulds


def test_moulds_that_went_with_their_part_come_back_with_their_pulls(web):
    web.bench.change_shop(orders=())
    visitor = web.visitor()
    gone = sent(visitor, f"{EDIT}/parts/stabiliser", do="remove")
    assert gone.status_code == 303, plain(gone.text)
    assert "stabiliser-pressed" not in now(web).shop.moulds
    assert now(web).shop.bench_tests == {}
    undo = undo_form(visitor.page(gone.headers["location"]))
    for _ in range(2):  # a second press does no more
        assert visitor.post(f"/shops/{KEY}/undo", undo).status_code in (303, 409)
    assert now(web).shop.moulds == DEMO.moulds
    assert now(web).shop.bench_tests == DEMO.bench_tests
    assert now(web).version.version == 4
