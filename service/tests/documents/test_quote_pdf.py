"""A quote on paper: read back from the PDF itself, in every language, on both papers."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import numpy as np
import pypdfium2
import pytest
from promise_bench import DEMO, NOW, freeze

from mouldwright.documents.quote_pdf import file_name, quote_pdf
from mouldwright.documents.quote_sheet import quote_sheet, shortened
from mouldwright.documents.setting import PAPERS, paper_of
from mouldwright.documents.wording import LANGUAGES, words_in
from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.order import PartSet, SetItem, SetPart
from mouldwright.domain.promise.revision import QuoteFigures, QuoteInputs, QuoteRevision
from mouldwright.domain.terms import USUAL, Delivery, Terms
from mouldwright.figures.section_drawing import draw_section
from mouldwright.usecases.enquiry import finish_by_rate
from mouldwright.usecases.quoting import quote
from mouldwright.wire.answers.quote import QuoteAnswer

# ISO 216 and ANSI sizes in points of 1/72 inch.
SIZES_PT = {"a4": (595.3, 841.9), "us-letter": (612.0, 792.0)}


def revision(part="stabiliser", process="cast", quantity=24, *, shop=DEMO, terms=USUAL, **more):
    now = minute_of(NOW)

    def hurried(*asked):
        """Two days sooner than at the ordinary pace."""
        ready = finish_by_rate(*asked)
        return replace(ready, finish=ready.finish - 2 * 1440)

    by = {"finish": finish_by_rate, "hurried": hurried}
    quoted = quote(shop, part, process, quantity, now=now, terms=terms, **by)
    return QuoteRevision(
        number=63,
        revision=2,
        state="sent",
        inputs=QuoteInputs(
            shop_version=1, part=part, process=process, quantity=quantity, now=now, terms=terms
        ),
        figures=QuoteFigures.of(shop, quoted),
        made_at=NOW,
        moved_at=NOW,
        document=freeze(shop, quoted),
        **{"customer": "Tern survey club", **more},
    )


def read(pdf: bytes) -> tuple[int, str]:
    """Return a PDF's pages and its text, every white space one blank."""
    document = pypdfium2.PdfDocument(pdf)
    text = " ".join(page.get_textpage().get_text_bounded() for page in document)
    return len(document), re.sub(r"\s+", " ", text)


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("quantity", [24, 250])
def test_a_simple_quote_is_one_page_on_every_paper_in_every_language(language, paper, quantity):
    made = revision(process="pressed", quantity=quantity)
    pdf = quote_pdf(quote_sheet(DEMO, made, language=language), paper=paper)
    assert read(pdf)[0] == 1
    page = pypdfium2.PdfDocument(pdf)[0]
    assert page.get_size() == pytest.approx(SIZES_PT[paper], abs=0.2)


def test_every_amount_stands_on_the_page_and_adds_up():
    made = revision()
    _, text = read(quote_pdf(quote_sheet(DEMO, made)))
    figures = made.figures
    assert figures.net == figures.price_each * 24
    assert figures.gross == figures.net + figures.tax
    for amount in (
        figures.price_each,
        figures.net,
        figures.tax,
        figures.gross,
        figures.deposit,
        figures.gross - figures.deposit,
    ):
        assert f"€{amount:,}" in text
    # The shop's own tax and deposit, as shares of what they are shares of.
    assert "Tax, 23 %" in text
    assert "Deposit on ordering, 40 %" in text
    assert round(figures.net * Decimal("0.23"), 2) == figures.tax


def test_it_says_who_what_when_until_and_how_surely():
    _, text = read(quote_pdf(quote_sheet(DEMO, revision(due=NOW + timedelta(days=20)))))
    assert "The foil bench" in text
    assert "Quote 63" in text
    assert "Revision 2, 1 March 2027, open until 31 March 2027" in text
    assert "For Tern survey club" in text
    assert "fast-cure casting on rods" in text
    assert "Wanted by 21 March 2027." in text
    assert "of 100 such orders" in text


@pytest.mark.parametrize(
    ("language", "chord", "thick"),
    [("en", "64.0", "7.7"), ("de", "64,0", "7,7"), ("fr", "64,0", "7,7")],
)
def test_the_sizes_on_the_drawing_are_written_as_the_language_writes_them(language, chord, thick):
    """The stabiliser's chord is 64 mm; a NACA 0012 is 12 % of that thick, 7.68 mm."""
    section = quote_sheet(DEMO, revision(), language=language).section
    drawn = draw_section(section, width_px=300).body
    assert f">{chord}<" in drawn
    assert f">{thick}<" in drawn


def test_a_part_that_bears_load_carries_its_cautions_in_the_language():
    german = read(quote_pdf(quote_sheet(DEMO, revision(), language="de")))[1].replace("- ", "")
    assert "trägt Last" in german
    assert "scharfe Kanten" in german
    # Who pours is warned of it on the shop's own page.
    assert "Isocyanat" not in german
    assert "Datenblätter" in german


