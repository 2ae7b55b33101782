"""Everyone signed out at once: by the route, by the client and by the command."""

from __future__ import annotations

import json

import pytest
from service_bench import OTHER, SHOP, once, problem_of
from test_access import BENCH, TOKENS, bearer, code_for

from mouldwright.cli.sign_out import sign_out
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept import Role

SESSIONS = f"/v1/shops/{SHOP}/sessions"


def came_in(served, *, shop=SHOP, role=Role.PLANNER) -> str:
    """Return the secret of a browser that came in by a link."""
    code = code_for(served, shop=shop, role=role)
    return served.client(None).post("/v1/sign-in", json={"code": code}).json()["secret"]


def status_of(served, secret: str) -> int:
    return served.client(None).get("/v1/me", headers=bearer(secret)).status_code


def tool_of(owner) -> str:
    return owner.post(TOKENS, json=BENCH, headers=once()).json()["secret"]


def test_every_browser_of_the_shop_is_signed_out_and_nobody_elses(served):
    ours = [came_in(served), came_in(served, role=Role.OWNER)]
    others = [came_in(served, shop=OTHER), came_in(served, shop=None, role=Role.KEEPER)]
    owner = served.client()
    tool, waiting = tool_of(owner), code_for(served, shop=SHOP, role=Role.OWNER)
    other_link = code_for(served, shop=OTHER, role=Role.OWNER)
    ended = owner.delete(SESSIONS)
    assert ended.json() == {"browsers": 2, "tokens": 0, "links": 1}
    assert [status_of(served, secret) for secret in ours] == [401, 401]
    assert [status_of(served, secret) for secret in others] == [200, 200]
    assert status_of(served, tool) == 200
    nobody = served.client(None)
    problem_of(nobody.post("/v1/sign-in", json={"code": waiting}), 401, "not-signed-in")
    assert nobody.post("/v1/sign-in", json={"code": other_link}).status_code == 201
    # Asked again there is nobody left.
    assert owner.delete(SESSIONS).json() == {"browsers": 0, "tokens": 0, "links": 0}


def test_tokens_of_tools_end_too_where_it_is_said_and_who_asks_stays(served):
    owner = served.client()
    tool = tool_of(owner)
    assert owner.delete(SESSIONS, params={"tokens_too": True}).json()["tokens"] == 1
    assert status_of(served, tool) == 401
    assert owner.get("/v1/me").status_code == 200


def test_who_signed_everyone_out_is_told_in_the_audit(served):
    secret, owner = came_in(served), served.client()
    token = served.client(None).get("/v1/me", headers=bearer(secret)).json()["id"]
    owner.delete(SESSIONS)
    told = owner.get(f"/v1/shops/{SHOP}/audit", params={"thing": "token", "key": token}).json()
    changed = [entry for entry in told["entries"] if entry["verb"] == "changed"]
    assert [change["what"] for change in changed[0]["changes"]] == ["revoked_at"]


@pytest.mark.parametrize("shop", [SHOP, None])
def test_the_command_signs_everyone_out(served, capsys, shop):
    # The command goes by the machine's clock, which is before the bench's.
    role = Role.KEEPER if shop is None else Role.OWNER
    secret, other = came_in(served, shop=shop, role=role), came_in(served, shop=OTHER)
    sign_out(database=served.url, shop=shop, tokens_too=False, demo=False, as_json=True)
    answer = json.loads(capsys.readouterr().out)
    assert answer == {"shop": shop, "browsers": 1, "tokens": 0, "links": 0}
    assert (status_of(served, secret), status_of(served, other)) == (401, 200)
    sign_out(database=served.url, shop=shop, tokens_too=False, demo=False, as_json=False)
    assert capsys.readouterr().out == "Nobody else was signed in.\n"


def test_the_command_knows_no_shop_that_is_not_there(served):
    with pytest.raises(Unknown):
        sign_out(database=served.url, shop="none", tokens_too=False, demo=False, as_json=True)
