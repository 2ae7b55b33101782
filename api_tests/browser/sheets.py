"""A reader of sheets: opens them as people do, and looks for what would trouble some of them."""

from __future__ import annotations

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, Response

SHOP = "/shops/foil-bench"
WIDTHS = {"phone": (390, 844), "tablet": (820, 1180), "wide": (1600, 1000)}
# WCAG 2.2 at levels A and AA.
_RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
FINGER_PX = 44

_TOO_WIDE = """() => document.documentElement.scrollWidth - window.innerWidth"""
# What a finger must hit, but links within running text (WCAG 2.2, 2.5.8 leaves those out).
_SMALL_TARGETS = """(least) => [...document.querySelectorAll(
    'button, select, summary, .button, nav a, .lead-link, input:not([type=hidden])')]
  .filter((each) => each.checkVisibility() && !each.closest('.skip, .seen-by-reader'))
  .map((each) => [each, (each.closest('label, .box') || each).getBoundingClientRect()])
  .filter(([, box]) => box.height > 0 && box.height < least - 0.5)
  .map(([each, box]) => `${each.outerHTML.slice(0, 80)} is ${box.height} high`)"""


class Reader:
    """A page and what went wrong in it."""

    def __init__(self, page: Page, address: str) -> None:
        """Listen to a page."""
        self.page, self._address = page, address
        self.troubles: list[str] = []
        page.on("console", self._noted)
        page.on("pageerror", lambda error: self.troubles.append(f"script: {error}"))
        page.on("request", self._asked)

    def _noted(self, message) -> None:
        if message.type in ("error", "warning"):
            self.troubles.append(f"{message.type}: {message.text}")

    def _asked(self, request) -> None:
        if not request.url.startswith((self._address, "data:", "blob:")):
            self.troubles.append(f"it asks another host: {request.url}")

    def open(self, path: str, *, width: str = "wide", theme: str = "light") -> Response:
        """Open a sheet, which must be there."""
        self.see(width=width, theme=theme)
        answer = self.page.goto(path)
        assert answer is not None
        assert answer.status == 200, path
        return answer

    def see(self, *, width: str, theme: str = "light") -> None:
        """Look at the sheet at a width and by day or by night."""
        across, down = WIDTHS[width]
        self.page.set_viewport_size({"width": across, "height": down})
        self.page.emulate_media(color_scheme=theme)

    def had_no_trouble(self) -> None:
        """Nothing was written to the console, no script failed, no other host was asked."""
        assert not self.troubles, "\n".join(self.troubles)

    def fits(self) -> None:
        """The sheet is no wider than the screen."""
        assert self.page.evaluate(_TOO_WIDE) <= 0, self.page.viewport_size

    def can_be_hit(self) -> None:
        """What a finger must hit is large enough."""
        small = self.page.evaluate(_SMALL_TARGETS, FINGER_PX)
        assert not small, "\n".join(small)

    def is_sound(self) -> None:
        """No rule of accessibility that can be tested is broken."""
        found = Axe().run(self.page, options=_RULES).response["violations"]
        said = [
            f"{broken['id']}: {node['html'][:160]} {node.get('failureSummary', '')}"
            for broken in found
            for node in broken["nodes"][:3]
        ]
        assert not said, "\n".join(said)
