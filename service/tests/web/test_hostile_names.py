"""Names that mean harm: shown as they were written on every page, in every file, on every paper."""

from __future__ import annotations

import csv
import io
import json
import logging
from xml.etree import ElementTree

import pypdfium2
import pytest
from forms_shown import read_page
from openpyxl import load_workbook
from service_bench import SHOP
from walked_routes import FIRST, opened
from whole_bench import V1, Browser, said, whole_bench

from mouldwright.logs import JsonLines

MARK = "harm7"
# A tag, an attribute, a template, markup of documents, a mirrored end, 4-byte characters.
HARM = (
    f"={MARK}</title></script></textarea><script>alert(1)</script><img src=x onerror=alert(1)>"
    "\"' onmouseover='alert(1) {{7*7}} {% raw %} #panic() $x$ *b* "
    "\u202egnp\u202c \U0001d6d1\U0001f9ea"
)
TITLED = ("materials", "parts", "processes", "people", "stations", "suppliers", "moulds")


@pytest.fixture(scope="module")
def harmed(tmp_path_factory) -> tuple[Browser, str]:
    """Everything that has a name has one that means harm."""
    bench, offer = whole_bench(tmp_path_factory.mktemp("names"), customer=HARM)
    owner = bench.client("owner")
    kept = owner.get(f"{V1}/scenario.json")
    shop = kept.json()
    shop["shop"]["name"] = HARM
    for section in TITLED:
        for key, entry in shop.get(section, {}).items():
            if "title" in entry:
                entry["title"] = f"{HARM} {key}"
    body = {"scenario": shop}
    said(owner.put(f"{V1}", json=body, headers={"If-Match": '"1"'}), 200)
    yield Browser(bench, bench.secret("keeper")), offer
    bench.opened.close()


@pytest.fixture(scope="module")
def walked(harmed):
    browser, offer = harmed
    return list(opened(browser, ["/?all=1", offer, f"{offer}/pdf", *FIRST]))


def of_kind(walked, kind: str) -> list[tuple[str, bytes]]:
    return [
        (path, answer.content)
        for path, answer in walked
        if answer.status_code == 200 and kind in answer.headers.get("content-type", "")
    ]


def test_every_page_and_file_opens(walked):
    assert len(walked) > 90
    assert [(path, a.status_code) for path, a in walked if a.status_code >= 500] == []


def test_no_page_runs_a_name(walked):
    pages = of_kind(walked, "text/html")
    shown = [path for path, content in pages if MARK.encode() in content]
    assert len(shown) > 30
    for path, content in pages:
        assert read_page(content.decode(), path).armed == [], path
        assert b"<img src=x" not in content, path
        assert b"<script>alert" not in content, path
        assert b"harm7</title>" not in content, path
        assert b" 49 " not in content or b"{{7*7}}" in content, path


def test_no_picture_runs_a_name(walked):
    pictures = of_kind(walked, "image/svg+xml")
    assert pictures
    for path, content in pictures:
        for element in ElementTree.fromstring(content).iter():
            assert not str(element.tag).endswith("script"), path
            assert not [name for name in element.attrib if name.startswith("on")], path


def test_no_cell_is_a_formula(walked):
    tables = of_kind(walked, "text/csv")
    assert len(tables) > 10
    named = 0
    for path, content in tables:
        for row in csv.reader(io.StringIO(content.decode("utf-8-sig"))):
            for cell in row:
                named += MARK in cell
                assert not cell.startswith(("=", "@", "\t", "\r")), (path, cell)
    assert named > 10
    books = of_kind(walked, "spreadsheetml")
    assert len(books) > 10
    for path, content in books:
        for sheet in load_workbook(io.BytesIO(content)):
            for row in sheet.iter_rows():
                assert [cell.value for cell in row if cell.data_type == "f"] == [], path


def test_every_paper_sets_a_name_as_it_is_written(walked):
    papers = of_kind(walked, "application/pdf")
    assert len(papers) >= 3
    for path, content in papers:
        document = pypdfium2.PdfDocument(content)
        text = "".join(page.get_textpage().get_text_range() for page in document)
        if MARK in text:
            assert "#panic()" in text, path
    assert any(MARK in text_of(content) for _, content in papers)


def text_of(content: bytes) -> str:
    return "".join(p.get_textpage().get_text_range() for p in pypdfium2.PdfDocument(content))


def test_no_log_has_a_name(harmed, caplog):
    browser, offer = harmed
    caplog.set_level(logging.INFO, logger="mouldwright")
    caplog.handler.setFormatter(JsonLines())
    for path in (offer, f"/shops/{SHOP}/quotes", f"/shops/{SHOP}/find?q={MARK}"):
        browser.get(path)
    browser.post(f"/shops/{SHOP}/quotes", [("part", HARM), ("customer", HARM), ("quantity", "x")])
    lines = caplog.text.splitlines()
    assert len([json.loads(line) for line in lines]) >= 4
    assert MARK not in caplog.text
