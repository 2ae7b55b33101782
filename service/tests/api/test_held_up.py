"""Who guesses at the doors that open without a token is held up."""

from __future__ import annotations

import pytest
from service_bench import SHOP, closing, once, problem_of, service_bench

from mouldwright.usecases.access import promise_sign_in
from mouldwright.usecases.kept import Role

WRONG = {"json": {"code": "wrong"}}


@pytest.fixture
def strict(tmp_path):
    with closing(service_bench(tmp_path, wrong_tries=3)) as bench:
        yield bench


def right_code(bench) -> str:
    return promise_sign_in(
        bench.services.units,
        shop=None,
        role=Role.KEEPER,
        minutes=15,
        now=bench.clock(),
        chance=bench.services.chance,
    )


def test_a_fourth_wrong_code_is_not_tried_and_a_right_one_waits_too(strict):
    nobody, code = strict.client(None), right_code(strict)
    for _ in range(3):
        problem_of(nobody.post("/v1/sign-in", **WRONG), 401, "not-signed-in")
    held = nobody.post("/v1/sign-in", json={"code": code})
    problem_of(held, 429, "too-many-tries")
    assert held.headers["retry-after"] == "300"
    strict.clock.on(minutes=5)
    assert nobody.post("/v1/sign-in", json={"code": code}).status_code == 201


@pytest.mark.parametrize(
    "path", ["/v1/feeds/wrong/calendar.ics", "/v1/feeds/wrong/notices.atom", "/q/wrong"]
)
def test_wrong_secret_addresses_are_counted_with_the_codes(strict, path):
    nobody = strict.client(None)
    for _ in range(3):
        assert nobody.get(path).status_code == 404
    held = nobody.get(path)
    assert (held.status_code, held.headers["retry-after"]) == (429, "300")
    problem_of(nobody.post("/v1/sign-in", **WRONG), 429, "too-many-tries")


def test_the_page_that_signs_in_holds_up_too(strict):
    nobody = strict.client(None)
    for form in ({"code": "wrong"}, {"token": "wrong"}, {"code": "wrong"}):
        assert nobody.post("/sign-in", data=form).status_code == 401
    held = nobody.post("/sign-in", data={"code": right_code(strict)})
    assert (held.status_code, held.headers["retry-after"]) == (429, "300")
    assert "Wait 300 s" in held.text
    assert "mouldwright_session" not in held.cookies


def test_who_is_signed_in_works_on_from_there(strict):
    owner, nobody = strict.client(), strict.client(None)
    for _ in range(4):
        nobody.post("/v1/sign-in", **WRONG)
    assert owner.get("/v1/me").status_code == 200
    body = {"role": "bench", "label": "tablet"}
    made = owner.post(f"/v1/shops/{SHOP}/tokens", json=body, headers=once())
    assert made.status_code == 201
