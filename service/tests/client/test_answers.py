"""What comes back: answers, problems with every field, and what is neither."""

from __future__ import annotations

import json
from decimal import Decimal

import httpx
import pytest
from answering import ADDRESS, Service, ok, problem

from mouldwright.client import Client
from mouldwright.client.call import Call
from mouldwright.client.connection import Connection
from mouldwright.client.errors import ClientError, NoAnswer, Refused
from mouldwright.client.shop import scenario_text
from mouldwright.scenario.demo import demo_path
from mouldwright.scenario.kept import KeptScenarios
from mouldwright.scenario.read import read_scenario
from mouldwright.wire.scenario import Scenario
from mouldwright.wire.service.health import HealthAnswer
from mouldwright.wire.service.order import OrderChangeAsk

FINE = {"status": "ok", "version": "1"}
READ = Call(method="GET", path="/v1/health")
FAULT = {
    "detail": "a currency is three capital letters.",
    "remedy": "Write EUR.",
    "value": '"EURO"',
    "path": "shop.currency",
    "pointer": "#/scenario/shop/currency",
    "parameter": None,
    "line": None,
}


def test_a_problem_arrives_with_every_field(answering):
    refusal = problem(422, "invalid", FAULT, **{"x-request-id": "r-17"})
    with pytest.raises(Refused) as caught:
        answering(refusal).asker().read(READ, HealthAnswer)
    no = caught.value
    assert (no.status, no.kind, no.title, no.detail) == (
        422,
        "invalid",
        "A title",
        "What is wrong.",
    )
    assert no.problem.type == "/v1/problems/invalid"
    assert no.request_id == "r-17"
    assert [item.pointer for item in no.errors] == ["#/scenario/shop/currency"]
    assert str(no) == (
        "What is wrong.\nshop.currency: a currency is three capital letters. Write EUR."
    )
    assert isinstance(no, ClientError)


def test_a_refusal_by_whatever_stands_between_is_a_refusal_too(answering):
    page = httpx.Response(403, text="<h1>Proxy says no</h1>")
    with pytest.raises(Refused, match="answered 403 without a reason") as caught:
        answering(page).asker().read(READ, HealthAnswer)
    assert (caught.value.kind, caught.value.errors) == ("about:blank", ())


def test_an_answer_that_is_not_what_was_agreed_is_no_answer(answering):
    for answer in (ok({"status": "well"}), httpx.Response(200, text="<html>")):
        with pytest.raises(NoAnswer, match="is not HealthAnswer"):
            answering(answer).asker().read(READ, HealthAnswer)


def test_keys_that_a_later_service_adds_are_passed_over(answering):
    found = answering(ok({**FINE, "mood": "fair"})).asker().read(READ, HealthAnswer)
    assert found.value == HealthAnswer(**FINE)


def test_the_state_that_was_read_is_kept_and_sent_back_with_a_change(answering):
    service = answering(ok(FINE, etag='"3"'))
    asker = service.asker()
    read = asker.read(READ, HealthAnswer)
    assert read.etag == '"3"'
    asker.read(Call(method="PUT", path="/v1/a", etag=read.etag), HealthAnswer)
    assert service.sent("if-match") == [None, '"3"']


def test_what_still_holds_is_not_sent_again(answering):
    service = answering(ok(FINE, etag='"3"'), httpx.Response(304, headers={"etag": '"3"'}))
    asker = service.asker()
    read = asker.read(READ, HealthAnswer)
    assert asker.read_anew(READ, HealthAnswer, read) is read
    assert service.sent("if-none-match") == [None, '"3"']


def test_what_changed_is_read_anew(answering):
    service = answering(ok(FINE, etag='"3"'), ok({**FINE, "version": "2"}, etag='"4"'))
    asker = service.asker()
    read = asker.read(READ, HealthAnswer)
    again = asker.read_anew(READ, HealthAnswer, read)
    assert (again.value.version, again.etag) == ("2", '"4"')


