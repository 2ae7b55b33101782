"""Takes the pictures of the documents anew, of the demo bench as it is served.

    .venv/bin/python api_tests/browser/take_pictures.py

Each is taken wide and as a phone shows it, the plan made by hand first, as a user would.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

from bench_server import BenchServer
from playwright.sync_api import Browser, Page, expect, sync_playwright

SHOP = "/shops/foil-bench"
FOLDER = Path(__file__).parent.parent.parent / "docs" / "pictures"
SHEETS = {
    "today": f"{SHOP}/today",
    "board": f"{SHOP}/board?zoom=days",
    "enquiry": f"{SHOP}/enquiry?part=stabiliser&quantity=24",
    "day-sheet": f"{SHOP}/day?person=ines",
    "quote": f"{SHOP}/quotes/1",
}
SIZES = {"wide": (1180, 820), "phone": (390, 780)}
LARGEST_BYTES = 150_000
_NAMES = ("chromium", "chromium-browser", "google-chrome")


def prepared(page: Page) -> None:
    """Make a quote and a plan, as one does by hand."""
    page.goto(SHEETS["enquiry"])
    page.locator(".answer-row form button.main-act").first.click()
    page.wait_for_url("**/quotes/1")
    page.goto(f"{SHOP}/board")
    page.get_by_label("Look for").select_option("5")
    page.get_by_role("button", name="Make the first plan").click()
    publish = page.get_by_role("button", name="Publish this plan")
    expect(publish).to_be_visible(timeout=120_000)
    publish.click()
    page.wait_for_url(f"**{SHOP}/board")


def take(browser: Browser, address: str, state: dict) -> None:
    """Take every picture; what would weigh too much is said, not kept."""
    FOLDER.mkdir(exist_ok=True)
    for size, (across, down) in SIZES.items():
        context = browser.new_context(
            base_url=address, storage_state=state, viewport={"width": across, "height": down}
        )
        page = context.new_page()
        for name, path in SHEETS.items():
            page.goto(path)
            if name == "enquiry":
                expect(page.locator('[data-slot="time"] figure')).to_be_attached(timeout=120_000)
            picture = page.screenshot()
            if len(picture) > LARGEST_BYTES:
                sys.exit(f"{name}-{size} takes {len(picture)} bytes: show less of it")
            (FOLDER / f"{name}-{size}.png").write_bytes(picture)
        context.close()


def main() -> None:
    """Serve the demo bench, prepare it, take its pictures."""
    found = next((path for name in _NAMES if (path := shutil.which(name))), None)
    if found is None:
        sys.exit("no chromium: apt-get install -y chromium")
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        server = BenchServer(Path(folder))
        server.start()
        browser = play.chromium.launch(executable_path=found, args=["--no-sandbox"])
        try:
            context = browser.new_context(base_url=server.address)
            page = context.new_page()
            page.goto(server.link)
            page.get_by_role("button", name="Sign in on this device").click()
            page.get_by_role("link", name="The foil bench", exact=True).click()
            page.wait_for_url(f"{server.address}/shops/**")
            prepared(page)
            take(browser, server.address, context.storage_state())
        finally:
            browser.close()
            server.stop()


if __name__ == "__main__":
    main()
