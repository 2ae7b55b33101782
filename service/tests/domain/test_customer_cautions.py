"""Cautions on a customer's paper: those for who uses the part, not for who pours it."""

from __future__ import annotations

from mouldwright.domain.quote import (
    BEARS_LOAD,
    DEFER,
    USUAL_CAUTIONS,
    for_who_uses_it,
    in_words,
)


def test_a_customer_reads_of_load_edges_and_dust_and_not_of_pouring() -> None:
    # Cured resin neither warms itself nor gives off isocyanate; what is cut or breaks still
    # leaves dust and splinters (common practice, no source).
    all_of_them = (BEARS_LOAD, *map(in_words, USUAL_CAUTIONS), DEFER)
    kept = (BEARS_LOAD, in_words("fibre dust"), in_words("splinters"), DEFER)
    assert for_who_uses_it(all_of_them) == kept


def test_what_a_shop_wrote_itself_stays() -> None:
    assert for_who_uses_it(("Keep below 60 °C.",)) == ("Keep below 60 °C.",)
