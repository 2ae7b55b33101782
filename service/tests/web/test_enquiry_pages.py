"""The enquiry: what is typed is read, answered as elsewhere, and quoted by one press."""

from __future__ import annotations

import csv
import io
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest
from promise_bench import DEMO, KEY, WANTED
from web_bench import plain

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.hours.opening import minute_of
from mouldwright.usecases.enquiry import compare, what_changes
from mouldwright.usecases.errors import Busy
from mouldwright.usecases.kept import Role
from mouldwright.wire.answers.comparison import ComparisonAnswer

HERE = f"/shops/{KEY}/enquiry"
ASKED = f"{HERE}?part=stabiliser&quantity=24"


@pytest.fixture
def answered(web):
    """The same question put to the use case, as the command line prints it."""
    found = compare(
        DEMO, "stabiliser", 24, now=minute_of(web.now), finish=web.services.finish, by=None
    )
    return ComparisonAnswer.of(DEMO, found)


def _row(page: str, title: str) -> list[str]:
    """Return the cells of the row of ways with that title."""
    for row in re.findall(r"<tr>(.*?)</tr>", page, re.S):
        if re.search(rf'<th scope="row">{title}\b', row):
            return [plain(cell) for cell in re.findall(r"<td[^>]*>(.*?)</td>", row, re.S)]
    raise AssertionError(f"no row {title}")


def test_the_ways_show_the_figures_that_every_other_face_shows(web, answered):
    page = web.visitor().page(ASKED)
    choices = answered.choices
    assert _row(page, "Unit cost") == [choice.unit_cost for choice in choices]
    assert _row(page, "Price each") == [choice.price_each for choice in choices]
    assert _row(page, "Bends") == [f"{choice.deflection_mm:.1f}" for choice in choices]
    assert _row(page, "Mass") == [f"{choice.mass_g:.1f}" for choice in choices]
    assert _row(page, "Parts begun") == [str(choice.starts) for choice in choices]
    verdicts = ["passes" if choice.meets_requirement else "fails" for choice in choices]
    assert _row(page, "Bears it") == verdicts
    words = plain(page)
    assert answered.recommended.why in words
    best = next(c for c in choices if c.process == answered.recommended.process)
    assert f"Quote 24 at €{best.price_each}" in words


def test_every_sum_opens_to_lines_that_make_it(web):
    page = web.visitor().page(ASKED)
    tables = re.findall(r'<table class="cost">(.*?)</table>', page, re.S)
    assert len(tables) == len(DEMO.part("stabiliser").made_by)
    for table in tables:
        groups = re.findall(r'<tr class="kind">.*?<td class="n">(.*?)</td>', table, re.S)
        total = re.search(r"<tfoot>.*?<td class=\"n\">(.*?)</td>", table, re.S)[1]
        summed = sum(float(each.replace(",", "")) for each in groups)
        # Each group is rounded to the cent for showing, so eight of them are off by 4 at most.
        assert summed == pytest.approx(float(total.replace(",", "")), abs=0.04)


def test_the_piece_that_is_put_into_the_sheet_is_the_sheets_own(web):
    # Keys drawn anew for each page are the one thing that may differ.
    visitor = web.visitor()

    def still(text):
        return re.sub(r"drawn-\d+-abcdefghijklmnop", "key", text)

    page = still(visitor.page(ASKED))
    part = still(visitor.page(ASKED.replace("/enquiry?", "/enquiry/answer?")))
    slots = re.split(r'(?=<div data-slot=")', part)[1:]
    assert len(slots) == 7
    for slot in slots:
        assert slot.strip() in page
    assert "<html" not in part
    time = still(visitor.page(ASKED.replace("/enquiry?", "/enquiry/time?")))
    assert time.strip() in still(visitor.page(f"{ASKED}&time=1"))
    # The sheet comes before the plans that those dates take, and says where they are.
    assert 'data-slot="time" data-later' in page
    assert "&amp;time=1" in page


