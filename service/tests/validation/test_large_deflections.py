"""The elastica against its published table."""

from __future__ import annotations

import pytest

from mouldwright.domain.part.elastica import straight_line_excess, tip_share

# Bisshopp and Drucker, "Large deflection of cantilever beams", Quarterly of Applied Mathematics
# 3, 1945 (from memory; re-derived by integrating the elastica's differential equation).
TABLE = {
    0.25: 0.0827459,
    0.5: 0.1621436,
    1.0: 0.3017208,
    5.0: 0.7137915,
    10.0: 0.8106090,
}


@pytest.mark.parametrize(("load", "bends"), TABLE.items())
def test_the_tip_is_where_the_table_has_it(load, bends):
    assert tip_share(load) == pytest.approx(bends, abs=1e-6)


def test_a_small_load_bends_as_the_straight_line_theory_says():
    assert tip_share(0.003) == pytest.approx(0.001, rel=1e-4)


@pytest.mark.parametrize(
    ("theory", "excess"), [(0.0833333, 0.0071), (0.1666667, 0.0279), (0.3333333, 0.1048)]
)
def test_the_straight_line_overstates_by_what_the_table_shows(theory, excess):
    # α/3 over the table's δ/L, less one: 0.0833333 / 0.0827459 and so on.
    assert straight_line_excess(theory) == pytest.approx(excess, abs=2e-4)
