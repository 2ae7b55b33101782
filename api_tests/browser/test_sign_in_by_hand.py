"""The printed link in a browser: looked at by anything, used up by its button alone."""

from __future__ import annotations

from bench_server import BenchServer
from sheets import Reader


def test_a_link_looked_at_beforehand_still_signs_in_and_then_is_used_up(chromium, tmp_path):
    server = BenchServer(tmp_path)
    server.start()
    context = chromium.new_context(base_url=server.address)
    try:
        someone = Reader(context.new_page(), server.address)
        for _ in range(2):
            someone.page.goto(server.link)
        someone.fits()
        someone.is_sound()
        someone.page.get_by_role("button", name="Sign in on this device").click()
        someone.page.get_by_role("heading", name="Shops").wait_for()
        # Signed in already, another press of a link must not be taken for another site's.
        someone.page.goto(server.link)
        someone.page.get_by_role("button", name="Sign in on this device").click()
        assert "was used" in someone.page.locator("main").inner_text()
        someone.page.goto("/")
        someone.page.get_by_role("button", name="Sign out").click()
        assert someone.page.url == f"{server.address}/sign-in"
        someone.page.goto("/shops/foil-bench/quotes")
        assert someone.page.locator("h1").inner_text() == "Sign in first"
    finally:
        context.close()
        server.stop()
