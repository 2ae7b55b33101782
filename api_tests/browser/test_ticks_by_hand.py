"""The day sheet on a phone whose network drops: presses are kept, sent in order, noted once."""

from __future__ import annotations

import re

import pytest
from bench_server import BenchServer
from sheets import SHOP, Reader

DAY = f"{SHOP}/day?person=ines&day=2027-03-01"


@pytest.fixture(scope="module")
def planned(chromium, tmp_path_factory):
    """A bench of its own with a plan, and what a browser keeps once it is signed in."""
    server = BenchServer(tmp_path_factory.mktemp("ticks"))
    server.start()
    context = chromium.new_context(base_url=server.address)
    page = context.new_page()
    page.goto(server.link)
    page.get_by_role("button", name="Sign in on this device").click()
    page.get_by_role("link", name="The foil bench", exact=True).click()
    page.wait_for_url(f"{server.address}/shops/**")
    token = {"Idempotency-Key": "a plan", "Origin": server.address}
    runs = f"/v1{SHOP}/runs"
    asked = context.request.post(runs, data={"seconds": 0.1}, headers=token)
    assert asked.ok, asked.text()
    for _ in range(1_200):
        run = context.request.get(f"{runs}/{asked.json()['id']}").json()
        if run["state"] == "done":
            break
        page.wait_for_timeout(250)
    assert run["state"] == "done", run
    state = context.storage_state()
    context.close()
    yield server, state
    server.stop()


@pytest.fixture
def phone(chromium, planned):
    server, state = planned
    context = chromium.new_context(base_url=server.address, storage_state=state)
    yield context
    context.close()


@pytest.fixture
def sheet(phone, planned):
    reader = Reader(phone.new_page(), planned[0].address)
    reader.open(DAY, width="phone")
    # The worker has the sheet and its files before the network may go.
    reader.page.wait_for_function(
        """async () => {
            const kept = await caches.open('day sheets 1');
            return (await kept.keys()).some((each) => each.url.includes('tick.js'))
              && !!(await kept.match(location.href));
        }"""
    )
    return reader


def untouched(page, at: int = 0):
    """Return a line that nobody pressed yet."""
    return page.locator(".step:not([data-state]):has(form[data-tick])").nth(at)


def entries(phone) -> list[dict]:
    return phone.request.get(f"/v1{SHOP}/log").json()["entries"]


def test_presses_made_without_network_survive_a_reload_and_are_noted_once(phone, sheet):
    page, before = sheet.page, len(entries(phone))
    name = untouched(page).locator(".name").inner_text()
    phone.set_offline(True)
    untouched(page).get_by_role("button", name=re.compile("^Begin")).click()
    line = page.locator(".step[data-state=begun]").last
    line.get_by_role("button", name=re.compile("^Done")).click()
    kept = page.locator("[data-kept]")
    assert "2 kept on this phone, sent when the network is back." in kept.inner_text()
    done = page.locator(".step[data-state=done]").first
    assert done.locator(".name").inner_text() == name
    # The page opens from this phone, with what was pressed.
    page.reload()
    assert "2 kept on this phone" in kept.inner_text()
    assert page.locator(".step[data-state=done]").count() >= 1
    phone.set_offline(False)
    kept.wait_for(state="hidden", timeout=300_000)
    page.wait_for_function("() => localStorage.getItem('mouldwright ticks foil-bench') === '[]'")
    found = entries(phone)[: len(entries(phone)) - before]
    assert {entry["what"] for entry in found} == {"started", "finished"}
    assert len([entry for entry in found if entry["what"] == "started"]) == 1
    # In the order they were pressed, and told as of then.
    assert found[-1]["what"] == "started"
    assert all(entry["at"] <= entry["noted_at"] for entry in found)
    page.reload()
    assert len(entries(phone)) == before + len(found)


def test_an_answer_that_is_lost_leaves_one_entry(phone, sheet):
    page, before = sheet.page, len(entries(phone))
    lost = []

    def drop(route):
        if not lost:
            lost.append(route.fetch())  # the bench notes it; the phone never hears
            route.abort()
        else:
            route.continue_()

    page.route("**/day/tick", drop)
    untouched(page).get_by_role("button", name=re.compile("^Begin")).click()
    page.locator("[data-kept]").wait_for(state="hidden", timeout=300_000)
    assert lost[0].ok
    assert len(entries(phone)) == before + 1


def test_a_press_can_be_undone_before_and_after_it_was_sent(phone, sheet):
    page, before = sheet.page, len(entries(phone))
    phone.set_offline(True)
    untouched(page).get_by_role("button", name=re.compile("^Begin")).click()
    page.get_by_role("button", name="Undo", exact=True).first.click()
    page.wait_for_load_state()
    assert page.locator("[data-kept]").is_hidden()
    phone.set_offline(False)
    page.reload()
    assert len(entries(phone)) == before
    untouched(page).get_by_role("button", name=re.compile("^Begin")).click()
    page.locator("[data-kept]").wait_for(state="hidden", timeout=300_000)
    undo = page.get_by_role("button", name=re.compile("^Undo begun"))
    undo.last.click()
    page.wait_for_load_state()
    assert [entry["what"] for entry in entries(phone)[:2]] == ["taken back", "started"]


def test_the_sheet_with_ticks_is_sound_on_a_phone_and_large_enough_for_gloves(sheet):
    page = sheet.page
    for width in ("phone", "tablet", "wide"):
        sheet.see(width=width)
        sheet.fits()
        sheet.can_be_hit()
    sheet.see(width="phone", theme="dark")
    sheet.is_sound()
    heights = page.locator("form[data-tick] button").evaluate_all(
        "(all) => all.map((each) => each.getBoundingClientRect().height)"
    )
    assert heights
    assert min(heights) >= 56


def test_without_scripts_a_press_is_a_plain_form(chromium, planned):
    server, state = planned
    context = chromium.new_context(
        base_url=server.address, storage_state=state, java_script_enabled=False
    )
    page = context.new_page()
    page.goto(DAY)
    before = len(context.request.get(f"/v1{SHOP}/log").json()["entries"])
    untouched(page).get_by_role("button", name=re.compile("^Done")).click()
    assert page.url.endswith(DAY)
    assert len(context.request.get(f"/v1{SHOP}/log").json()["entries"]) > before
    context.close()