def test_the_sheet_comes_without_a_plan_and_says_where_planned_days_are(web, bench):
    visitor = web.visitor()
    first = visitor.page(ASKED)
    assert bench.finish.asked == []
    assert "Days are by the rate alone, as if nothing else were booked." in plain(first)
    assert "part=stabiliser&amp;quantity=24&amp;dates=planned" in first
    dated = visitor.page(f"{ASKED}&dates=planned")
    assert len(bench.finish.asked) == len(DEMO.part("stabiliser").made_by)
    assert "by the rate alone" not in plain(dated)
    assert "data-later" not in dated.partition('data-slot="time"')[0]


def test_the_chart_of_dates_says_what_ready_says_at_the_quantity_asked(web, bench):
    visitor = web.visitor()
    bench.finish.minutes = 14_400
    table = visitor.get(f"{HERE}/time.csv?part=stabiliser&quantity=24")
    rows = list(csv.reader(io.StringIO(table.content.decode("utf-8-sig"))))
    assert rows[0][1].endswith("Lead time, days")
    # 14,400 minutes are ten days, whatever is planned.
    assert [row[0] for row in rows[1:]] == ["1", "10", "24", "50"]
    assert {cell for row in rows[1:] for cell in row[1:]} == {"10.0"}
    said = plain(visitor.page(f"{HERE}/time?part=stabiliser&quantity=24"))
    assert "each quantity planned on top of what is booked" in said


def test_where_no_place_to_plan_is_free_dates_are_by_rate_and_say_so(web, bench):
    bench.finish.error = Busy("Others wait.")
    said = plain(web.visitor().page(f"{HERE}/time?part=stabiliser&quantity=24"))
    assert "by the rate alone: what is booked comes on top" in said


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("quantity=0", "Write a whole number from 1 to 100,000."),
        ("quantity=2.5", "Write a whole number"),
        ("quantity=9999999", "Write a whole number"),
        ("quantity=%C2%B2", "Write a whole number"),
        ("part=nothing", "There is no such part"),
        ("by=tomorrow", "Write a date as 2027-03-19."),
        ("bend=-1", "Write a number from 0 to"),
        ("bend=0", "Write a number above 0."),
        ("force=nan", "Write a number"),
        ("force=1e99", "Write a number"),
        ("held=glued", "Choose one of the list."),
        ("wage=free", "Write a number"),
        ("rate=100", "Write a number from 0 to 99."),
    ],
)
def test_what_cannot_be_right_is_said_beside_its_field(web, query, said):
    visitor = web.visitor()
    answer = visitor.get(f"{HERE}?{query}")
    assert answer.status_code == 422
    assert said in plain(answer.text)
    assert "data-bad" in answer.text
    part = visitor.page(f"{HERE}/answer?{query}")
    assert said in plain(part)
    assert f'data-bad="{query.split("=")[0]}"' in part


def test_all_faults_are_said_at_once_and_what_was_typed_stays(web):
    answer = web.visitor().get(f"{HERE}?quantity=none&bend=x&customer=Tern+%3Cclub%3E")
    assert "2 things cannot be right" in plain(answer.text)
    assert 'value="none"' in answer.text
    assert 'value="Tern &lt;club&gt;"' in answer.text


def test_a_comma_is_a_point(web):
    visitor = web.visitor()
    point, comma = (visitor.page(f"{ASKED}&force={text}") for text in ("10.5", "10%2C5"))
    assert _row(point, "Bends") == _row(comma, "Bends")


def test_what_if_figures_are_said_to_be_so_and_promise_no_price(web, answered):
    page = web.visitor().page(f"{ASKED}&wage=40")
    words = plain(page)
    assert "These are what-if figures" in words
    assert "Quote 24 at €" not in words
    assert all(
        float(new) > float(old)
        for new, old in zip(
            _row(page, "Unit cost"), (c.unit_cost for c in answered.choices), strict=True
        )
    )


def test_less_allowed_than_any_way_bends_passes_none_and_recommends_none(web):
    page = web.visitor().page(f"{ASKED}&bend=0.1")
    assert "No way passes." in plain(page)
    assert 'class="main-act"' not in page
    # One that fails may still be quoted, by its own button.
    assert page.count(">Quote 24<") == 3


