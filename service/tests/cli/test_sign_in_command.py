"""A link by command, for a service that runs already or is started later."""

from __future__ import annotations

import json
from urllib.parse import parse_qs, urlsplit

import pytest
from fastapi.testclient import TestClient
from promise_bench import DEMO
from service_bench import BASE, SHOP, closing, problem_of, service_bench

from mouldwright.bootstrap import make_app
from mouldwright.cli.sign_in import sign_in
from mouldwright.domain.errors import InvalidInput
from mouldwright.usecases.errors import Unknown

NOTHING = {"role": None, "shop": None, "address": None, "demo": False, "as_json": True}


@pytest.fixture
def link(capsys):
    def ask(url: str, **options):
        sign_in(database=url, **(NOTHING | options))
        return json.loads(capsys.readouterr().out)

    return ask


def code_of(answer) -> str:
    return parse_qs(urlsplit(answer["sign_in"]).query)["code"][0]


@pytest.mark.parametrize(
    ("options", "reaches"),
    [
        ({}, ("keeper", None)),
        ({"shop": SHOP}, ("owner", SHOP)),
        ({"shop": SHOP, "role": "bench"}, ("bench", SHOP)),
    ],
)
def test_a_link_made_beside_a_running_service_signs_in_once(tmp_path, link, options, reaches):
    with closing(service_bench(tmp_path)) as bench:
        answer = link(bench.url, **options)
        assert (answer["role"], answer["shop"]) == reaches
        assert answer["minutes"] == 15
        # By the machine's clock, as the command goes.
        client = TestClient(make_app(bench.opened.services), base_url=BASE)
        came = client.post("/v1/sign-in", json={"code": code_of(answer)})
        assert came.status_code == 201, came.text
        token = came.json()["token"]
        assert (token["role"], token["shop"]) == reaches
        again = client.post("/v1/sign-in", json={"code": code_of(answer)})
        problem_of(again, 401, "not-signed-in")


def test_a_link_may_be_made_before_anything_is_kept(tmp_path, link):
    url = f"sqlite:///{tmp_path / 'coming.db'}"
    answer = link(url, address="https://bench.example/")
    assert answer["sign_in"].startswith("https://bench.example/sign-in?code=")
    assert (tmp_path / "coming.db").stat().st_mode & 0o077 == 0


def test_with_the_demo_it_goes_by_the_demos_clock(tmp_path, link):
    from mouldwright.bootstrap import open_services, with_demo
    from mouldwright.settings import Settings
    from mouldwright.usecases.access import sign_in as use_up

    url = f"sqlite:///{tmp_path / 'demo.db'}"
    answer = link(url, demo=True, shop="foil-bench")
    opened = open_services(with_demo(Settings(database_url=url)))
    services = opened.services
    issued = use_up(
        services.units, code_of(answer), days=1, now=services.clock(), chance=services.chance
    )
    opened.close()
    assert issued.token.issued_at.date() == DEMO.start.date()


def test_in_words_it_says_what_it_opens_and_for_how_long(tmp_path, capsys):
    sign_in(database=f"sqlite:///{tmp_path / 'b.db'}", **(NOTHING | {"as_json": False}))
    first, second = capsys.readouterr().out.splitlines()
    assert first == "Sign in once, within 15 minutes, as keeper of every shop:"
    assert second.startswith("  http://127.0.0.1:8000/sign-in?code=")


@pytest.mark.parametrize(
    ("options", "error", "words"),
    [
        ({"shop": "nowhere"}, Unknown, "nowhere"),
        ({"role": "boss"}, InvalidInput, "role = boss"),
        ({"role": "planner"}, InvalidInput, "a keeper has no one shop"),
        ({"role": "keeper", "shop": "nowhere"}, InvalidInput, "a keeper has no one shop"),
        ({"address": "bench.example"}, InvalidInput, "https://bench.example"),
    ],
)
def test_what_cannot_be_is_refused_by_name(tmp_path, link, options, error, words):
    with pytest.raises(error, match=words):
        link(f"sqlite:///{tmp_path / 'b.db'}", **options)
