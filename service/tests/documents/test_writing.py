"""How days are written on paper, language by language."""

from __future__ import annotations

from datetime import date

import pytest

from mouldwright.documents.wording import words_in
from mouldwright.documents.writing import Writing


# The first of a month is an ordinal in French, no other day is: common practice, no source.
@pytest.mark.parametrize(
    ("language", "first", "eleventh"),
    [
        ("en", "1 March 2027", "11 March 2027"),
        ("de", "1. März 2027", "11. März 2027"),
        ("fr", "1er mars 2027", "11 mars 2027"),
    ],
)
def test_the_first_of_a_month_is_written_as_its_language_does(language, first, eleventh):
    writing = Writing(words=words_in(language), currency="EUR")
    assert writing.day(date(2027, 3, 1)) == first
    assert writing.day(date(2027, 3, 11)) == eleventh
