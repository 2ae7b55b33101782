"""Cost and time by quantity: steps where quantities are whole, everything at its place."""

import dataclasses
from itertools import pairwise

import pytest
from drawn_samples import having, letters, number, points, quantity_chart, tree
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.figures.quantity_chart import QuantityChart, QuantityLine, draw_quantity_chart
from mouldwright.figures.scales import Scale, ratio_steps, round_steps


def foot_of(root, text: str) -> float:
    """Return where a figure under the foot stands."""
    feet = (e for e in having(root, "text") if e.get("text-anchor") == "middle")
    return next(number(e, "x") for e in feet if e.text == text)


def level_of(root, text: str) -> float:
    """Return where a figure beside a level line stands, its line 4 px above the baseline."""
    sides = (e for e in having(root, "text", "quiet") if e.get("text-anchor") == "end")
    return next(number(e, "y") for e in sides if e.text == text) - 4


def test_each_doubling_is_as_wide_as_the_last() -> None:
    scale = Scale(low=1, high=8, start=0, end=300, by_ratio=True)
    assert [scale(v) for v in (1, 2, 4, 8)] == pytest.approx([0, 100, 200, 300])


def test_a_straight_scale_halves_in_the_middle() -> None:
    assert Scale(low=2, high=6, start=100, end=0)(4) == 50


def test_round_values_are_one_two_or_five_times_a_power_of_ten() -> None:
    assert round_steps(0, 47, 5) == (0, 10, 20, 30, 40)
    assert round_steps(9.1, 18.4, 5) == (10, 12, 14, 16, 18)
    assert ratio_steps(0.04, 12) == (0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10)


def test_whole_quantities_are_drawn_as_treads_about_their_figure() -> None:
    root = tree(draw_quantity_chart(quantity_chart()))
    # Cost falls from 12 at one part to 3 at ten: treads at 12, 11, ... with risers between.
    corners = points(having(root, "path", "line", "p0")[0])
    assert len(corners) == 20
    for left, right in zip(corners[::2], corners[1::2], strict=True):
        assert left[1] == right[1]
    heights = [y for _, y in corners[::2]]
    falls = [b - a for a, b in pairwise(heights)]
    # A euro is a euro at every height: the scale is straight, since 12 is not six times 3.
    assert falls == pytest.approx([falls[0]] * 9, abs=0.02)
    assert level_of(root, "10") == pytest.approx(heights[2], abs=0.05)
    # The fifth tread, 8 euros high, lies about the figure 5.
    assert corners[8][0] < foot_of(root, "5") < corners[9][0]


def test_quantities_with_gaps_are_dots_at_what_was_worked_out() -> None:
    root = tree(draw_quantity_chart(quantity_chart()))
    dots = having(root, "circle", "dot")
    # Of 1, 5 and 10 the value at 5 is not known.
    assert len(dots) == 2
    assert number(dots[0], "cx") == pytest.approx(foot_of(root, "1"))
    assert number(dots[1], "cx") == pytest.approx(foot_of(root, "10"))


def test_the_quantity_asked_crosses_the_lines_at_their_values() -> None:
    root = tree(draw_quantity_chart(quantity_chart()))
    asked = having(root, "line", "asked")[0]
    here = having(root, "circle", "here")
    # At 4 only the first is known, and costs 13 - 4 = 9.
    assert [number(e, "cx") for e in here] == [number(asked, "x1")]
    corners = points(having(root, "path", "line", "p0")[0])
    assert number(here[0], "cy") == corners[6][1]
    assert "asked 4" in letters(root)
    assert "9.00" in letters(root)


def test_a_crossover_is_ruled_where_the_next_quantity_begins_and_is_named() -> None:
    drawing = draw_quantity_chart(quantity_chart())
    root = tree(drawing)
    strip = having(root, "rect", "outline")
    assert len(strip) == 2
    corners = points(having(root, "path", "line", "p0")[0])
    # From 6 on: where the tread of 6, the sixth, begins.
    assert number(strip[1], "x") == pytest.approx(corners[10][0])
    assert number(strip[0], "x") + number(strip[0], "width") == pytest.approx(corners[10][0])
    assert "6" in letters(root)
    assert "pressed too from 1 and pressed from 6" in drawing.summary


def test_a_process_that_fails_is_thin_and_says_so() -> None:
    root = tree(draw_quantity_chart(quantity_chart()))
    assert len(having(root, "path", "fails")) == 1
    assert "pressed too, fails" in letters(root)


def test_the_table_holds_every_quantity_once_with_the_units_decimals() -> None:
    table = draw_quantity_chart(quantity_chart()).table
    assert [row[0] for row in table.rows] == list(range(1, 11))
    assert table.rows[3] == (4, "9.00", None)
    assert table.rows[9] == (10, "3.00", "8.00")


def test_values_far_apart_are_drawn_by_ratio() -> None:
    far = QuantityChart(
        title="t",
        what="Lead time, days",
        decimals=1,
        lines=(QuantityLine(key="a", title="a", mark=0, points=((1, 1.0), (2, 10.0), (9, 100.0))),),
    )
    root = tree(draw_quantity_chart(far))
    one, ten, hundred = (level_of(root, t) for t in ("1", "10", "100"))
    assert one - ten == pytest.approx(ten - hundred, abs=0.02)


def test_values_next_to_nothing_are_drawn_by_their_ratio() -> None:
    tiny = QuantityLine(key="a", title="a", mark=0, points=((1, 2e-12), (2, 4e-11), (3, 8e-10)))
    drawing = draw_quantity_chart(QuantityChart(title="t", what="w", decimals=2, lines=(tiny,)))
    assert drawing.height_px > 0


def test_nothing_known_is_refused() -> None:
    empty = dataclasses.replace(quantity_chart(), lines=())
    with pytest.raises(ValueError, match="no value of Unit cost"):
        draw_quantity_chart(empty)


@given(
    st.lists(st.floats(0, 1e6), min_size=1, max_size=60),
    st.integers(1, 60),
    st.integers(200, 1300),
)
def test_every_line_stays_in_its_frame(values: list[float], asked: int, width: int) -> None:
    line = QuantityLine(
        key="a", title="a process", mark=0, points=tuple(enumerate(values, start=1))
    )
    chart = QuantityChart(title="t", what="w", decimals=2, lines=(line,), asked=asked)
    drawing = draw_quantity_chart(chart, width_px=width)
    for path in having(tree(drawing), "path", "line"):
        for x, y in points(path):
            assert -0.01 <= x <= width
            assert 0 <= y <= drawing.height_px
