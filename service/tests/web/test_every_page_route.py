"""Every route of the pages, walked over: who reaches it, and which forms are believed."""

from __future__ import annotations

import re

import pytest
from fastapi.routing import APIRoute
from service_bench import BASE, OTHER, SHOP, service_bench

from mouldwright.usecases.kept import Role
from mouldwright.usecases.session import COOKIE, FORM_KEY, form_key
from mouldwright.web.headers import CONTENT_POLICY
from mouldwright.web.pages import ROUTERS

ROUTES = [route for router in ROUTERS for route in router.routes if isinstance(route, APIRoute)]
# What is for whoever comes: to come in, to read in the light one likes, and what a customer has a
# secret address for.
OPEN = {"/static/{mark}/{name}", "/day-worker.js", "/favicon.ico", "/sign-in", "/theme", "/"}
CLOSED = [r for r in ROUTES if r.path not in OPEN and not r.path.startswith("/q/")]
IN_SHOPS = [r for r in CLOSED if "{shop}" in r.path]
FORMS = [r for r in CLOSED if "POST" in r.methods]
# The least role that a form is for, by how its path begins; the longest beginning holds, and every
# other form is a planner's.
LEAST = {
    "/sign-out": Role.VIEWER,
    "/shops/demo": Role.KEEPER,
    "/shops/written": Role.KEEPER,
    "/shops/file": Role.KEEPER,
    "/shops/{shop}/access": Role.OWNER,
    "/shops/{shop}/file": Role.OWNER,
    "/shops/{shop}/versions/put-back": Role.OWNER,
    "/shops/{shop}/mark": Role.OWNER,
    # The sections that are one entry are hours and prices; those that have several follow.
    "/shops/{shop}/edit/{section}": Role.OWNER,
    "/shops/{shop}/edit/{section}/": Role.PLANNER,
    "/shops/{shop}/orders/{number}/begun": Role.BENCH,
    "/shops/{shop}/day": Role.BENCH,
    "/shops/{shop}/log": Role.BENCH,
    # Looking at what a move would do changes nothing.
    "/shops/{shop}/board/{version}/tasks/{key}/try": Role.VIEWER,
}
# The sheets that not everyone in the shop reads: what would be filled in, what the shop is as a
# file, and who changed what.
READ_BY_FEWER = re.compile(
    r"/shops/\{shop\}/((add|edit)/.*|log/note.*|audit(\.csv)?|file(\.toml)?|versions)"
)


def named(routes):
    return [pytest.param(r, id=f"{next(iter(r.methods))} {r.path}") for r in routes]


def least_of(route: APIRoute) -> Role:
    begun = [path for path in LEAST if route.path.startswith(path)]
    return LEAST[max(begun, key=len)] if begun else Role.PLANNER


@pytest.fixture(scope="module")
def walked(tmp_path_factory):
    bench = service_bench(tmp_path_factory.mktemp("walk"))
    secrets = {role: bench.secret(role) for role in Role} | {OTHER: bench.secret("owner", OTHER)}
    yield bench, secrets
    bench.opened.close()


def path_of(route: APIRoute, shop: str = SHOP) -> str:
    section = "hours" if route.path.endswith("/edit/{section}") else "parts"
    path = route.path.replace("{shop}", shop).replace("{section}", section)
    return re.sub(r"\{\w+(:path)?\}", "1", path)


def ask(walked, route, who, *, shop=SHOP, key=None, origin=BASE):
    """Ask as a browser that is signed in would; ``key`` is that of the form, where there is one."""
    bench, _ = walked
    client = bench.client(None)
    headers = {"Origin": origin} if origin else {}
    if who:
        headers["Cookie"] = f"{COOKIE}={who}"
    path = path_of(route, shop)
    if "POST" in route.methods:
        data = {"section": "parts", "key": "stabiliser"} | ({} if key is None else {FORM_KEY: key})
        return client.post(path, data=data, headers=headers, follow_redirects=False)
    return client.get(path, headers=headers, follow_redirects=False)


