"""Bars against limits, the parts of a price, a routing as a strip, a search as steps."""

import dataclasses
from decimal import Decimal

import pytest
from drawn_samples import (
    having,
    letters,
    limit_bars,
    number,
    points,
    search,
    share_bar,
    strip,
    tree,
)

from mouldwright.figures.limit_bars import LimitBar, draw_limit_bars
from mouldwright.figures.process_strip import StripStep, draw_strip
from mouldwright.figures.search_chart import draw_search
from mouldwright.figures.share_bar import SharePart, draw_share_bar


def test_a_bar_is_as_long_as_its_share_of_the_limit() -> None:
    root = tree(draw_limit_bars(limit_bars()))
    half, over, far = having(root, "rect", "alone")
    limit = number(having(root, "line", "limit")[0], "x1")
    foot = number(having(root, "line", "axis")[0], "x1")
    assert number(half, "width") == pytest.approx((limit - foot) / 2, abs=0.02)
    # Past the limit the rest is a bar of its own: half the limit more.
    late = having(root, "rect", "late-bar")
    assert number(over, "width") == pytest.approx(limit - foot, abs=0.02)
    assert number(late[0], "x") == pytest.approx(limit, abs=0.02)
    assert number(late[0], "width") == pytest.approx((limit - foot) / 2, abs=0.02)
    assert number(far, "width") == pytest.approx(limit - foot, abs=0.02)


def test_a_bar_past_its_limit_says_so_and_a_very_long_one_is_marked_as_cut() -> None:
    root = tree(draw_limit_bars(limit_bars()))
    assert {"5.0", "15.0, fails", "50.0, fails"} <= set(letters(root))
    assert len(having(root, "line", "break")) == 2


@pytest.mark.parametrize(("value", "limit"), [(-1, 10), (1, 0)])
def test_a_bar_without_a_limit_is_refused(value: float, limit: float) -> None:
    bar = LimitBar(title="cast", mark=0, value=value, limit=limit)
    with pytest.raises(ValueError, match=f"cast: {value} of {limit} cannot be drawn"):
        draw_limit_bars(dataclasses.replace(limit_bars(), bars=(bar,)))


def test_the_parts_of_a_price_add_up_to_its_bar() -> None:
    drawing = draw_share_bar(share_bar(), width_px=402)
    boxes = having(tree(drawing), "rect", "outline")
    # 400 px for 20.00: hands of 9 take 180, material of 3 takes 60, the margin of 8 takes 160.
    assert [number(b, "width") for b in boxes] == pytest.approx([180, 60, 160])
    assert [number(b, "x") for b in boxes] == pytest.approx([1, 181, 241])
    assert {"45.0 %", "15.0 %", "40.0 %", "8.00"} <= set(letters(tree(drawing)))
    assert drawing.table.rows[-2:] == (("Margin", "8.00"), ("Price", "20.00"))


def test_a_price_under_cost_says_by_how_much() -> None:
    drawing = draw_share_bar(share_bar(price="10.00"), width_px=402)
    root = tree(drawing)
    assert "sold 2.00 under cost" in letters(root)
    # 400 px for a cost of 12.00: the price of 10 ends at 333.3.
    assert number(having(root, "line", "limit")[0], "x1") == pytest.approx(334.33, abs=0.01)
    assert "2.00 under cost" in drawing.summary


def test_a_part_below_nought_is_refused() -> None:
    wrong = dataclasses.replace(
        share_bar(), parts=(SharePart(title="hands", amount=Decimal("-1")),)
    )
    with pytest.raises(ValueError, match="below nought"):
        draw_share_bar(wrong)


def test_hands_on_the_strip_are_as_long_as_they_take() -> None:
    root = tree(draw_strip(strip()))
    ten, twenty = having(root, "rect", "hands")
    # Each stretch has 3 px besides what it takes.
    assert (number(twenty, "width") - 3) / (number(ten, "width") - 3) == pytest.approx(2, abs=0.01)


def test_a_long_cure_is_cut_short_and_says_how_long_it_is() -> None:
    root = tree(draw_strip(strip()))
    cure = having(root, "rect", "alone")[0]
    ten = having(root, "rect", "hands")[0]
    assert number(cure, "width") < 3 * number(ten, "width")
    assert "24 h" in letters(root)
    assert "Hands to scale; // cut short." in letters(root)


def test_a_short_cure_is_to_scale_beside_the_hands() -> None:
    short = dataclasses.replace(
        strip(),
        steps=(
            StripStep(name="pour", minutes=12, hands=1, per="pull"),
            StripStep(name="cure", minutes=15, hands=0, per="pull"),
        ),
        holds=(),
    )
    root = tree(draw_strip(short))
    hands, cure = having(root, "rect", "hands")[0], having(root, "rect", "alone")[0]
    ratio = (number(cure, "width") - 3) / (number(hands, "width") - 3)
    assert ratio == pytest.approx(15 / 12, abs=0.01)
    assert not any("cut short" in text for text in letters(root))


def test_the_strip_adds_up_hands_and_time() -> None:
    drawing = draw_strip(strip())
    # Hands 10 + 2 people for 20 = 50; time 10 + 1440 + 60 + 20 = 1530 min = 25 h 30.
    assert "50 min of hands in 25 h 30 min at the least, once through" in letters(tree(drawing))


def test_what_is_held_is_drawn_from_its_first_step_to_its_last() -> None:
    root = tree(draw_strip(strip("mould"), width_px=760))
    assert "Mould held 25 h 30 min" in letters(root)
    assert "Clamp held 24 h" in letters(root)
    ten, twenty = having(root, "rect", "hands")
    ends = sorted({number(e, "x1") for e in having(root, "line", "hair")})
    assert ends[0] == number(ten, "x")
    assert ends[-1] == pytest.approx(number(twenty, "x") + number(twenty, "width"), abs=0.02)


def test_a_caution_stands_at_its_step() -> None:
    assert "Care: load, dust" in letters(tree(draw_strip(strip())))
    assert draw_strip(strip()).table.rows[0][-1] == "load, dust"


def test_waits_are_said_in_full() -> None:
    said = " ".join(letters(tree(draw_strip(strip()))))
    assert "not before 60 min" in said or "not before 1 h" in said
    assert "within 10 h" in said
    assert len(having(tree(draw_strip(strip())), "rect", "free")) == 1


def test_a_search_steps_where_a_better_plan_was_found() -> None:
    root = tree(draw_search(search(), width_px=480))
    foot = having(root, "line", "axis")[0]
    second = number(foot, "x2") / 20
    best = points(having(root, "path", "best")[0])
    assert [x for x, _ in best] == pytest.approx([0, 5 * second, 5 * second, 10 * second], abs=0.02)
    bound = points(having(root, "path", "bound")[0])
    per_unit = (best[2][1] - best[0][1]) / 2
    assert bound[-1][1] - best[-1][1] == pytest.approx(0.5 * per_unit, abs=0.02)
    assert {"best 2.00", "cannot be under 1.50", "20 s", "10 s"} <= set(letters(root))


def test_a_search_without_a_plan_is_not_drawn() -> None:
    with pytest.raises(ValueError, match="from its first plan on"):
        draw_search(dataclasses.replace(search(), best=()))
    with pytest.raises(ValueError, match="within its time"):
        draw_search(search(now_s=30.0))


def test_a_strip_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="no step to draw"):
        draw_strip(dataclasses.replace(strip(), steps=(), holds=()))