def test_each_language_writes_money_and_dates_its_own_way():
    # A thousand and cents: 1.234,50 € in German (DIN 5008), 1 234,50 € in French, by CLDR.
    made = revision(process="pressed", quantity=250)
    german = quote_sheet(DEMO, made, language="de")
    assert german.standing.endswith("gültig bis 31. März 2027")
    assert re.fullmatch(r"\d{2}\.\d{3},\d{2}\s€", german.amounts[0].amount)
    french = quote_sheet(DEMO, made, language="fr")
    assert re.fullmatch(r"\d{2}\s\d{3},\d{2}\s€", french.amounts[0].amount)


def test_yen_has_no_decimals_and_dinars_three():
    # ISO 4217, minor units.
    made = revision()
    for code, net, shown in (("JPY", "1235", "JP¥1,235"), ("KWD", "1234.500", "1,234.500")):
        figures = replace(made.figures, currency=code)
        document = re.sub(r'"net":"[^"]*"', f'"net":"{net}"', made.document)
        sheet = quote_sheet(DEMO, replace(made, figures=figures, document=document))
        assert sheet.offer.endswith(shown)


def test_a_caution_the_shop_wrote_itself_stands_as_written():
    made = revision()
    document = made.document.replace('"cautions":[', '"cautions":["Mind the cat.",')
    sheet = quote_sheet(DEMO, replace(made, document=document), language="fr")
    assert sheet.cautions[0] == "Mind the cat."


def test_what_a_customer_is_called_is_never_read_as_markup():
    name = '#panic("no") *bold* $x$ <b>&amp; \\ "q"'
    _, text = read(quote_pdf(quote_sheet(DEMO, replace(revision(), customer=name))))
    assert f"For {name}" in text


def test_the_same_revision_gives_the_same_bytes():
    sheet = quote_sheet(DEMO, revision())
    assert quote_pdf(sheet) == quote_pdf(sheet)


def test_the_faces_are_in_the_file():
    raw = quote_pdf(quote_sheet(DEMO, revision()))
    named = set(re.findall(rb"/FontName\s*/[A-Z]{6}\+([A-Za-z-]+)", raw))
    assert named
    assert all(name.startswith(b"SourceSansPro") for name in named)


def test_a_set_names_what_is_in_it():
    sold = PartSet(
        key="pair",
        title="A pair of foils",
        parts=(
            SetPart(part="stabiliser", process="cast", count=2),
            SetPart(part="sensor-fin", process="printed-small"),
        ),
        items=(SetItem(name="bag", cost=Decimal("2.00")),),
    )
    shop = replace(DEMO, sets={"pair": sold})
    sheet = quote_sheet(shop, revision("pair", None, 5, shop=shop))
    assert sheet.section is None
    assert sheet.what[0].startswith("A pair of foils. ")
    assert sheet.what[1:] == (
        "2 × Stabiliser foil, 260 mm, Fast-cure casting on rods",
        f"1 × Sensor fin, 120 mm, {DEMO.process('printed-small').title}",
        "1 × bag",
    )


def test_a_price_without_a_number_says_so():
    assert quote_sheet(DEMO, replace(revision(), number=0)).title == "Price, without a number"


def test_why_a_small_order_costs_what_it_does_is_said():
    # The demo takes no order under 60.00, and one piece costs less than that.
    assert "€60.00" in quote_sheet(DEMO, revision()).breaks_note


def test_every_language_says_everything_with_the_same_places_to_fill():
    def places(text: str) -> list[str]:
        return sorted(re.findall(r"{(\w+)}", text))

    english = words_in("en")
    for words in LANGUAGES.values():
        for name in english.__slots__:
            ours, theirs = getattr(english, name), getattr(words, name)
            if isinstance(ours, str):
                assert theirs
                assert places(ours) == places(theirs), name
            else:
                assert ours.keys() == theirs.keys(), name


@pytest.mark.parametrize(("ask", "path"), [(words_in, "language"), (paper_of, "paper")])
def test_what_is_not_there_is_refused_with_what_is(ask, path):
    with pytest.raises(InvalidInput) as caught:
        ask("xx")
    assert caught.value.faults[0].path == path


def test_a_file_is_named_by_its_quote():
    assert file_name(revision()) == "quote-63-2.pdf"


def test_the_makers_address_and_number_stand_at_the_head():
    shop = replace(
        DEMO,
        address=("2 Ropewalk", "Little Haven"),
        contact=("bench@example.org",),
        tax_number="PT 999 999 990",
    )
    _, text = read(quote_pdf(quote_sheet(shop, revision())))
    for line in ("2 Ropewalk", "Little Haven", "bench@example.org", "Tax number PT 999 999 990"):
        assert line in text


