"""Attempts to get at another shop and at what a link does not show, byte for byte as sent.

No client stands between: it would put paths and headers in order before they go out.
"""

from __future__ import annotations

import re
import socket
from dataclasses import dataclass

import httpx
import pytest

from mouldwright.client import Client, Shop

# Names that stand nowhere but in what nobody here may see.
HIDDEN, SHOWN = "Unseen Sound club", "A club"


@dataclass(frozen=True)
class Raw:
    """An answer as it came over the line."""

    status: int
    head: str
    body: str

    def header(self, name: str) -> list[str]:
        return re.findall(rf"(?im)^{name}: *(.*?)\r?$", self.head)


@dataclass(frozen=True)
class Scene:
    """Two shops, each with a quote; who asks is the owner of the first alone."""

    port: int
    host: str
    mine: Shop
    theirs: Shop
    secret: str
    offer: str

    def ask(self, line: str, *headers: str, body: str = "", signed_in: bool = True) -> Raw:
        """Send a request line and headers as they are, and read the answer to its end."""
        sent = [f"{line} HTTP/1.1", "Connection: close", *headers]
        if not any(header.lower().startswith("host:") for header in headers):
            sent.append(f"Host: {self.host}")
        if signed_in:
            sent.append(f"Authorization: Bearer {self.secret}")
        if body:
            sent += [f"Content-Length: {len(body)}"]
            if not any(header.lower().startswith("content-type:") for header in headers):
                sent.append("Content-Type: application/x-www-form-urlencoded")
        whole = "\r\n".join(sent) + "\r\n\r\n" + body
        with socket.create_connection(("127.0.0.1", self.port), timeout=60) as line_out:
            line_out.sendall(whole.encode("latin-1"))
            came = b""
            while piece := line_out.recv(65_536):
                came += piece
        head, _, rest = came.decode("latin-1").partition("\r\n\r\n")
        return Raw(int(head.split(" ", 2)[1]), head, rest)


@pytest.fixture(scope="module")
def scene(server, keeper: Client, new_shop_key, demo) -> Scene:
    mine, theirs = (keeper.add_shop(new_shop_key(), demo) for _ in range(2))
    offered = mine.quotes.make("stabiliser", 2, process="printed", customer=SHOWN)
    mine.quotes.send(offered)
    for shop in (mine, theirs):
        shop.quotes.send(shop.quotes.make("stabiliser", 3, process="printed", customer=HIDDEN))
    issued = mine.tokens.issue("owner", "who breaks in")
    made = mine.quotes.share(offered.value.number)
    assert issued.secret
    assert made.path
    host = f"127.0.0.1:{server.port}"
    return Scene(server.port, host, mine, theirs, issued.secret, made.path)


PATHS = (
    "/v1/shops/{theirs}/quotes",
    "/v1/shops/{mine}/../{theirs}/quotes",
    "/v1/shops/{mine}/%2e%2e/{theirs}/quotes",
    "/v1/shops/{mine}%2f..%2f{theirs}/quotes",
    "/v1/shops/{mine}/..%5c{theirs}/quotes",
    "/v1/shops/{mine};/../{theirs}/quotes",
    "/v1/shops/./{theirs}/quotes",
    "//v1/shops/{theirs}/quotes",
    "/v1//shops/{theirs}/quotes",
    "/v1/shops/{theirs}/quotes/",
    "/v1/shops/{theirs}%00/quotes",
    "/v1/shops/{theirs}%20/quotes",
    "/v1/shops/{mine}/quotes?shop={theirs}",
    "/v1/shops/%2a/quotes",
    "/v1/shops/*/quotes",
    "/V1/SHOPS/{theirs}/quotes",
    "http://{host}/v1/shops/{theirs}/quotes",
    "/shops/{theirs}/quotes",
    "/shops/{mine}/../{theirs}/quotes",
    "/shops/{mine}/%2e%2e/{theirs}/quotes",
    "/static/x/..%2f..%2f..%2f..%2fetc%2fpasswd",
    "/static/../../../../etc/passwd",
)


