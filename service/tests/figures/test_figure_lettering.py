"""How wide words are taken to be, and how they make room for each other."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.figures.lettering import Box, box_of, clipped, spread, width_px, wrapped

words = st.text(min_size=0, max_size=40)
rooms = st.floats(min_value=5, max_value=400)


def test_widths_are_those_of_the_face() -> None:
    # Helvetica's published metrics (Adobe AFM): H 722, e 556, l 222, o 556; bold H 722, e 556,
    # l 278, o 611.
    assert width_px("Hello", 10) == pytest.approx(22.78)
    assert width_px("Hello", 10, bold=True) == pytest.approx(24.45)


def test_a_letter_with_an_accent_is_as_wide_as_without() -> None:
    assert width_px("é") == width_px("e")
    assert width_px("") == 0


@given(words, rooms)
def test_what_is_clipped_fits(text: str, room: float) -> None:
    assert width_px(clipped(text, room)) <= room


@given(words, rooms)
def test_what_is_wrapped_fits_and_loses_no_word_that_fits(text: str, room: float) -> None:
    lines = wrapped(text, room)
    assert all(width_px(line) <= room for line in lines)
    kept = " ".join(lines).split()
    assert (
        [w for w in text.split() if width_px(w) <= room] == [w for w in kept if not w.endswith("…")]
        or any(w.endswith("…") for w in kept)
        or "…" in text
    )


def test_neighbours_that_would_touch_share_the_way() -> None:
    # Wanted both at 10, a gap of 10: 5 and 15 move each by 5, the least squares there are.
    assert spread([10, 10], 10, 0, 100) == (5, 15)
    assert spread([10, 50], 10, 0, 100) == (10, 50)
    # At the edge both give way inwards.
    assert spread([0, 2], 10, 0, 100) == (0, 10)
    assert spread([99, 100], 10, 0, 100) == (90, 100)


@given(st.lists(st.floats(0, 300), max_size=12).map(sorted), st.floats(1, 25))
def test_spread_places_keep_order_and_gap(wanted: list[float], gap: float) -> None:
    placed = spread(wanted, gap, 0, 300)
    assert len(placed) == len(wanted)
    for left, right in pairwise(placed):
        assert right - left >= gap - 1e-6
    if placed:
        assert placed[0] >= 0
        assert placed[-1] <= 300 + 1e-6


@given(st.lists(st.floats(0, 300), min_size=1, max_size=8).map(sorted))
def test_places_that_are_free_stay(wanted: list[float]) -> None:
    apart = [place + 20 * at for at, place in enumerate(wanted)]
    assert spread(apart, 20, 0, 1000) == pytest.approx(tuple(apart))


def test_boxes_that_share_an_edge_do_not_overlap() -> None:
    assert not Box(0, 0, 10, 10).overlaps(Box(10, 0, 20, 10))
    assert Box(0, 0, 10, 10).overlaps(Box(10, 0, 20, 10), gap=1)
    assert Box(0, 0, 10, 10).overlaps(Box(9, 9, 20, 20))


def test_a_line_ends_where_it_is_anchored() -> None:
    width = width_px("24 h", 13)
    assert box_of("24 h", 100, 50, 13, anchor="end").right == pytest.approx(100)
    assert box_of("24 h", 100, 50, 13, anchor="middle").left == pytest.approx(100 - width / 2)