def test_a_date_that_cannot_be_met_is_said(web):
    # The stand-in for the planner is ready 10,000 minutes, a week, after the first of March.
    words = plain(web.visitor().page(f"{ASKED}&by=2027-03-03&dates=planned"))
    assert "late by 5 days" in words
    assert "Mon 8 Mar, late" in words
    words = plain(web.visitor().page(f"{ASKED}&by=2027-03-19&dates=planned"))
    assert "11 days before it is wanted" in words


def test_a_viewer_sees_the_answer_and_no_button(web):
    page = web.visitor(Role.BENCH).page(ASKED)
    assert "Unit cost" in page
    assert '/quotes" method' not in page
    assert 'class="main-act"' not in page


def test_one_press_makes_the_quote_and_two_make_one(web):
    visitor = web.visitor()
    page = visitor.page(f"{ASKED}&customer=Tern+survey+club&by=2027-03-19")
    form = re.search(r'<form[^>]* action="[^"]*/quotes" method="post">(.*?)</form>', page, re.S)[1]
    fields = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form))
    first = visitor.post(f"/shops/{KEY}/quotes", fields)
    again = visitor.post(f"/shops/{KEY}/quotes", fields)
    assert first.status_code == again.status_code == 303
    assert first.headers["location"] == again.headers["location"] == f"/shops/{KEY}/quotes/1"
    kept = web.bench.revision(1)
    assert (kept.inputs.part, kept.inputs.quantity) == ("stabiliser", 24)
    assert kept.inputs.process == fields["process"]
    assert kept.customer == "Tern survey club"
    # The end of the opening that Friday: 13:00 in Lisbon, which is UTC in March.
    assert kept.due.isoformat() == "2027-03-19T13:00:00+00:00"
    other = visitor.post(f"/shops/{KEY}/quotes", fields | {"quantity": "25"})
    assert other.status_code == 409


def test_figures_are_saved_as_svg_and_csv(web, answered):
    visitor = web.visitor()
    for name in ("cost", "time", "bend", "stiffness"):
        saved = visitor.get(f"{HERE}/{name}.svg?part=stabiliser&quantity=24")
        assert saved.status_code == 200
        assert ET.fromstring(saved.content).tag.endswith("svg")
        assert (
            saved.headers["content-disposition"] == f'attachment; filename="stabiliser-{name}.svg"'
        )
    table = visitor.get(f"{HERE}/cost.csv?part=stabiliser&quantity=24")
    rows = list(csv.reader(io.StringIO(table.content.decode("utf-8-sig"))))
    at_24 = next(row for row in rows if row[0] == "24")
    passing = [float(c.unit_cost) for c in answered.choices if c.meets_requirement]
    assert [round(float(cell), 2) for cell in at_24[1:3]] == passing
    assert visitor.get(f"{HERE}/nothing.svg").status_code == 404
    assert visitor.get(f"{HERE}/cost.exe").status_code == 404


def test_a_shop_without_parts_says_what_to_do_first(web):
    keeper = web.keeper()
    few = {
        "name": "B",
        "key": "few",
        "currency": "EUR",
        "zone": "Europe/Lisbon",
        "day": "8:00-9:00",
    }
    keeper.post("/shops/written", few | {"day": "08:00-09:00"})
    words = plain(keeper.page("/shops/few/enquiry"))
    assert "There is nothing to ask about yet." in words
    assert "What to write next" in words


def test_a_part_of_which_nothing_is_asked_can_be_enquired_about(web):
    part = replace(DEMO.part("stabiliser"), requirement=None)
    web.bench.change_shop(parts={**DEMO.parts, "stabiliser": part})
    page = web.visitor().page(ASKED)
    assert _row(page, "Bears it") == ["nothing asked"] * 3
    words = plain(web.visitor().page(f"{ASKED}&force=4"))
    assert "Give the load and the most it may bend" in words


def test_where_others_plan_for_too_long_dates_are_by_rate_and_said_to_be_so(web):
    web.bench.finish.error = Busy("Others wait for dates too.")
    words = plain(web.visitor().page(f"{ASKED}&dates=planned"))
    assert "by rate alone" in words
    assert "Unit cost" in words