@pytest.mark.parametrize("path", PATHS)
def test_no_way_of_writing_a_path_leads_to_another_shop(scene, path):
    target = path.format(mine=scene.mine.key, theirs=scene.theirs.key, host=scene.host)
    for how in ([], [f"Cookie: mouldwright_session={scene.secret}"]):
        came = scene.ask(f"GET {target}", *how, signed_in=not how)
        if path == "/v1/shops/{mine}/quotes?shop={theirs}":
            # One's own list, whatever else is said.
            assert came.status == 200
            assert came.body.count(HIDDEN) == 1
            continue
        assert came.status in {303, 400, 401, 404, 405}, came.head
        assert HIDDEN not in came.body
        assert "root:" not in came.body


SHOWS = (
    ("Authorization: bearer {secret}", 200),
    ("Authorization: Basic {secret}", 401),
    ("Authorization: {secret}", 401),
    ("X-Api-Key: {secret}", 401),
    ("Cookie: mouldwright_session={offer}", 401),
    ("Authorization: Bearer {offer}", 401),
)


@pytest.mark.parametrize(("header", "status"), SHOWS)
def test_a_token_is_believed_where_it_belongs_and_a_links_secret_nowhere(scene, header, status):
    said = header.format(secret=scene.secret, offer=scene.offer.rpartition("/")[2])
    assert scene.ask("GET /v1/me", said, signed_in=False).status == status
    for name in ("token", "access_token", "code"):
        asked = scene.ask(f"GET /v1/me?{name}={scene.secret}", signed_in=False)
        assert asked.status == 401


@pytest.mark.parametrize(
    "override", ["X-HTTP-Method-Override", "X-HTTP-Method", "X-Method-Override", "_method"]
)
def test_a_method_is_what_the_request_says_and_no_header_changes_it(scene, override):
    path = f"/v1/shops/{scene.mine.key}/tokens"
    before = len(scene.mine.tokens.list())
    scene.ask(f"GET {path}?_method=POST", f"{override}: POST")
    for token in scene.mine.tokens.list():
        scene.ask(f"GET {path}/{token.id}", f"{override}: DELETE")
    tokens = scene.mine.tokens.list()
    assert len(tokens) == before
    assert all(token.revoked_at is None for token in tokens)


BESIDE = (
    "", "?quote=2", "?number=2&revision=1", "/2", "/../2", ".json", ".pdf", "/json", "/csv",
    "/quotes", "/2/pdf", "/pdf?quote=2", "/pdf/../../2", "/stage", "/%2e%2e/shops", "/mark.svg",
    "%00", "/pdf?language=..%2f..%2fetc%2fpasswd", "/pdf?paper=..%2fx",
)  # fmt: skip


@pytest.mark.parametrize("beside", BESIDE)
def test_a_customers_link_shows_its_one_quote_and_nothing_beside_it(scene, beside):
    came = scene.ask(f"GET {scene.offer}{beside}", signed_in=False)
    assert came.status in {200, 303, 404, 422}, came.head
    assert HIDDEN not in came.body
    assert scene.theirs.key not in came.body
    for caching in came.header("cache-control"):
        assert caching in {"no-store", "private, no-cache"}


