"""The shop's mark, put and taken away from Python."""

from __future__ import annotations

import pytest

from mouldwright.client import Refused

FOIL = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20"><path d="M0 10h40"/></svg>'


def test_a_mark_is_put_read_and_taken_away_over_what_was_read(shop):
    before = shop.mark.read()
    assert before.value.svg is None
    put = shop.mark.put(FOIL, read=before)
    assert put.value.svg == FOIL.decode()
    assert shop.mark.read(known=put) is put
    with pytest.raises(Refused):
        shop.mark.put(b"<svg/>", read=put)
    with pytest.raises(Refused):
        shop.mark.take_away(read=before)
    shop.mark.take_away(read=put)
    assert shop.mark.read().value.svg is None
    assert shop.mark.read(put.value.version).value.svg == FOIL.decode()
