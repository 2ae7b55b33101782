"""Drawings to scale: what is twice as long is drawn twice as long, on the same sheet."""

import dataclasses

import pytest
from drawn_samples import bent, fit, having, letters, number, planform, points, section, tree

from mouldwright.figures.bend_drawing import draw_bend
from mouldwright.figures.fit_drawing import draw_fit
from mouldwright.figures.planform_drawing import draw_planform
from mouldwright.figures.section_drawing import draw_section


def px_per_mm(root) -> float:
    """Return the scale that the scale bar states."""
    bar = having(root, "path", "axis")[-1]
    length = next(t for t in letters(root) if t.endswith("mm, to scale"))
    numbers = [
        float(v) for v in bar.get("d").replace("M", "").replace("V", " ").replace("H", " ").split()
    ]
    return (numbers[3] - numbers[0]) / float(length.split()[0])


@pytest.mark.parametrize("width", [260, 420, 900])
def test_a_section_is_drawn_to_the_scale_of_its_bar(width: int) -> None:
    root = tree(draw_section(section(), width_px=width))
    outline = points(having(root, "path", "outline")[0])
    scale = px_per_mm(root)
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    assert (max(xs) - min(xs)) / scale == pytest.approx(40, abs=0.1)
    assert (max(ys) - min(ys)) / scale == pytest.approx(10, abs=0.1)
    rod = having(root, "circle", "rod")[0]
    assert (number(rod, "cx") - min(xs)) / scale == pytest.approx(10, abs=0.1)
    # 1 mm above the chord line, which lies 5 mm under the top.
    assert (number(rod, "cy") - min(ys)) / scale == pytest.approx(4, abs=0.1)
    assert number(rod, "r") / scale == pytest.approx(1.5, abs=0.1)


def test_a_section_letters_its_sizes_its_rods_and_leaves_its_hole_open() -> None:
    drawing = draw_section(section())
    root = tree(drawing)
    assert {"40.0", "10.0", "1 rod, 3.0 mm across"} <= set(letters(root))
    body = having(root, "path", "outline")[0]
    assert body.get("fill-rule") == "evenodd"
    assert body.get("d").count("Z") == 2
    assert ("Rod 1", "10.00", "1.00", "3.0") in drawing.table.rows


def test_a_foil_is_measured_by_its_chord_though_its_nose_reaches_past_it() -> None:
    foil = dataclasses.replace(section(), outline_mm=((-1, 0), (10, -4), (40, 0), (10, 6)),
                               holes_mm=(), rods=(), chord_mm=40.0)  # fmt: skip
    drawing = draw_section(foil)
    assert "40.0" in letters(tree(drawing))
    assert "41.0" not in letters(tree(drawing))
    assert drawing.table.rows[0] == ("Width", None, None, "40.0")


def test_where_little_is_allowed_small_bends_keep_two_figures() -> None:
    strict = dataclasses.replace(bent(), allowed_mm=1.5)
    line = dataclasses.replace(bent().lines[0], deflection_mm=0.04)
    drawing = draw_bend(dataclasses.replace(strict, lines=(line,)))
    assert {"0.040 pressed", "1.50 allowed"} <= set(letters(tree(drawing)))


def test_a_line_has_no_section() -> None:
    with pytest.raises(ValueError, match="40 by 0 mm cannot be drawn"):
        draw_section(dataclasses.replace(section(), outline_mm=((0, 0), (40, 0), (20, 0))))


@pytest.mark.parametrize("width", [260, 420, 900])
def test_a_planform_tapers_and_its_rod_ends_where_it_ends(width: int) -> None:
    root = tree(draw_planform(planform(), width_px=width))
    scale = px_per_mm(root)
    (x0, y0), (x1, _), (_, tip), (_, foot) = points(having(root, "path", "outline")[0])
    assert (x1 - x0) / scale == pytest.approx(200, abs=0.2)
    assert (foot - y0) / scale == pytest.approx(60, abs=0.2)
    assert (tip - y0) / scale == pytest.approx(40, abs=0.2)
    (a, at_root), (b, at_half) = points(having(root, "path", "hidden")[0])
    assert (b - a) / scale == pytest.approx(100, abs=0.2)
    # 0.3 of 60 at the root; the chord is 50 at half the span, of which 0.3 is 15.
    assert (at_root - y0) / scale == pytest.approx(18, abs=0.2)
    assert (at_half - y0) / scale == pytest.approx(15, abs=0.2)
    assert {"200.0", "60.0", "40.0"} <= set(letters(root))


