"""The shop's mark brought by its owner, shown on quotes of that day and later alone."""

from __future__ import annotations

import re

from promise_bench import KEY
from web_bench import plain

from mouldwright.usecases.kept import Role

HERE = f"/shops/{KEY}/mark"
FOIL = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20">'
    '<path d="M0 10 Q20 0 40 10 Q20 14 0 10" fill="#123"/></svg>'
)


def bring(visitor, text: str = FOIL, **more: str):
    with visitor.web.bench.units.read(KEY) as unit:
        version = str(unit.shops.version())
    files = {"file": ("mark.svg", text.encode(), "image/svg+xml")}
    return visitor.post(HERE, {"version": version, **more}, files=files)


def test_a_shop_without_a_mark_says_so(web):
    assert "No mark yet" in plain(web.visitor().page(HERE))
    assert web.visitor().get(f"{HERE}.svg").status_code == 404


def test_a_mark_is_shown_on_quotes_made_since_and_on_no_earlier_one(web):
    web.bench.quoted()
    owner = web.visitor(Role.OWNER)
    assert bring(owner).status_code == 303
    web.bench.quoted()
    assert 'class="mark"' not in owner.page(f"/shops/{KEY}/quotes/1")
    page = owner.page(f"/shops/{KEY}/quotes/2")
    path = re.search(r'class="mark" src="([^"]+)"', page)[1]
    answer = owner.get(path)
    assert answer.text == FOIL
    assert answer.headers["content-type"].startswith("image/svg+xml")
    assert "sandbox" in answer.headers["content-security-policy"]


def test_it_can_be_taken_off_again_and_a_quote_keeps_it(web):
    owner = web.visitor(Role.OWNER)
    bring(owner)
    web.bench.quoted()
    assert bring(owner, none="yes").status_code == 303
    assert "No mark yet" in plain(owner.page(HERE))
    assert 'class="mark"' in owner.page(f"/shops/{KEY}/quotes/1")


def test_what_could_run_is_refused_and_nothing_is_kept(web):
    owner = web.visitor(Role.OWNER)
    answer = bring(owner, FOIL.replace("<path", "<script/><path"))
    assert answer.status_code == 422
    assert "&lt;script&gt; has no place in a mark." in answer.text
    assert "No mark yet" in plain(owner.page(HERE))


def test_only_the_owner_brings_one(web):
    planner = web.visitor(Role.PLANNER)
    assert "Bring one" not in plain(planner.page(HERE))
    assert bring(planner).status_code == 403