def test_where_no_plan_can_hold_it_prices_stand_and_no_date_is_said(web):
    web.bench.finish.error = HardLimit(["The press is shut for good."])
    page = web.visitor().page(f"{ASKED}&dates=planned")
    assert "The press is shut for good." in plain(page)
    assert "Unit cost" in page
    with pytest.raises(AssertionError):
        _row(page, "Ready")


def test_a_way_that_fails_shows_what_would_make_it_pass(web):
    words = plain(web.visitor().page(f"/shops/{KEY}/enquiry?part=stabiliser&quantity=10"))
    assert "What would make Printed pass" in words
    # From 45.8 mm to 26: the cube root of 1.763 is 1.208, so 14.5 % of the chord; of whole ones 15.
    assert "12 % of the chord to 15 %" in words


def test_a_parts_sheet_says_what_would_pass(web):
    words = plain(web.visitor().page(f"/shops/{KEY}/parts/stabiliser"))
    assert "What would pass" in words
    assert "12 % of the chord to 15 %" in words


def test_springy_mounts_are_asked_with_their_stiffness(web):
    asked = f"/shops/{KEY}/enquiry?part=main-foil&quantity=5&held=elastic+mounts"
    refused = web.visitor().get(asked)
    assert refused.status_code == 422
    assert "Springy mounts need their stiffness" in plain(refused.text)
    stiff = plain(web.visitor().page(f"{asked}&mount=1e9"))
    soft = plain(web.visitor().page(f"{asked}&mount=1"))

    def bends(words):
        return [float(n) for n in re.search(r"Bends mm, of 6.0 ([\d.]+) ([\d.]+)", words).groups()]

    # From no hold at the ends to a full one the bend falls by about five (handbook: 5 for a
    # uniform bar under a uniform load); a taper and shear move it a little.
    ratios = [a / b for a, b in zip(bends(soft), bends(stiff), strict=True)]
    assert all(3.5 < ratio < 5.5 for ratio in ratios)


def test_what_passes_only_by_a_what_if_is_not_quoted_by_one_press(web):
    # The stiffest way bends 2.5 mm: written as 1 mm at most, every way fails, and at 60 all pass.
    part = DEMO.part("stabiliser")
    strict = replace(part, requirement=replace(part.requirement, deflection_mm=1.0))
    web.bench.change_shop(parts={**DEMO.parts, "stabiliser": strict})
    page = web.visitor().page(f"{ASKED}&bend=60")
    assert "As written it fails." in plain(page)
    assert 'class="main-act">Quote' not in page
    assert f'href="/shops/{KEY}/edit/parts/stabiliser"' in page


def test_a_quote_of_a_way_that_fails_says_so_beside_what_sends_it(web):
    kept = web.bench.quoted(web.bench.draft(replace(WANTED, process="printed")))
    words = plain(web.visitor().page(f"/shops/{KEY}/quotes/{kept.number}"))
    look = words.index("Look before it goes out. It does not meet what is asked of the part")
    assert look < words.index("It went to the customer")


def test_what_would_change_the_answer_is_worked_out_when_asked_for(web):
    visitor = web.visitor()
    here = f"{HERE}?part=camera-boom&quantity=6"
    first = visitor.page(here)
    assert "What would change the answer" in plain(first)
    assert "If alone" not in plain(first)
    link = "part=camera-boom&amp;quantity=6&amp;changes=recommended#h-changes"
    assert link in first
    found = what_changes(DEMO, "camera-boom", 6, now=minute_of(web.now))
    page = visitor.page(f"{here}&changes=recommended")
    asked = page[page.index('data-slot="changes"') : page.index('data-slot="cost"')]
    said = plain(asked)
    for switch in found.switches:
        assert switch.input.title[1:] in said
    assert asked.count('<th scope="row">') == len(found.switches)
    assert f"{len(found.steady)} numbers change nothing" in said


def test_a_day_by_the_rate_is_headed_so_and_none_is_where_moulds_run_out(web):
    page = plain(web.visitor().page(ASKED))
    assert re.search(r"is ready on .{5,60} by the rate alone", page)
    many = plain(web.visitor().page(f"/shops/{KEY}/enquiry?part=stabiliser&quantity=250"))
    assert "is ready on" not in many
    assert "has no date that can be given" in many
    assert "more moulds stabiliser-cast would do" in many
