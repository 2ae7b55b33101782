"""Coming in and going out, and the forms in between."""

from __future__ import annotations

from datetime import timedelta

import pytest
from promise_bench import KEY
from web_bench import plain

from mouldwright.usecases.kept import Role
from mouldwright.usecases.session import COOKIE, sign_in_path


def test_opening_a_link_uses_nothing_up_and_its_button_signs_in(web):
    code = web.code()
    for _ in range(3):
        opened = web.client.get(sign_in_path(code))
        assert opened.status_code == 200
        assert "set-cookie" not in opened.headers
    pressed = web.client.post("/sign-in", data={"code": code})
    assert (pressed.status_code, pressed.headers["location"]) == (303, "/")
    cookie = pressed.headers["set-cookie"]
    assert cookie.startswith(f"{COOKIE}=")
    assert "HttpOnly" in cookie
    assert "SameSite=lax" in cookie
    assert "Secure" not in cookie
    assert web.client.get("/").headers["location"] == f"/shops/{KEY}"


def test_a_cookie_that_came_over_https_goes_over_nothing_else(web):
    pressed = web.client.post("https://testserver/sign-in", data={"code": web.code()})
    assert "Secure" in pressed.headers["set-cookie"]


def test_a_link_works_once_and_not_after_its_time(web):
    code, late = web.code(), web.code()
    assert web.client.post("/sign-in", data={"code": code}).status_code == 303
    again = web.client.post("/sign-in", data={"code": code})
    assert again.status_code == 401
    assert "Ask for a new one" in again.text
    web.now += timedelta(minutes=16)
    assert web.client.post("/sign-in", data={"code": late}).status_code == 401


def test_the_address_with_a_code_goes_to_nobody_and_into_no_cache(web):
    opened = web.client.get(sign_in_path(web.code()))
    assert opened.headers["referrer-policy"] == "strict-origin"
    assert opened.headers["cache-control"] == "no-store"


def test_a_token_signs_in_and_a_wrong_one_does_not(web):
    secret = web.secret(Role.BENCH)
    assert web.client.post("/sign-in", data={"token": secret}).status_code == 303
    assert web.client.post("/sign-in", data={"token": "no such"}).status_code == 401


def test_signing_out_withdraws_the_token_of_a_link_and_leaves_a_tools_token_alone(web):
    by_link = web.client.post("/sign-in", data={"code": web.code()})
    secret = by_link.cookies[COOKIE]
    from web_bench import Visitor

    for held, stays in ((secret, False), (web.secret(), True)):
        visitor = Visitor(web, held)
        assert visitor.get(f"/shops/{KEY}").status_code == 303
        out = visitor.post("/sign-out")
        assert out.headers["location"] == "/sign-in"
        assert visitor.get(f"/shops/{KEY}").status_code == (303 if stays else 401)


@pytest.mark.parametrize("shown", ["", "wrong", None])
def test_a_form_without_the_sessions_own_key_changes_nothing(web, shown):
    secret = web.secret()
    data = {} if shown is None else {"form_key": shown}
    answer = web.client.post("/sign-out", data=data, headers={"cookie": f"{COOKIE}={secret}"})
    assert answer.status_code == 403
    assert "Open the page again" in plain(answer.text)


def test_a_key_of_one_session_opens_no_form_of_another(web):
    from mouldwright.usecases.session import form_key

    mine, other = web.secret(), web.secret()
    answer = web.client.post(
        "/sign-out", data={"form_key": form_key(other)}, headers={"cookie": f"{COOKIE}={mine}"}
    )
    assert answer.status_code == 403


def test_nobody_sees_a_shop_without_signing_in_and_no_one_another_shop(web):
    assert web.client.get(f"/shops/{KEY}").status_code == 401
    assert web.client.get("/").headers["location"] == "/sign-in"
    visitor = web.visitor()
    missing = visitor.get("/shops/anothers")
    assert missing.status_code == 404
    assert web.keeper().get("/shops/anothers/").status_code in (303, 307, 404)


def test_a_choice_of_dark_is_kept_and_leads_back_to_a_page_of_ours_alone(web):
    dark = web.client.post("/theme", data={"theme": "dark", "back": "/sign-in"})
    assert dark.headers["location"] == "/sign-in"
    assert 'data-theme="dark"' in web.client.get("/sign-in").text
    for elsewhere in ("//other.example/", "https://other.example/", "/\\other.example"):
        sent = web.client.post("/theme", data={"theme": "light", "back": elsewhere})
        assert sent.headers["location"] == "/"
    web.client.post("/theme", data={"theme": "<script>", "back": "/"})
    assert 'data-theme="light"' in web.client.get("/sign-in").text


def test_every_answer_carries_the_content_policy(web):
    for path in ("/sign-in", "/nowhere", "/", f"/shops/{KEY}"):
        policy = web.client.get(path).headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "http" not in policy