DELIVERIES = (
    Delivery(quantity=8, due=NOW + timedelta(days=2), rush=True),
    Delivery(quantity=16),
)
AGREED = Terms(customer_class="club", discount_amount=Decimal("12.50"), deliveries=DELIVERIES)


def words_day(language: str) -> str:
    """Return 3 March 2027, two days from now, as each language writes it."""
    return {"en": "3 March 2027", "de": "3. März 2027", "fr": "3 mars 2027"}[language]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("paper", PAPERS)
def test_what_is_agreed_is_on_paper_in_every_language_still_on_one_page(language, paper):
    made = revision(process="pressed", terms=AGREED, address=("2 Quay Lane", "Reedmouth"))
    pages, text = read(quote_pdf(quote_sheet(DEMO, made, language=language), paper=paper))
    words = words_in(language)
    assert pages == 1
    for said in (
        "2 Quay Lane",
        words.discount_class.split(",")[0].format(who="club"),
        words.rush.split(",")[0],
        words.delivery.format(number=2),
        words.delivery_wanted.split("{")[0] + words_day(language),
        words.rush_option.split(":")[0].split("{")[0].strip(),
    ):
        assert said in text


@pytest.mark.parametrize("language", LANGUAGES)
def test_prices_with_their_tax_are_said_so_on_paper(language):
    shop = replace(DEMO, price=replace(DEMO.price, tax_included=True))
    made = revision(process="pressed", shop=shop)
    _, text = read(quote_pdf(quote_sheet(shop, made, language=language)))
    words = words_in(language)
    assert words.each_with_tax.split("}")[1].strip() in text
    assert words.tax_in.split(",")[0] in text
    assert words.with_tax in text


MARK = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20">'
    '<rect width="40" height="20" fill="#c00000"/></svg>'
)


@pytest.mark.parametrize("paper", PAPERS)
def test_the_shops_mark_stands_at_the_head(paper):
    shop = replace(DEMO, mark=MARK)
    marked = quote_pdf(quote_sheet(shop, revision(process="pressed", shop=shop)), paper=paper)
    plain = quote_pdf(quote_sheet(DEMO, revision(process="pressed")), paper=paper)
    assert read(marked)[0] == 1

    def red_above(pdf: bytes) -> int:
        """Return how many points of the head are as red as the mark."""
        page = pypdfium2.PdfDocument(pdf)[0].render(scale=1).to_pil().convert("RGB")
        head = page.crop((0, 0, page.width, 110))
        points = np.asarray(head).reshape(-1, 3)
        return int(((points[:, 0] > 150) & (points[:, 1:] < 60).all(axis=1)).sum())

    assert red_above(plain) == 0
    # 14 mm of the height is 39.7 points and the mark is twice as wide: 3,100 points.
    assert 2_500 < red_above(marked) < 3_700


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_day_is_counted_from_when_its_material_can_be_there_and_says_so(language):
    # The demo's 610 g of fast part a are all taken by its booked orders and by less than 24 foils;
    # its supplier takes three days from Monday 1 March.
    made = revision()
    lacking = QuoteAnswer.model_validate_json(made.document).materials_lacking
    assert {(each.material, str(each.there_on)) for each in lacking} >= {
        ("fast-part-a", "2027-03-04")
    }
    # Casting takes hours, so a day counted from Thursday 4 March is that day or a later one.
    assert made.figures.finish >= minute_of(datetime(2027, 3, 4, tzinfo=ZoneInfo(DEMO.zone)))
    pages, text = read(quote_pdf(quote_sheet(DEMO, made, language=language)))
    assert pages == 1
    assert words_in(language).counted_from.split("{")[0].strip() in text
    # A paper of before days were counted so keeps saying what its own day took as there.
    early = replace(made, figures=replace(made.figures, finish=minute_of(NOW) + 60))
    _, text = read(quote_pdf(quote_sheet(DEMO, early, language=language)))
    assert words_in(language).lacking_until.split("{")[0].strip() in text


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_price_that_is_not_kept_speaks_of_no_link(language):
    # A link is made to a quote that is kept, and so has a number.
    words = words_in(language)
    loose = quote_sheet(DEMO, replace(revision(), number=0), language=language)
    assert loose.accept == words.accept_by_writing
    assert quote_sheet(DEMO, revision(), language=language).accept == words.accept
    _, text = read(quote_pdf(loose))
    assert words.accept not in text
    assert words.accept_by_writing in text


def test_a_long_name_of_the_shop_does_not_run_through_the_frame():
    long = "The foil bench and small-boat appendage workshop of Reedmouth upon the estuary"
    shop = replace(DEMO, name=long)
    sheet = quote_sheet(shop, revision(shop=shop))
    assert sheet.maker == long
    assert sheet.title_block[0][1] == "The foil bench\N{HORIZONTAL ELLIPSIS}"
    assert shortened("The foil bench") == "The foil bench"
    assert len(shortened("Strömungsvermessungsgesellschaft")) <= 18
