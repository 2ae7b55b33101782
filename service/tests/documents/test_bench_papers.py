"""Papers for the bench, read back: day sheets, labels whose codes are scanned, what to buy."""

from __future__ import annotations

import io
import re
from datetime import date

import numpy
import pypdfium2
import pytest
import zxingcpp
from promise_bench import DEMO

from mouldwright.documents.buy_paper import buy_pdf
from mouldwright.documents.day_paper import day_pdf
from mouldwright.documents.mould_labels import labels_pdf, moulds_of
from mouldwright.documents.setting import PAPERS, set_on_paper
from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.place_titles import place_title
from mouldwright.planning.run import make_plan
from mouldwright.usecases.buying import to_buy
from mouldwright.usecases.day_sheet import day_sheets
from mouldwright.usecases.papers import DayAsked, families_asked, people_asked

NOW = minute_of(DEMO.start)
TUESDAY = date(2027, 3, 2)
ADDRESS = "https://bench.example"


def pages(pdf: bytes) -> list[str]:
    """Return the text of each page, every white space one blank."""
    document = pypdfium2.PdfDocument(io.BytesIO(pdf))
    texts = [page.get_textpage().get_text_bounded() for page in document]
    return [re.sub(r"\s+", " ", text) for text in texts]


@pytest.fixture(scope="module")
def plan():
    return make_plan(DEMO, now=NOW, seconds=0.0, seed=1)


def asked(plan, people=tuple(DEMO.people), day=TUESDAY):
    return DayAsked(shop=DEMO, plan=plan, people=people, day=day, standing="plan 3")


@pytest.mark.parametrize("paper", PAPERS)
def test_each_person_has_pages_with_every_weight_of_the_day(plan, paper):
    text = pages(day_pdf(asked(plan), paper=paper))
    for sheet in day_sheets(DEMO, plan, DEMO.people, TUESDAY):
        name = DEMO.people[sheet.person].title
        mine = " ".join(each for each in text if f"{name}, Tue 2 Mar 2027" in each)
        assert mine
        every = " ".join(text)
        for step in sheet.steps:
            assert step.tasks[0].task.operation.lower() in every.lower()
            mix = step.tasks[0].mix
            if mix is not None:
                for grams in (*mix.components_g.values(), mix.total_g):
                    assert f"{grams:f} g" in every


@pytest.mark.parametrize("paper", PAPERS)
def test_each_day_of_a_person_in_the_first_week_stands_on_one_page(plan, paper):
    for day in range(1, 8):
        text = pages(day_pdf(asked(plan, day=date(2027, 3, day)), paper=paper))
        assert len(text) == len(DEMO.people)


def test_a_day_too_long_for_a_page_takes_more_and_loses_no_line():
    steps = [
        {"start": f"{n:05d}", "end": "", "what": "Pour", "places": [], "note": "", "by": ""}
        for n in range(600)
    ]
    sheet = {
        **{"name": "Inês", "hours": "", "cautions": [], "closes": "", "tonight": []},
        **{"next_day": "", "next_steps": [], "next_more": 0},
        "steps": [{**step, "mix": None} for step in steps],
    }
    text = pages(
        set_on_paper("day", {"shop": "S", "day": "Tue", "standing": "plan 3", "sheets": [sheet]})
    )
    assert len(text) > 1
    shown = [word for page in text for word in page.split() if word.isdigit() and len(word) == 5]
    assert shown == [step["start"] for step in steps]


def test_moulds_of_one_family_share_its_name_and_say_how_many_times(plan):
    text = " ".join(pages(day_pdf(asked(plan, day=date(2027, 3, 1)))))
    step = next(
        step
        for step in day_sheets(DEMO, plan, ("ines",), date(2027, 3, 1))[0].steps
        if len({each.task.mould for each in step.tasks}) > 1
    )
    numbers = [each.task.mould.rpartition(" ")[2] for each in step.tasks]
    family = place_title(DEMO, step.tasks[0].task.mould).rpartition(" ")[0]
    said = f"{family} {', '.join(numbers)}"
    assert said in text
    assert f"{len(numbers)} times" not in text.partition(said)[2][:20]


def test_a_day_without_work_says_so(plan):
    text = pages(day_pdf(asked(plan, people=("ines",), day=date(2027, 3, 7))))
    assert len(text) == 1
    assert "Nothing is booked." in text[0]


def test_every_label_has_a_code_that_leads_to_its_mould():
    moulds = moulds_of(DEMO)
    made = labels_pdf(DEMO, "foils", moulds, ADDRESS)
    shown = [page.render(scale=3).to_pil().convert("L") for page in pypdfium2.PdfDocument(made)]
    read = [code.text for page in shown for code in zxingcpp.read_barcodes(numpy.array(page))]
    assert sorted(read) == sorted(
        f"{ADDRESS}/shops/foils/m/{name.replace(' ', '/')}" for name in moulds
    )
    text = " ".join(pages(made))
    assert all(name in text for name in moulds)


def test_labels_of_one_family_are_those_of_its_moulds():
    key = next(iter(DEMO.moulds))
    assert moulds_of(DEMO, [key]) == tuple(
        f"{key} {mould.number}" for mould in DEMO.moulds[key].moulds
    )


def test_what_to_buy_is_on_paper_to_the_cent_with_its_hazards():
    found = to_buy(DEMO, now=NOW)
    text = " ".join(pages(buy_pdf(found)))
    assert f"EUR {found.found.best.total}" in text
    for delivery in found.found.best.deliveries:
        assert delivery.supplier.title in text
        assert str(delivery.total) in text
    hazardous = any(p.offer.hazardous for d in found.found.best.deliveries for p in d.packs)
    assert ("Hazardous goods" in text) == hazardous is True


def test_the_same_paper_is_the_same_to_the_byte(plan):
    assert day_pdf(asked(plan)) == day_pdf(asked(plan))
    assert labels_pdf(DEMO, "k", moulds_of(DEMO), ADDRESS) == labels_pdf(
        DEMO, "k", moulds_of(DEMO), ADDRESS
    )


def test_whom_and_what_there_is_not_is_refused():
    with pytest.raises(InvalidInput, match="no such person"):
        people_asked(DEMO, "nobody")
    with pytest.raises(InvalidInput, match="no such family"):
        families_asked(DEMO, ["no-such"])
