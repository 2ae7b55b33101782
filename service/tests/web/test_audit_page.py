"""Who changed what, on a page for owners."""

from __future__ import annotations

import pytest
from promise_bench import KEY
from web_bench import plain

from mouldwright.usecases.kept import Role

HERE = f"/shops/{KEY}/audit"
TABLET = {"label": "tablet at the press", "role": "bench", "days": "30", "once": "a-key"}


def test_a_change_is_shown_with_who_made_it_and_found_by_its_kind(web):
    owner = web.visitor()
    owner.post(f"/shops/{KEY}/access/tokens", TABLET)
    page = plain(owner.page(HERE))
    assert "Added token" in page
    assert "label tablet at the press" in page
    assert "a test, owner" in page
    assert "Added shop version 1" in page
    assert "Added shop" not in plain(owner.page(f"{HERE}?thing=token"))
    assert "Nothing of that was changed." in plain(owner.page(f"{HERE}?key=none"))


def test_earlier_changes_are_a_page_further(web):
    owner = web.visitor()
    for _ in range(60):
        web.secret()
    page = owner.page(HERE)
    assert "before=" in page
    assert "Added shop version 1" not in plain(page)
    assert "Added shop version 1" in plain(owner.page(f"{HERE}?before=3"))


def test_it_goes_out_as_a_file(web):
    answer = web.visitor().get(f"{HERE}.csv")
    assert answer.status_code == 200
    assert answer.headers["content-disposition"] == 'attachment; filename="audit.csv"'
    assert b"version 1" in answer.content


@pytest.mark.parametrize("role", [Role.PLANNER, Role.BENCH, Role.VIEWER])
@pytest.mark.parametrize("path", [HERE, f"{HERE}.csv"])
def test_only_an_owner_reads_it(web, role, path):
    assert web.visitor(role).get(path).status_code == 403


def test_a_cursor_that_is_none_is_said_to_be_none(web):
    assert web.visitor().get(f"{HERE}?before=x").status_code == 422
