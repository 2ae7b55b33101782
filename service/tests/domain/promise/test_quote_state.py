from __future__ import annotations

from datetime import date
from typing import get_args

import pytest

from mouldwright.domain.errors import Conflict
from mouldwright.domain.promise.quote_state import QuoteState, is_past, move

ALLOWED = {
    ("draft", "sent"),
    ("draft", "superseded"),
    ("sent", "accepted"),
    ("sent", "declined"),
    ("sent", "lapsed"),
    ("sent", "superseded"),
    ("accepted", "superseded"),
}


@pytest.mark.parametrize("state", get_args(QuoteState))
@pytest.mark.parametrize("to", get_args(QuoteState))
def test_a_quote_goes_only_the_ways_there_are_and_says_what_to_do_instead(state, to):
    if (state, to) in ALLOWED:
        assert move(state, to, name="quote 7 revision 2") == to
        return
    with pytest.raises(Conflict) as refused:
        move(state, to, name="quote 7 revision 2")
    assert refused.value.problem.startswith("quote 7 revision 2 is ")
    assert refused.value.remedy
    assert refused.value.stands == state


def test_a_quote_stands_on_its_last_day_and_not_the_day_after():
    assert not is_past(date(2027, 3, 31), date(2027, 3, 31))
    assert is_past(date(2027, 3, 31), date(2027, 4, 1))
