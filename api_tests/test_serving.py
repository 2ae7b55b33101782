"""The program served: it starts, signs one in, answers, and ends when told to."""

from __future__ import annotations

import os
import socket

import httpx
import pytest

from mouldwright.client import Client, Refused
from serving import Server, signed_in, wait_until


@pytest.fixture(params=["sqlite", "postgresql"])
def own_server(request, new_database, tmp_path):
    """A server that one test may stop."""
    made = Server(tmp_path, new_database(request.param, tmp_path))
    made.start()
    yield made
    if made.runs:
        made.kill()


def test_it_starts_signs_one_in_once_and_ends_cleanly_when_told_to(own_server):
    link = own_server.link()
    with Client.by_link(link) as client:
        assert client.who_am_i().role == "keeper"
        assert client.shops() == []
    with pytest.raises(Refused, match="used"):
        Client.by_link(link)
    workers = own_server.workers
    assert len(workers) == 1
    assert own_server.stop() == 0
    assert not any(os.path.exists(f"/proc/{pid}") for pid in workers)
    said = own_server.said
    assert "Traceback" not in said, said
    # The code is used up by now, and stands where it was printed and nowhere else.
    assert said.count(httpx.URL(link).params["code"]) == 1


def test_what_was_kept_is_there_when_it_is_started_again(own_server):
    with signed_in(own_server) as client:
        client.add_shop("kept", _smallest())
        token = client.token
    own_server.stop()
    own_server.start()
    with Client(own_server.address, token) as client:
        assert [shop.key for shop in client.shops()] == ["kept"]


def test_the_demo_is_served_at_its_own_start(new_database, tmp_path):
    server = Server(tmp_path, new_database("sqlite", tmp_path), clock_ahead_seconds=0)
    server.start("--demo")
    try:
        with signed_in(server) as client:
            quote = client.shop("foil-bench").quotes.make("stabiliser", 4, process="printed")
            assert quote.value.made_at.year == 2027
    finally:
        server.stop()


def test_a_server_whose_port_is_taken_says_what_to_do(tmp_path):
    late = Server(tmp_path, f"sqlite:///{tmp_path / 'late.db'}")
    with socket.create_server(("127.0.0.1", late.port)):
        late.launch()
        wait_until(lambda: not late.runs, 300.0)
    assert late.stop() == 1
    assert f"port {late.port} cannot be listened on" in late.said
    assert "--port" in late.said
    assert "Traceback" not in late.said


@pytest.mark.parametrize(("trusted", "second"), [("127.0.0.1", 401), ("192.0.2.1", 429)])
def test_only_a_named_server_may_say_for_whom_it_asks(tmp_path, trusted, second):
    url = f"sqlite:///{tmp_path / 'behind.db'}"
    behind = Server(tmp_path, url, wrong_tries=1, trusted_proxies=trusted)
    behind.start()
    try:
        # Two readers, as the server before it tells; addresses of RFC 5737.
        assert wrong_codes(behind, "198.51.100.1", "198.51.100.2") == [401, second]
        page = httpx.post(
            f"{behind.address}/theme",
            data={"theme": "dark", "back": "/"},
            headers={"X-Forwarded-Proto": "https"},
        )
        assert ("secure" in page.headers["set-cookie"].lower()) == (second == 401)
    finally:
        behind.stop()


def test_what_a_reader_writes_before_the_named_server_is_not_believed(tmp_path):
    # A proxy appends whom it heard; what stands before that is whatever its reader sent.
    behind = Server(tmp_path, f"sqlite:///{tmp_path / 'chain.db'}", wrong_tries=1)
    behind.start()
    try:
        chains = ("198.51.100.7", "203.0.113.9, 198.51.100.7", "127.0.0.1, 198.51.100.7")
        assert wrong_codes(behind, *chains) == [401, 429, 429]
    finally:
        behind.stop()


def wrong_codes(server: Server, *asked_for: str) -> list[int]:
    """Return the status of a wrong code sent for each, as a server before this one would."""
    return [
        httpx.post(
            f"{server.address}/v1/sign-in",
            json={"code": "wrong"},
            headers={"X-Forwarded-For": each},
        ).status_code
        for each in asked_for
    ]


def _smallest() -> str:
    return (
        'format = 1\n[shop]\nname = "Kept"\ncurrency = "EUR"\ntime_zone = "Europe/Lisbon"\n'
        '[shop.hours]\nmon = ["08:30-17:30"]\n'
    )
