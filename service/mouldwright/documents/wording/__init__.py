"""The words of documents, one file a language, and the pick among them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from mouldwright.documents.wording.de import GERMAN
from mouldwright.documents.wording.en import ENGLISH
from mouldwright.documents.wording.fr import FRENCH
from mouldwright.documents.wording.words import QuoteWords
from mouldwright.domain.errors import Fault, InvalidInput

# By ISO 639 code.
Language = Literal["en", "de", "fr"]
LANGUAGES: Mapping[Language, QuoteWords] = {"en": ENGLISH, "de": GERMAN, "fr": FRENCH}


def words_in(language: str) -> QuoteWords:
    """Return the words of a language. Raises InvalidInput where there are none."""
    for code, words in LANGUAGES.items():
        if code == language:
            return words
    raise InvalidInput(
        [
            Fault(
                path="language",
                value=language,
                problem="documents are not written in that language.",
                remedy=f"Write one of {', '.join(LANGUAGES)}.",
            )
        ]
    )


__all__ = ["LANGUAGES", "Language", "QuoteWords", "words_in"]
