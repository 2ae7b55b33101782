"""Asked again where that can do no harm, and never where it could."""

from __future__ import annotations

import httpx
import pytest
from answering import ok, problem

from mouldwright.client.call import Call, new_key
from mouldwright.client.errors import NoAnswer, Refused
from mouldwright.client.retry import Retry
from mouldwright.wire.service.health import HealthAnswer

FINE = {"status": "ok", "version": "1"}
READ = Call(method="GET", path="/v1/health")
MAKE = Call(method="POST", path="/v1/things", key="the-key")
CHANGE = Call(method="PUT", path="/v1/things/a", etag='"3"')
UNKEYED = Call(method="POST", path="/v1/sign-in")
LOST = httpx.ReadError("cut off")
UNSENT = httpx.ConnectError("refused")


@pytest.mark.parametrize("call", [READ, MAKE, Call(method="DELETE", path="/v1/tokens/a")])
@pytest.mark.parametrize("first", [LOST, UNSENT, problem(503, "busy"), httpx.Response(502)])
def test_what_does_no_more_when_asked_twice_is_asked_again(answering, call, first):
    service = answering(first, ok(FINE))
    assert service.asker().read(call, HealthAnswer).value.version == "1"
    assert len(service.asked) == 2


@pytest.mark.parametrize("call", [CHANGE, UNKEYED])
@pytest.mark.parametrize("first", [UNSENT, problem(503, "busy"), problem(429, "too-many")])
def test_a_change_is_asked_again_only_where_nothing_was_done(answering, call, first):
    service = answering(first, ok(FINE))
    service.asker().read(call, HealthAnswer)
    assert len(service.asked) == 2


@pytest.mark.parametrize("call", [CHANGE, UNKEYED])
def test_a_change_that_may_have_been_done_is_left_to_whoever_asked(answering, call):
    service = answering(LOST, ok(FINE))
    with pytest.raises(NoAnswer, match="may have been done all the same") as caught:
        service.asker().read(call, HealthAnswer)
    assert caught.value.perhaps_done
    assert len(service.asked) == 1
    for first in (httpx.Response(504), problem(503, "stopping")):
        service = answering(first)
        with pytest.raises(Refused):
            service.asker().read(call, HealthAnswer)
        assert len(service.asked) == 1


def test_what_a_service_that_stops_may_have_done_is_asked_again_with_its_key(answering):
    service = answering(problem(503, "stopping"), ok(FINE))
    service.asker().read(MAKE, HealthAnswer)
    assert len(service.asked) == 2


def test_the_key_of_what_is_made_stays_the_same_while_it_is_asked_again(answering):
    service = answering(LOST, problem(503, "busy"), problem(409, "key-in-flight"), ok(FINE))
    service.asker().read(MAKE, HealthAnswer)
    assert service.sent("idempotency-key") == ["the-key"] * 4


def test_keys_that_are_made_up_differ_and_cannot_be_guessed():
    keys = {new_key() for _ in range(1000)}
    assert len(keys) == 1000
    # 24 bytes in base64 are 32 characters (RFC 4648), within the 200 a key may have.
    assert {len(key) for key in keys} == {32}


@pytest.mark.parametrize("status", [400, 401, 403, 404, 409, 412, 422, 428, 500])
def test_a_no_that_will_stay_a_no_is_not_asked_again(answering, status):
    service = answering(problem(status, "some-kind"))
    with pytest.raises(Refused):
        service.asker().read(READ, HealthAnswer)
    assert len(service.asked) == 1


def test_it_gives_up_after_so_many_attempts_with_the_last_reason(answering):
    service = answering(problem(503, "busy"))
    with pytest.raises(Refused) as caught:
        service.asker(attempts=4).read(READ, HealthAnswer)
    assert (len(service.asked), caught.value.kind) == (4, "busy")
    service = answering(LOST)
    with pytest.raises(NoAnswer, match="cut off") as lost:
        service.asker(attempts=3).read(READ, HealthAnswer)
    assert len(service.asked) == 3
    assert not lost.value.perhaps_done, "nothing is done by reading"


def test_each_wait_may_be_twice_as_long_as_the_one_before_up_to_the_longest(answering):
    service = answering(problem(503, "busy"))
    with pytest.raises(Refused):
        service.asker(attempts=9).read(READ, HealthAnswer)
    # 0.1 s doubled each time, by hand; none beyond 5 s.
    assert service.waits == pytest.approx([0.1, 0.2, 0.4, 0.8, 1.6, 3.2, 5.0, 5.0])


def test_a_service_may_be_asked_again_for_as_long_as_one_likes(answering):
    """A double holds no power of two beyond the 1023rd (IEEE 754)."""
    service = answering(problem(503, "busy"))
    with pytest.raises(Refused):
        service.asker(attempts=1_100).read(READ, HealthAnswer)
    assert service.waits[-1] == 5.0


def test_waits_are_drawn_so_that_many_do_not_come_back_at_once(answering):
    service = answering(problem(503, "busy"), ok(FINE))
    service.asker(drawn=0.25).read(READ, HealthAnswer)
    assert service.waits == pytest.approx([0.025])


@pytest.mark.parametrize(
    ("told", "waited"),
    [("2", 2.1), ("3600", 5.0), ("Wed, 21 Oct 2026 07:28:00 GMT", 0.1), ("-1", 0.1), ("", 0.1)],
)
def test_a_wait_is_as_the_service_asks_within_reason(answering, told, waited):
    service = answering(problem(503, "busy", **{"retry-after": told}), ok(FINE))
    service.asker().read(READ, HealthAnswer)
    assert service.waits == pytest.approx([waited])


@pytest.mark.parametrize(
    "wrong", [{"attempts": 0}, {"first_s": -1.0}, {"first_s": 6.0, "longest_s": 5.0}]
)
def test_waits_that_cannot_be_meant_are_refused(wrong):
    with pytest.raises(ValueError, match=next(iter(wrong))):
        Retry(**wrong)