@pytest.mark.parametrize("width", [300, 520, 1000])
def test_bending_is_drawn_as_large_as_it_is(width: int) -> None:
    root = tree(draw_bend(bent(), width_px=width))
    scale = px_per_mm(root)
    shape = points(having(root, "path", "line", "p0")[0])
    axis = number(having(root, "line", "chain")[0], "y1")
    assert (shape[-1][0] - shape[0][0]) / scale == pytest.approx(200, abs=0.5)
    assert (shape[-1][1] - axis) / scale == pytest.approx(10, abs=0.1)
    limit = having(root, "line", "limit")[0]
    assert (number(limit, "y1") - axis) / scale == pytest.approx(20, abs=0.1)


def test_what_bends_too_far_says_that_it_fails() -> None:
    drawing = draw_bend(bent())
    assert "30.0 pressed too, fails" in letters(tree(drawing))
    assert "10.0 pressed" in letters(tree(drawing))
    assert drawing.table.rows[1] == ("pressed too", "30.0", "20.0", "1.50", "fails")
    assert drawing.table.rows[0][-1] == "passes"


def test_what_bends_off_the_sheet_is_cut_off_at_its_foot() -> None:
    far = dataclasses.replace(
        bent().lines[0], points_mm=((0, 0), (100, 500), (200, 4000)), deflection_mm=4000
    )
    drawing = draw_bend(dataclasses.replace(bent(), lines=(far,)), width_px=500)
    shape = points(having(tree(drawing), "path", "line", "p0")[0])
    assert max(y for _, y in shape) <= drawing.height_px
    assert drawing.height_px < 500
    assert "4000.0 pressed, fails" in letters(tree(drawing))


@pytest.mark.parametrize(
    ("support", "walls", "rollers"),
    [
        ("cantilever", 1, 0),
        ("simply supported", 0, 2),
        ("both ends fixed", 2, 0),
        ("elastic mounts", 2, 0),
    ],
)
def test_supports_are_drawn_as_they_hold(support: str, walls: int, rollers: int) -> None:
    load = "end" if support == "cantilever" else "uniform"
    root = tree(draw_bend(bent(support=support, load=load)))
    assert len(having(root, "rect", "wall")) == walls
    assert len(having(root, "path", "bubble")) == rollers


def test_a_load_spread_out_is_drawn_spread_out() -> None:
    one = having(tree(draw_bend(bent(load="end"))), "line", "load")
    many = having(tree(draw_bend(bent(load="uniform"))), "line", "load")
    falling = having(tree(draw_bend(bent(load="triangular"))), "line", "load")
    assert len(one) == 1
    assert len(many) > 4
    heights = [number(e, "y2") - number(e, "y1") for e in falling]
    assert heights == sorted(heights, reverse=True)
    assert heights[0] > heights[-1]
    assert "12.0 N in all" in letters(tree(draw_bend(bent(load="uniform"))))


def test_a_reading_off_the_line_is_marked_in_both_halves_and_said() -> None:
    drawing = draw_fit(fit())
    root = tree(drawing)
    # Of 0.05, 0.02, 0.11 and 0.06 mm off, only 0.11 is over 0.08.
    assert len(having(root, "circle", "here")) == 2
    assert len(having(root, "circle", "rod")) == 6
    assert "1 of them lies further off than 0.08 mm" in drawing.summary
    assert drawing.table.rows[2] == ("6.00", "3.30", "0.110")


def test_a_test_at_its_stop_has_no_line_and_marks_the_last_reading() -> None:
    root = tree(draw_fit(fit(touched_stop=True, mm_per_n=None)))
    assert having(root, "path", "best") == []
    assert len(having(root, "circle", "here")) == 1
