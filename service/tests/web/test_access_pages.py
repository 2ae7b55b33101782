"""Who may come in, on a page: tokens shown once, renewed, withdrawn; sign-in links."""

from __future__ import annotations

import html
import re
from datetime import timedelta
from urllib.parse import unquote

import pytest
from promise_bench import KEY
from web_bench import Visitor, plain

from mouldwright.usecases.access import caller
from mouldwright.usecases.errors import NotSignedIn
from mouldwright.usecases.kept import Role
from mouldwright.usecases.session import COOKIE

HERE = f"/shops/{KEY}/access"
TABLET = {"label": "tablet at the press", "role": "bench", "days": "30", "once": "a-key"}


def secret_in(answer) -> str:
    assert answer.status_code == 200, answer.text
    assert answer.headers["cache-control"] == "no-store"
    return html.unescape(re.search(r'<input id="secret"[^>]* value="([^"]+)"', answer.text)[1])


def token_of(web, secret):
    return caller(web.services.units, secret, now=web.now)


def test_a_token_is_issued_shown_once_and_opens_what_its_role_may(web):
    owner = web.visitor()
    issued = owner.post(f"{HERE}/tokens", TABLET)
    secret = secret_in(issued)
    token = token_of(web, secret)
    assert (token.role, token.shop, token.label) == (Role.BENCH, KEY, "tablet at the press")
    assert token.expires_at - web.now == timedelta(days=30)
    page = owner.page(HERE)
    assert "tablet at the press" in page
    assert secret not in page
    again = owner.post(f"{HERE}/tokens", TABLET)
    assert "Shown before." in plain(again.text)
    assert secret not in again.text


def test_a_token_is_renewed_the_old_ends_and_the_new_is_shown_once(web):
    owner = web.visitor()
    old = secret_in(owner.post(f"{HERE}/tokens", TABLET))
    path = f"{HERE}/tokens/{token_of(web, old).id}/renew"
    new = secret_in(owner.post(path))
    assert (token_of(web, new).role, token_of(web, new).label) == (
        Role.BENCH,
        "tablet at the press",
    )
    with pytest.raises(NotSignedIn):
        token_of(web, old)
    # What has ended is not brought to life again.
    assert owner.post(path).status_code == 409


def test_a_withdrawn_token_opens_nothing_and_is_listed_among_the_ended(web):
    owner = web.visitor()
    secret = secret_in(owner.post(f"{HERE}/tokens", TABLET))
    owner.post(f"{HERE}/tokens/{token_of(web, secret).id}/withdraw")
    with pytest.raises(NotSignedIn):
        token_of(web, secret)
    assert "1 that ended" in plain(owner.page(HERE))


def test_renewing_ones_own_sign_in_keeps_one_signed_in(web):
    viewer = web.visitor(Role.VIEWER)
    mine = token_of(web, viewer.secret).id
    answer = viewer.post(f"{HERE}/tokens/{mine}/renew")
    assert answer.headers["location"] == HERE
    new = answer.cookies[COOKIE]
    assert "HttpOnly" in answer.headers["set-cookie"]
    assert viewer.get(HERE).status_code == 401
    assert "Signed in as viewer" in plain(Visitor(web, new).page(HERE))


def test_withdrawing_ones_own_signs_one_out(web):
    owner = web.visitor()
    mine = token_of(web, owner.secret).id
    assert owner.post(f"{HERE}/tokens/{mine}/withdraw").headers["location"] == "/sign-in"
    assert owner.get(HERE).status_code == 401


def test_an_owner_signs_everyone_out_but_themselves(web):
    owner = web.visitor()
    planner = web.client.post("/sign-in", data={"code": web.code()}).cookies[COOKIE]
    tablet = secret_in(owner.post(f"{HERE}/tokens", TABLET))
    link = secret_in(owner.post(f"{HERE}/links", {"role": "planner"}))
    out = owner.post(f"{HERE}/sign-everyone-out")
    assert out.headers["location"] == HERE
    assert unquote(out.cookies["mouldwright_said"]) == (
        "1 browser signed out, 1 unopened link lapsed."
    )
    assert Visitor(web, planner).get(HERE).status_code == 401
    code = link.partition("?code=")[2]
    assert web.client.post("/sign-in", data={"code": code}).status_code == 401
    assert token_of(web, tablet).label == "tablet at the press"
    owner.post(f"{HERE}/sign-everyone-out", {"tokens_too": "yes"})
    with pytest.raises(NotSignedIn):
        token_of(web, tablet)
    assert owner.get(HERE).status_code == 200


def test_a_sign_in_link_lets_one_browser_in_once(web):
    link = secret_in(web.visitor().post(f"{HERE}/links", {"role": "planner"}))
    code = link.partition("?code=")[2]
    came = web.client.post("/sign-in", data={"code": code})
    assert token_of(web, came.cookies[COOKIE]).role is Role.PLANNER
    assert web.client.post("/sign-in", data={"code": code}).status_code == 401


@pytest.mark.parametrize("role", [Role.PLANNER, Role.BENCH, Role.VIEWER])
def test_who_is_no_owner_sees_themselves_alone_and_changes_nothing(web, role):
    owner, visitor = web.visitor(), web.visitor(role)
    page = visitor.page(HERE)
    assert f"Signed in as {role}" in plain(page)
    assert "Issue a token" not in page
    assert token_of(web, owner.secret).id not in page
    others = f"{HERE}/tokens/{token_of(web, owner.secret).id}"
    for path in (f"{HERE}/tokens", f"{HERE}/links", f"{others}/renew", f"{others}/withdraw"):
        assert visitor.post(path, TABLET).status_code == 403
    assert token_of(web, owner.secret).holds(web.now)


@pytest.mark.parametrize("verb", ["renew", "withdraw"])
def test_a_token_of_no_one_shop_or_of_another_is_not_there(web, verb):
    keeper = token_of(web, web.keeper().secret)
    assert web.visitor().post(f"{HERE}/tokens/{keeper.id}/{verb}").status_code == 404


@pytest.mark.parametrize(
    "changed", [{"label": ""}, {"days": "0"}, {"days": "9999"}, {"role": "keeper"}]
)
def test_a_token_that_cannot_be_is_refused(web, changed):
    assert web.visitor().post(f"{HERE}/tokens", TABLET | changed).status_code == 422
    with web.bench.units.read(KEY) as unit:
        assert "tablet at the press" not in {token.label for token in unit.tokens.listed()}


def test_a_keeper_reads_whose_they_are_too(web):
    assert "Signed in as keeper" in plain(web.keeper().page(HERE))
