"""The mould board by hand and by keyboard, and the day sheet on paper."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect
from sheets import SHOP, Reader

BOARD, DAY = f"{SHOP}/board", f"{SHOP}/day"
# The demo's own days.
FULL_DAY, NEXT_DAY = "2027-03-01", "2027-03-02"


@pytest.fixture
def planned(reader: Reader) -> Reader:
    """Someone before a board with a plan; the first to come makes it by hand."""
    reader.open(BOARD)
    page = reader.page
    first = page.get_by_role("button", name="Make the first plan")
    if first.count():
        page.get_by_label("Look for").select_option("5")
        first.click()
        publish = page.get_by_role("button", name="Publish this plan")
        expect(publish).to_be_visible(timeout=300_000)
        publish.click()
        page.wait_for_url(f"**{BOARD}")
    expect(page.locator("a.task").first).to_be_attached()
    return reader


def focused(reader: Reader) -> str:
    return reader.page.evaluate("() => document.activeElement.dataset.task || ''")


@pytest.mark.parametrize("query", ["", "?zoom=hours", "?zoom=six-weeks"])
def test_the_board_is_sound_at_every_width_by_day_and_by_night(planned, query):
    planned.open(f"{BOARD}{query}", width="phone", theme="dark")
    planned.fits()
    planned.can_be_hit()
    planned.is_sound()
    planned.see(width="tablet")
    planned.fits()
    planned.see(width="wide")
    planned.fits()
    planned.is_sound()


def test_a_task_opens_over_the_board_and_the_focus_comes_back(planned):
    page = planned.page
    page.locator('[data-row="stabiliser-pressed 1"] a.task').first.focus()
    was = focused(planned)
    page.keyboard.press("ArrowRight")
    assert focused(planned) != was
    page.keyboard.press("ArrowLeft")
    assert focused(planned) == was
    page.keyboard.press("Enter")
    dialog = page.get_by_role("dialog")
    expect(dialog.get_by_role("heading", level=2)).to_be_visible()
    planned.is_sound()
    page.keyboard.press("Escape")
    expect(dialog).to_be_hidden()
    assert focused(planned) == was


def test_a_move_is_judged_where_it_is_tried_and_a_pin_is_set_and_taken_out(planned):
    page = planned.page
    page.locator('[data-row="stabiliser-pressed 1"] a.task').first.focus()
    page.keyboard.press("Enter")
    dialog = page.get_by_role("dialog")
    begins = dialog.get_by_label("Begins")
    stands = begins.input_value()
    dialog.get_by_role("button", name="Say what it would do").click()
    expect(dialog.get_by_text("It fits.")).to_be_visible()
    begins.fill(f"{stands[:11]}03:00")
    dialog.get_by_role("button", name="Say what it would do").click()
    expect(dialog.get_by_text("It breaks something.")).to_be_visible()
    assert page.url.endswith(BOARD)
    begins.fill(stands)
    dialog.get_by_role("button", name="Pin it there").click()
    expect(page.get_by_text("Every plan from now on keeps it there.")).to_be_visible()
    page.get_by_role("button", name=re.compile("^Un-pin")).click()
    expect(page.get_by_text("Nothing is pinned.")).to_be_visible()


def held_over(planned, row: str, onto: str, by_px: float) -> None:
    """Take the third task of a row and hold it over another row."""
    page = planned.page
    task = page.locator(f'[data-row="{row}"] a.task').nth(2)
    place = task.bounding_box()
    target = page.locator(f'[data-row="{onto}"] a.task').first.bounding_box()
    page.mouse.move(place["x"] + 2, place["y"] + 8)
    page.mouse.down()
    page.mouse.move(place["x"] + 12, place["y"] + 8)
    page.mouse.move(place["x"] + 2 + by_px, target["y"] + 8, steps=5)


def test_a_task_dragged_to_another_mould_is_judged_while_it_is_held_and_once_let_go(planned):
    page = planned.page
    planned.open(f"{BOARD}?zoom=days")
    held_over(planned, "stabiliser-pressed 1", "stabiliser-pressed 3", 120)
    held = page.locator(".drag-said")
    expect(held).to_contain_text("pressed 3")
    expect(held).to_contain_text(re.compile("It (fits|breaks something)"))
    page.mouse.up()
    dialog = page.get_by_role("dialog")
    expect(dialog.get_by_label("On mould")).to_have_value("stabiliser-pressed 3")
    expect(dialog.locator("[data-verdict] .notice")).to_be_visible()
    expect(held).to_be_hidden()
    planned.is_sound()
    page.keyboard.press("Escape")
    # Nothing was kept.
    expect(page.get_by_text("Nothing is pinned.")).to_be_visible()


def test_a_drag_is_given_up_with_escape_and_a_press_still_opens(planned):
    page = planned.page
    planned.open(f"{BOARD}?zoom=days")
    held_over(planned, "stabiliser-pressed 1", "stabiliser-pressed 2", 60)
    page.keyboard.press("Escape")
    page.mouse.up()
    expect(page.locator(".ghost")).to_have_count(0)
    expect(page.get_by_role("dialog")).to_be_hidden()
    # The fourth is the cure, long enough to be pressed in its middle.
    page.locator('[data-row="stabiliser-pressed 1"] a.task').nth(3).click()
    expect(page.get_by_role("dialog")).to_be_visible()


def test_a_finger_holds_a_task_before_it_moves_it_and_else_scrolls(
    planned, chromium, bench, signed_in
):
    context = chromium.new_context(
        base_url=bench.address,
        storage_state=signed_in,
        has_touch=True,
        viewport={"width": 820, "height": 1180},
    )
    page = context.new_page()
    page.goto(f"{BOARD}?zoom=days")
    fingers = context.new_cdp_session(page)

    def touch(kind: str, x: float = 0, y: float = 0) -> None:
        points = [] if kind == "touchEnd" else [{"x": x, "y": y}]
        fingers.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    task = page.locator('[data-row="stabiliser-pressed 1"] a.task').nth(3)
    task.scroll_into_view_if_needed()
    place = task.bounding_box()
    x, y = place["x"] + place["width"] / 2, place["y"] + 8
    touch("touchStart", x, y)
    expect(page.locator(".ghost")).to_have_count(1)
    touch("touchMove", x + 60, y)
    expect(page.locator(".drag-said")).to_contain_text(re.compile("It (fits|breaks something)"))
    touch("touchEnd")
    expect(page.get_by_role("dialog").locator("[data-verdict] .notice")).to_be_visible()
    context.close()


def test_the_rows_shown_are_chosen(planned):
    page = planned.page
    page.get_by_role("link", name="People", exact=True).click()
    assert "rows=people" in page.url
    assert page.locator('[data-row="ines"] a.task').count() > 0
    assert page.locator('[data-row="stabiliser-pressed 1"]').count() == 0
    planned.is_sound()


def test_time_is_changed_from_the_keyboard(planned):
    page = planned.page
    page.locator("#main").focus()
    with page.expect_navigation():
        page.keyboard.press("+")
    expect(page.get_by_role("link", name="Three days")).to_have_attribute("aria-current", "true")
    with page.expect_navigation():
        page.keyboard.press("]")
    assert "first=" in page.url


def test_without_scripts_a_task_is_a_sheet_of_its_own(planned, chromium, bench, signed_in):
    context = chromium.new_context(
        base_url=bench.address, storage_state=signed_in, java_script_enabled=False
    )
    page = context.new_page()
    page.goto(BOARD)
    path = page.locator("a.task").first.get_attribute("href")
    page.goto(path)
    page.get_by_role("button", name="Say what it would do").click()
    expect(page.get_by_text("It fits.")).to_be_visible()
    context.close()


@pytest.mark.parametrize("day", [FULL_DAY, NEXT_DAY])
@pytest.mark.parametrize("person", ["ines", "tomas"])
def test_a_day_sheet_is_sound_and_prints_on_one_page(planned, person, day):
    path = f"{DAY}?person={person}&day={day}"
    planned.open(path, width="phone", theme="dark")
    planned.fits()
    planned.can_be_hit()
    planned.is_sound()
    planned.see(width="wide")
    planned.fits()
    planned.is_sound()
    printed = planned.page.pdf(prefer_css_page_size=True)
    assert len(re.findall(rb"/Type\s*/Page[^s]", printed)) == 1


def test_everyones_day_prints_on_a_page_each(planned):
    planned.open(f"{DAY}?person=every+one&day={FULL_DAY}", width="phone")
    planned.fits()
    planned.is_sound()
    printed = planned.page.pdf(prefer_css_page_size=True)
    assert len(re.findall(rb"/Type\s*/Page[^s]", printed)) == 2