@pytest.mark.parametrize("verb", ["PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "PROPFIND"])
def test_a_customers_link_is_read_and_answered_and_takes_no_other_verb(scene, verb):
    came = scene.ask(f"{verb} {scene.offer}", signed_in=False)
    assert came.status in {404, 405}
    assert HIDDEN not in came.body


def test_a_customer_answers_the_one_quote_whatever_the_form_names(scene):
    form = "answer=accepted&revision=1&sure=yes&number=2&quote=2&shop=" + scene.theirs.key
    link = scene.mine.quotes.share(2, may_answer=False)
    assert link.path
    # By a link to look at nothing is answered; by the other its own quote alone.
    scene.ask(f"POST {link.path}", body=form, signed_in=False)
    assert scene.mine.quotes.read(2).value.state == "sent"
    scene.ask(f"POST {scene.offer}", body=form.replace("accepted", "declined"), signed_in=False)
    assert scene.mine.quotes.read(2).value.state == "sent"
    assert scene.theirs.quotes.read(1).value.state == "sent"


BACKS = (
    "//evil.example", "/\\evil.example", "\\\\evil.example", "https://evil.example",
    "https:evil.example", "javascript:alert(1)", "/%09/evil.example", "%09//evil.example",
    "/%0d%0aSet-Cookie:%20x=1", "%0d%0aLocation:%20https://evil.example", "/%0a//evil.example",
    "%2f%2fevil.example", " //evil.example", "///evil.example", "/./%5cevil.example",
)  # fmt: skip


@pytest.mark.parametrize("back", BACKS)
def test_nobody_is_sent_to_another_site_and_no_header_is_slipped_in(scene, back):
    came = scene.ask(
        "POST /theme",
        f"Origin: http://{scene.host}",
        body=f"theme=dark&back={back.replace(' ', '%20')}",
        signed_in=False,
    )
    (to,) = came.header("location")
    assert came.status == 303
    assert re.fullmatch(r"/(?![/\\])[^\\\s]*", to), to
    # As a browser reads it: blanks and line ends within are left out before it looks.
    assert httpx.URL(f"http://{scene.host}/").join(re.sub(r"[\t\r\n]", "", to)).host == "127.0.0.1"
    assert [cookie.partition("=")[0] for cookie in came.header("set-cookie")] == [
        "mouldwright_theme"
    ]


@pytest.mark.parametrize(
    "hosts",
    [
        ("Host: evil.example",),
        ("Host: {host}", "Host: evil.example"),
        ("Host: evil.example", "Host: {host}"),
        ("Host: {host}@evil.example",),
        ("Host: {host}.evil.example",),
        ("Host: ",),
    ],
)
def test_it_answers_to_no_name_but_its_own(scene, hosts):
    came = scene.ask("GET /v1/me", *(each.format(host=scene.host) for each in hosts))
    assert came.status in {400, 421}


def test_a_name_that_a_server_before_it_is_said_to_have_had_is_not_taken_over(scene):
    """A sign-in link goes to whoever it was made for: its address comes from no such header."""
    came = scene.ask("GET /sign-in?code=x", "X-Forwarded-Host: evil.example", signed_in=False)
    assert came.status == 200
    assert "evil.example" not in came.body + came.head


def test_a_body_with_two_lengths_is_not_read(scene):
    came = scene.ask(
        "POST /v1/sign-in", "Transfer-Encoding: chunked", "Content-Type: application/json",
        body="0\r\n\r\nGET /v1/me HTTP/1.1\r\n\r\n", signed_in=False,
    )  # fmt: skip
    assert came.status in {400, 401, 422}
    assert came.head.count("HTTP/1.1") == 1
    assert "HTTP/1.1 200" not in came.body


@pytest.mark.parametrize("path", ["/v1/shops/{mine}/quotes", "/v1/me", "/shops/{mine}/quotes"])
def test_what_is_private_goes_into_no_shared_cache(scene, path):
    cookie = f"Cookie: mouldwright_session={scene.secret}"
    came = scene.ask(f"GET {path.format(mine=scene.mine.key)}", cookie, signed_in=False)
    assert came.status == 200
    assert came.header("cache-control") == ["private, no-cache"]


def test_what_shows_a_secret_once_is_kept_nowhere(scene):
    body = '{"role": "viewer", "label": "door"}'
    came = scene.ask(
        f"POST /v1/shops/{scene.mine.key}/tokens", "Content-Type: application/json",
        "Idempotency-Key: a-key-of-its-own", body=body,
    )  # fmt: skip
    assert came.status == 201
    assert came.header("cache-control") == ["no-store"]
