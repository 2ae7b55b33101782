"""The manual's site: built without a warning, every link leads somewhere, and a search finds."""

from __future__ import annotations

import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
from sheets import Reader

ROOT = Path(__file__).parents[2]
BUILD = ROOT / "docs" / "site" / "build.py"
WIDTHS = (390, 1440)
# The whole site is read and written for the first of them.


@pytest.fixture(scope="module")
def site(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("manual") / "site"
    done = subprocess.run(
        [sys.executable, str(BUILD), str(folder)],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        check=False,
    )
    assert (done.returncode, done.stdout) == (0, "")
    return folder


class Links(HTMLParser):
    """What a page leads to, what it loads, and the places in it that can be led to."""

    def __init__(self, page: Path) -> None:
        super().__init__()
        self.page, self.leads, self.loads = page, set(), set()
        self.places, self.inline = set(), []
        self.feed(page.read_text(encoding="utf-8"))

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        self.places.add(given.get("id"))
        if tag == "a" and "href" in given:
            self.leads.add(given["href"])
        elif tag in ("link", "script", "img", "iframe"):
            self.loads |= {given[key] for key in ("href", "src") if key in given}
            if tag == "script" and "src" not in given:
                self.inline.append(self.page.name)
        if "style" in given or tag == "style":
            self.inline.append(self.page.name)


def pages_of(site: Path) -> dict[Path, Links]:
    return {page.resolve(): Links(page) for page in sorted(site.rglob("*.html"))}


def lead_nowhere(pages: dict[Path, Links]) -> list[tuple[str, str]]:
    """Return (page, link) of each link within the site that leads to no file, or no place in it."""
    lost = []
    for page, links in pages.items():
        for link in links.leads | links.loads:
            parts = urlsplit(link)
            if parts.scheme:
                continue
            file = (page.parent / unquote(parts.path)).resolve() if parts.path else page
            known = pages.get(file)
            place = unquote(parts.fragment)
            if not file.exists() or (place and known and place not in known.places):
                lost.append((page.name, link))
    return lost


def test_every_page_is_whole_and_every_link_within_it_leads_somewhere(site):
    pages = pages_of(site)
    assert len(pages) > 30
    assert lead_nowhere(pages) == []


def test_nothing_is_loaded_from_another_host_and_nothing_is_written_inline(site):
    for links in pages_of(site).values():
        assert [load for load in links.loads if urlsplit(load).scheme] == []
        assert links.inline == []


@pytest.mark.parametrize("width", WIDTHS)
def test_a_search_finds_the_page_that_tells_of_it_without_a_server(site, chromium, width):
    context = chromium.new_context(viewport={"width": width, "height": 900})
    page = context.new_page()
    went_wrong = []
    page.on("pageerror", lambda fault: went_wrong.append(str(fault)))
    page.goto((site / "index.html").as_uri())
    page.get_by_role("heading", name="The manual", level=1).wait_for()
    page.get_by_role("searchbox").fill("elastica")
    page.keyboard.press("Enter")
    page.locator("#search-results").get_by_role("link", name="Stiffness").click()
    page.get_by_role("heading", name="Stiffness", level=1).wait_for()
    assert went_wrong == []
    context.close()


@pytest.mark.parametrize("width", WIDTHS)
def test_no_page_of_the_site_is_wider_than_the_screen(site, chromium, width):
    context = chromium.new_context(viewport={"width": width, "height": 900})
    page = context.new_page()
    wide = []
    for file in sorted((site / "docs").rglob("*.html")):
        page.goto(file.as_uri(), wait_until="domcontentloaded")
        if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
            wide.append(file.name)
    assert wide == []
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_page_of_the_site_breaks_no_rule_of_accessibility(site, chromium, scheme):
    context = chromium.new_context(color_scheme=scheme)
    reader = Reader(context.new_page(), site.as_uri())
    for name in ("index", "stiffness"):
        reader.page.goto((site / "docs" / f"{name}.html").as_uri())
        reader.see(width="phone", theme=scheme)
        reader.is_sound()
        reader.can_be_hit()
    context.close()


def test_the_reader_chooses_light_or_dark_and_the_next_page_keeps_to_it(site, chromium):
    context = chromium.new_context(color_scheme="light")
    page = context.new_page()
    ground = "getComputedStyle(document.documentElement).backgroundColor"
    page.goto((site / "docs" / "index.html").as_uri())
    by_day = page.evaluate(ground)
    page.get_by_role("button", name="Dark").click()
    by_night = page.evaluate(ground)
    page.goto((site / "docs" / "safety.html").as_uri())
    assert page.evaluate(ground) == by_night != by_day
    context.close()


# The check of the links must be able to fail.


def test_a_link_that_leads_nowhere_and_a_place_that_is_not_there_are_found(tmp_path):
    page = tmp_path / "a.html"
    page.write_text('<a href="b.html">b</a><a href="#there">t</a><p id="c"><a href="#c">c</a>')
    assert sorted(lead_nowhere(pages_of(tmp_path))) == [("a.html", "#there"), ("a.html", "b.html")]
