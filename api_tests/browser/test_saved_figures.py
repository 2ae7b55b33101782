"""Figures kept as files: as dots, as a drawing that stands alone, as a table."""

from __future__ import annotations

import csv
import io
import struct
import xml.etree.ElementTree as Tree

import pytest
from sheets import SHOP

ENQUIRY = f"{SHOP}/enquiry?part=stabiliser&quantity=24"
PROCESS = f"{SHOP}/processes/pressed"


def kept(reader, figure: str, kind: str) -> tuple[str, bytes]:
    place = reader.page.locator(f'[data-figure="{figure}"]')
    with reader.page.expect_download() as waited:
        place.get_by_role("button", name=f"Save as {kind.upper()}").click()
    found = waited.value
    return found.suggested_filename, found.path().read_bytes()


def size_of(picture: bytes) -> tuple[int, int]:
    """Return width and height of a PNG: its signature, then the first chunk (RFC 2083, 4.1.1)."""
    assert picture[:8] == b"\x89PNG\r\n\x1a\n"
    assert picture[12:16] == b"IHDR"
    return struct.unpack(">II", picture[16:24])


@pytest.mark.parametrize("width", ["wide", "phone"])
def test_a_chart_is_saved_as_dots_twice_as_many_as_it_is_shown_in(reader, width):
    reader.open(ENQUIRY, width=width)
    name, picture = kept(reader, "cost-by-quantity", "png")
    assert name == "cost-by-quantity.png"
    shown = reader.page.locator('[data-figure="cost-by-quantity"] > svg.fig:visible')
    across, down = shown.evaluate(
        "(svg) => [svg.viewBox.baseVal.width, svg.viewBox.baseVal.height]"
    )
    # A margin of 14 px all round.
    assert size_of(picture) == (
        pytest.approx(2 * across + 56, abs=1),
        pytest.approx(2 * down + 56, abs=1),
    )
    # Something is drawn: one colour alone packs into next to nothing.
    assert len(picture) > 10_000


def test_a_drawing_without_an_address_of_its_own_is_saved_too(reader):
    reader.open(PROCESS)
    name, drawing = kept(reader, "strip", "svg")
    assert name == "strip.svg"
    root = Tree.fromstring(drawing)
    svg = "{http://www.w3.org/2000/svg}"
    assert root.tag == f"{svg}svg"
    style = root.find(f"{svg}style")
    assert style is not None
    assert "var(--" not in style.text
    patterns = {pattern.get("id") for pattern in root.iter(f"{svg}pattern")}
    used = {
        rect.get("fill")[5:-1]
        for rect in root.iter(f"{svg}rect")
        if "url(#" in rect.get("fill", "")
    }
    assert used
    assert used <= patterns


def test_a_figure_is_saved_as_the_table_that_stands_under_it(reader):
    reader.open(PROCESS)
    _, text = kept(reader, "strip", "csv")
    rows = list(csv.reader(io.StringIO(text.decode("utf-8-sig"))))
    table = reader.page.locator('[data-figure="strip"] table')
    reader.page.get_by_text("The same as a table").click()
    assert len(rows) == table.locator("tr").count()
    assert rows[0] == table.locator("thead th").all_inner_texts()
    assert "cure" in {row[0] for row in rows} | {row[1] for row in rows}


def test_the_slash_key_goes_to_the_search_field_but_not_from_within_a_field(reader):
    reader.open(f"{SHOP}/parts")
    reader.page.keyboard.press("/")
    assert reader.page.evaluate("() => document.activeElement.id") == "find"
    reader.page.keyboard.type("1/2")
    assert reader.page.locator("#find").input_value() == "1/2"
