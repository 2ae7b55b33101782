"""The page on safety names every caution the program writes out, and defers as every quote does."""

from __future__ import annotations

import re

from house import ROOT

from mouldwright.domain.quote import USUAL_CAUTIONS

PAGE = (ROOT / "docs" / "safety.md").read_text(encoding="utf-8")


def test_every_caution_known_by_name_stands_on_the_page_in_the_words_of_a_quote():
    rows = dict(re.findall(r"^\| `\"(.+?)\"` \| (.+) \|$", PAGE, re.M))
    assert rows == dict(USUAL_CAUTIONS)


def test_the_page_defers_before_it_says_anything_else():
    first = PAGE.split("\n\n")[1]
    for who in ("data sheet", "local\ncodes", "licensed practitioner"):
        assert who in first


def test_the_page_says_that_stiffness_is_no_strength():
    assert re.search(r"Strength, fatigue,\s+impact, creep, heat and ageing are not\.", PAGE)