@pytest.mark.parametrize("route", named(CLOSED))
def test_nobody_reaches_a_sheet_or_a_form_without_being_signed_in(walked, route):
    assert ask(walked, route, None).status_code in (401, 403)
    assert ask(walked, route, "no-such-secret", key=form_key("no-such-secret")).status_code == 401


@pytest.mark.parametrize("route", named(IN_SHOPS))
def test_a_shop_is_not_there_to_who_belongs_to_another(walked, route):
    secret = walked[1][OTHER]
    there, nowhere = (
        ask(walked, route, secret, shop=shop, key=form_key(secret)) for shop in (SHOP, "no-such")
    )
    assert there.status_code == nowhere.status_code == 404
    assert there.text.replace(SHOP, "no-such") == nowhere.text


@pytest.mark.parametrize("route", named(FORMS))
def test_a_form_is_believed_with_its_own_sessions_key_and_from_a_page_of_ours(walked, route):
    keeper, planner = walked[1][Role.KEEPER], walked[1][Role.PLANNER]
    for key in (None, "", "x", form_key(planner), keeper):
        assert ask(walked, route, keeper, key=key).status_code == 403, key
    for origin in ("http://evil.example", f"{BASE}.evil.example", "null", ""):
        answer = ask(walked, route, keeper, key=form_key(keeper), origin=origin)
        assert answer.status_code == 403, origin


@pytest.mark.parametrize("role", [Role.OWNER, Role.PLANNER, Role.BENCH, Role.VIEWER])
@pytest.mark.parametrize("route", named(r for r in FORMS if r.path != "/sign-out"))
def test_a_form_is_for_those_whose_role_reaches_so_far(walked, route, role):
    secret = walked[1][role]
    status = ask(walked, route, secret, key=form_key(secret)).status_code
    if role.reaches(least_of(route)):
        assert status not in (401, 403)
    else:
        assert status == 403


@pytest.mark.parametrize("route", named(r for r in IN_SHOPS if "GET" in r.methods))
def test_a_sheet_is_read_by_every_role_but_what_is_for_fewer(walked, route):
    status = ask(walked, route, walked[1][Role.VIEWER]).status_code
    assert (status == 403) == bool(READ_BY_FEWER.fullmatch(route.path))
    assert ask(walked, route, walked[1][Role.OWNER]).status_code not in (401, 403)


@pytest.mark.parametrize("route", named(CLOSED))
def test_every_answer_goes_out_with_the_content_policy_and_into_no_shared_cache(walked, route):
    for who in (None, walked[1][Role.OWNER]):
        headers = ask(walked, route, who, key=who and "x").headers
        if not headers.get("content-type", "").startswith("application/problem"):
            assert headers["content-security-policy"] == CONTENT_POLICY
            assert headers["x-frame-options"] == "DENY"
        assert headers["x-content-type-options"] == "nosniff"
        assert re.match(r"private|no-store", headers["cache-control"])


def test_a_sign_in_sent_from_another_site_is_refused(walked):
    """Else a reader could be signed in as someone else without noticing."""
    bench, secrets = walked
    for origin in ("http://evil.example", f"{BASE}.evil.example"):
        answer = bench.client(None).post(
            "/sign-in", data={"token": secrets[Role.OWNER]}, headers={"Origin": origin}
        )
        assert (answer.status_code, "set-cookie" in answer.headers) == (403, False)
    ours = bench.client(None).post(
        "/sign-in",
        data={"token": secrets[Role.OWNER]},
        headers={"Origin": BASE},
        follow_redirects=False,
    )
    assert (ours.status_code, "set-cookie" in ours.headers) == (303, True)


def test_a_session_that_was_there_before_the_sign_in_is_not_taken_over(walked):
    bench, _ = walked
    client = bench.client(None)
    client.cookies.set(COOKIE, "planted")
    answer = client.post(
        "/sign-in",
        data={"token": bench.secret("viewer")},
        headers={"Origin": BASE},
        follow_redirects=False,
    )
    assert answer.status_code == 303
    assert f"{COOKIE}=planted" not in answer.headers["set-cookie"]
    assert client.get("/v1/me", headers={"Cookie": f"{COOKIE}=planted"}).status_code == 401
