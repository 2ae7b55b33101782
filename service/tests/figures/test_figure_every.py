"""What holds for every figure: sound, said, escaped, uncluttered, the same each time."""

import re
import xml.etree.ElementTree as ET

import pytest
from drawn_samples import EVERY, SVG, colliding, letters, section, tree
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.figures.look import shared_defs
from mouldwright.figures.section_drawing import draw_section
from mouldwright.figures.table import Table

WIDTHS = (240, 340, 480, 760, 1180)
HOSTILE = "</text><script>alert(1)</script>\" onload='x' &amp; ]]>\x00\x0b\ufffe"

every = pytest.mark.parametrize("name", EVERY)
at_every_width = pytest.mark.parametrize("width", WIDTHS)


@every
@at_every_width
def test_no_words_cover_one_another_and_none_leave_the_sheet(name: str, width: int) -> None:
    drawing = EVERY[name]("pressed", width)
    assert list(colliding(drawing)) == []
    for line in drawing.lettering:
        assert line.box.left >= -0.5, line
        assert line.box.right <= drawing.width_px + 0.5, line
        assert line.box.top >= 0, line
        assert line.box.bottom <= drawing.height_px + 0.5, line


@every
@at_every_width
def test_long_names_cover_nothing_either(name: str, width: int) -> None:
    drawing = EVERY[name]("Pressed chopped carbon in a long mould with many words", width)
    assert list(colliding(drawing)) == []


@every
def test_each_has_a_name_a_description_and_a_role(name: str) -> None:
    root = tree(EVERY[name]("pressed", 760))
    assert root.get("role") in ("img", "group")
    named, described = root.get("aria-labelledby", "").split()
    texts = {e.get("id"): e.text for e in root if e.tag in (f"{SVG}title", f"{SVG}desc")}
    assert texts[named]
    assert texts[described]
    assert [e.tag for e in root][:2] == [f"{SVG}title", f"{SVG}desc"]


@every
def test_only_figures_with_parts_to_reach_are_groups(name: str) -> None:
    root = tree(EVERY[name]("pressed", 760))
    reached = [e for e in root.iter() if e.get("tabindex") is not None]
    assert (root.get("role") == "group") == bool(reached)


@every
def test_pages_of_a_strict_policy_take_it(name: str) -> None:
    for element in tree(EVERY[name]("pressed", 760)).iter():
        assert element.tag not in (f"{SVG}script", f"{SVG}style", f"{SVG}foreignObject")
        for attribute in element.attrib:
            assert attribute != "style"
            assert not attribute.startswith("on")


@every
@pytest.mark.parametrize("theme", ["light", "dark", "print"])
def test_alone_it_brings_its_style_and_every_pattern_it_points_at(name: str, theme: str) -> None:
    text = EVERY[name]("pressed", 760).standalone(theme)
    root = ET.fromstring(text.encode())
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    assert set(re.findall(r"url\(#([^)]+)\)", text)) <= set(ids)
    assert len(list(root.iter(f"{SVG}style"))) == 1
    assert "var(" not in text


@every
def test_in_a_page_it_points_only_at_what_the_page_shares(name: str) -> None:
    shared = set(re.findall(r'id="([^"]+)"', shared_defs()))
    assert set(re.findall(r"url\(#([^)]+)\)", EVERY[name]("pressed", 760).inline())) <= shared


@every
def test_hostile_words_stay_words(name: str) -> None:
    drawing = EVERY[name](HOSTILE, 900)
    root = tree(drawing)
    assert not list(root.iter(f"{SVG}script"))
    assert not any(a.startswith("on") for e in root.iter() for a in e.attrib)
    said = " ".join([*letters(root), *(e.text or "" for e in root)])
    assert "<" in said
    assert "\x00" not in drawing.inline()


@every
def test_the_same_data_give_the_same_text(name: str) -> None:
    assert EVERY[name]("pressed", 760).standalone() == EVERY[name]("pressed", 760).standalone()


@every
def test_the_table_says_it_too(name: str) -> None:
    table = EVERY[name]("pressed", 760).table
    assert table.rows
    assert len(set(table.headers)) == len(table.headers)


def test_a_table_of_ragged_rows_is_refused() -> None:
    with pytest.raises(ValueError, match="a row of 1 cells under 2 headers"):
        Table(headers=("a", "b"), rows=((1,),))


@every
def test_a_figure_too_narrow_is_refused(name: str) -> None:
    if name != "names":
        with pytest.raises(ValueError, match=r"at least \d+ px wide"):
            EVERY[name]("pressed", 100)


def test_a_key_that_cannot_be_an_id_is_refused() -> None:
    with pytest.raises(ValueError, match="'a b' is no id"):
        draw_section(section(), key="a b")


@given(st.sampled_from(sorted(EVERY)), st.text(max_size=30), st.integers(200, 1400))
def test_whatever_the_words_the_figure_is_sound(name: str, word: str, width: int) -> None:
    drawing = EVERY[name](word, width)
    assert tree(drawing).tag == f"{SVG}svg"
    assert list(colliding(drawing)) == []