def test_a_token_goes_with_each_request_and_is_never_shown():
    lost = httpx.ReadError("cut off")
    service = Service(ok(FINE), lost)
    client = Client(ADDRESS, "a-secret-token", transport=service.transport)
    client.health()
    assert service.sent("authorization") == ["Bearer a-secret-token"]
    assert "secret" not in repr(client)
    with pytest.raises(NoAnswer) as caught:
        client.rotate()
    assert "secret" not in str(caught.value)
    assert caught.value.__cause__ is lost


def test_a_lost_answer_to_rotating_is_asked_for_anew_where_the_old_token_holds_on():
    token = {
        "id": "t3",
        "shop": "my-bench",
        "role": "bench",
        "label": "tablet",
        "issued_at": "2027-03-01T08:30:00Z",
        "expires_at": "2027-05-30T08:30:00Z",
        "revoked_at": None,
    }
    lost = httpx.ReadError("cut off")
    answer = httpx.Response(201, json={"token": token, "secret": "third"})
    service = Service(lost, answer)
    client = Client(ADDRESS, "second", transport=service.transport)
    assert client.rotate(overlap_minutes=5).id == "t3"
    assert client.token == "third"
    assert service.sent("authorization") == ["Bearer second", "Bearer second"]
    first, again = service.sent("idempotency-key")
    assert first != again


def test_a_token_follows_no_redirect_to_another_place(answering):
    service = answering(httpx.Response(307, headers={"location": "http://elsewhere.test/"}))
    with pytest.raises(Refused):
        service.asker(token="a-secret-token").read(READ, HealthAnswer)
    assert [request.url.host for request in service.asked] == ["bench.test"]


def test_signing_in_takes_the_token_and_rotating_the_next():
    token = {
        "id": "t1",
        "shop": "my-bench",
        "role": "owner",
        "label": "signed in by link",
        "issued_at": "2027-03-01T08:30:00Z",
        "expires_at": "2027-05-30T08:30:00Z",
        "revoked_at": None,
    }
    service = Service(
        httpx.Response(201, json={"token": token, "secret": "first"}),
        httpx.Response(201, json={"token": {**token, "id": "t2"}, "secret": "second"}),
    )
    client = Client(ADDRESS, transport=service.transport)
    assert client.sign_in("the-code").role == "owner"
    assert client.token == "first"
    assert client.rotate().id == "t2"
    assert client.token == "second"
    assert service.sent("authorization") == [None, "Bearer first"]
    assert json.loads(service.asked[0].content) == {"code": "the-code"}


@pytest.mark.parametrize("address", ["127.0.0.1:8765", "ftp://bench.test", "", "http://"])
def test_an_address_that_is_none_is_refused_with_one_that_would_do(address):
    with pytest.raises(ValueError, match=r"write it as http://127\.0\.0\.1:8765"):
        Connection(address)


@pytest.mark.parametrize("link", ["http://127.0.0.1:8765/sign-in", "?code=abc", "http://a/?code="])
def test_a_link_without_a_code_is_refused(link):
    with pytest.raises(ValueError, match="no sign-in link"):
        Client.by_link(link)


def test_keys_are_one_step_of_the_path_whatever_they_are_made_of():
    service = Service(problem(404, "unknown"))
    shop = Client(ADDRESS, transport=service.transport).shop("my/bench?")
    with pytest.raises(Refused):
        shop.parts.read("../tokens")
    assert service.asked[0].url.raw_path == b"/v1/shops/my%2Fbench%3F/parts/..%2Ftokens"


def test_what_is_left_out_of_a_change_is_not_sent(answering):
    service = answering(ok(FINE))
    ask = OrderChangeAsk(quantity=20)
    service.asker().read(Call(method="PATCH", path="/v1/a", body=ask, etag='"1"'), HealthAnswer)
    assert json.loads(service.asked[0].content) == {"quantity": 20}


def test_a_scenario_goes_out_with_every_figure_as_it_was_written():
    shop = read_scenario(demo_path("foil-bench")).shop
    sent = json.loads(scenario_text(Scenario.of(shop), key="foils"), parse_float=Decimal)
    assert sent["key"] == "foils"
    again = KeptScenarios().read(scenario_text(Scenario.of(shop))[len('{"scenario": ') : -1])
    assert again == shop
