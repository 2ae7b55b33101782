"""Colours can be told from their ground, marks from each other, and are named in one place."""

import re
from pathlib import Path

import pytest
from drawn_samples import EVERY

import mouldwright.figures as figures
from mouldwright.figures import look

THEMES = ("light", "dark", "print")
INKS = [name for name in look.TOKENS if name.startswith("mark-")]


def luminance(colour: str) -> float:
    # WCAG 2.2, "relative luminance".
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: str, other: str) -> float:
    # WCAG 2.2, "contrast ratio".
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_contrast_is_worked_out_as_the_guidelines_do() -> None:
    # Black on white is 21:1 by definition; #767676 on white is the well-known least grey of AA.
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("name", ["ink", "ink-2", "ink-3", "amber-text", "warn-text", *INKS])
def test_what_letters_are_written_in_can_be_read_on_every_ground(name: str, theme: str) -> None:
    for ground in ("sheet", "inset", "closed"):
        assert contrast(look.colour(name, theme), look.colour(ground, theme)) >= 4.5, ground


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("name", ["edge", "amber-line", "warn-line"])
def test_edges_and_lines_that_carry_a_meaning_stand_out(name: str, theme: str) -> None:
    for ground in ("sheet", "inset"):
        assert contrast(look.colour(name, theme), look.colour(ground, theme)) >= 3, ground


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("ink", INKS)
def test_words_on_someones_hands_can_be_read(ink: str, theme: str) -> None:
    assert contrast(look.colour("on-ink", theme), look.colour(ink, theme)) >= 4.5


def test_the_first_marks_differ_in_pattern_and_in_ink_and_no_two_in_both_agree() -> None:
    first = range(look.PATTERNS)
    assert len({look.pattern_of(m) for m in first}) == look.PATTERNS
    assert len({look.ink_of(m) for m in first}) == look.INKS
    both = {(look.pattern_of(m), look.ink_of(m)) for m in range(look.MARKS)}
    assert len(both) == look.MARKS


def test_only_the_look_names_a_colour() -> None:
    folder = Path(figures.__file__).parent
    for file in folder.glob("*.py"):
        if file.name != "look.py":
            assert not re.search(r"#[0-9a-fA-F]{3,8}\b|rgb\(|hsl\(", file.read_text()), file.name


def test_every_class_drawn_has_a_rule_and_every_rule_a_use() -> None:
    drawn: set[str] = set()
    for draw in EVERY.values():
        for width in (340, 900):
            for words in re.findall(r'class="([^"]*)"', draw("word", width).inline()):
                drawn |= set(words.split())
    ruled = set(re.findall(r"\.([a-z][a-z0-9-]*)", look.figure_css()))
    # A pattern's class is ruled where its strokes differ from plain ones.
    assert {c for c in drawn - ruled if not re.fullmatch(r"p\d", c)} == set()


def test_a_theme_written_out_leaves_no_property_open() -> None:
    for theme in THEMES:
        assert "var(" not in look.resolved_css(theme)
    assert look.colour("ink", "dark") in look.resolved_css("dark")
    assert look.colour("ink", "light") not in look.resolved_css("dark")


def test_the_reader_may_overrule_the_device_and_paper_overrules_both() -> None:
    css = look.tokens_css()
    night = f"--ink:{look.colour('ink', 'dark')}"
    assert css.count(night) == 2
    assert "@media (prefers-color-scheme:dark){:root:not([data-theme=light])" in css
    assert ":root[data-theme=dark]{" in css
    assert css.index("@media print") > css.rindex(night)
    used = set(re.findall(r"var\(--([a-z0-9-]+)\)", look.figure_css()))
    assert used <= set(look.TOKENS)
