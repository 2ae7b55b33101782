"""Every form of every page, sent with what nobody means: refused in words, and nothing half kept.

The forms are those that the pages of a bench with everything in it show, with the values they show.
"""

from __future__ import annotations

import io
import sqlite3
import zipfile
from itertools import count
from zlib import crc32

import pytest
from forms_shown import Form, read_page
from service_bench import SHOP
from walked_routes import FIRST, ROUTES, a_section, opened, route_of
from whole_bench import Browser, whole_bench

# Forms that a page draws by script, or only while something is at a certain point; as they are.
NOT_SHOWN = {
    "/shops/{shop}/try": ["part", "process", "quantity", "by", "customer", "once"],
    "/shops/{shop}/undo": ["version"],
    "/shops/{shop}/versions/put-back": ["version", "read"],
    "/shops/{shop}/edit/{section}/{key}/text": ["version", "text"],
    "/shops/{shop}/quotes/{number}/decline": ["etag", "revision", "once"],
    "/shops/{shop}/quotes/{number}/links/{link}/withdraw": ["once"],
    "/shops/{shop}/orders/{number}/moulds": ["once", "most"],
    "/shops/{shop}/more/{run}/stop": ["once"],
    "/shops/{shop}/board/runs/{run}/publish": ["once"],
    "/shops/{shop}/board/{version}/tasks/{key}/try": ["start", "people", "once"],
    "/shops/{shop}/board/{version}/tasks/{key}/pin": ["start", "people", "binds", "once"],
    "/shops/{shop}/board/pins/{pin_id}/remove": ["once"],
    "/shops/{shop}/day/tick": ["task", "verb", "at", "once", "version"],
    "/shops/{shop}/day/untick": ["number", "once"],
    "/shops/{shop}/log/{number}/take-back": ["once", "note"],
    "/shops/{shop}/learnt/taken": ["key", "value", "version", "once"],
    "/shops/{shop}/learnt/declined": ["key", "value", "once"],
    "/shops/{shop}/learnt/again": ["key", "once"],
    "/shops/{shop}/access/tokens/{token}/renew": ["hours", "once"],
    "/shops/{shop}/access/tokens/{token}/withdraw": ["once"],
    "/shops/{shop}/feeds/{feed}/withdraw": ["once"],
}
HOSTILE = [
    "",
    " ",
    "\x00",
    "a\x00b",
    "NaN",
    "-Infinity",
    "1e400",
    "-1",
    "9" * 400,
    "0x1F",
    "\u0663\uff15",
    "\u202emirrored\u202c\u2066",
    "\ufeff\u200b",
    "\U0001d6d1\U0001f9ea" * 40,
    "e\u0301\u0323" * 200,
    "\r\n\r\nSet-Cookie: a=b",
    "x" * 200_000,
    "[" * 20_000,
    '{"a":' * 2_000,
    "'; DROP TABLE shop; --",
    "../../../etc/passwd",
    "2027-02-30",
    "0000-00-00T00:00",
    "9999-12-31T23:59",
    "\ud800".encode("utf-8", "surrogatepass").decode("latin-1"),
    "<script>alert(1)</script>",
]
SENT = count(1)


@pytest.fixture(scope="module")
def whole(tmp_path_factory):
    bench, offer = whole_bench(tmp_path_factory.mktemp("forms"))
    browser = Browser(bench, bench.secret("keeper"))
    yield browser, offer
    bench.opened.close()


@pytest.fixture(scope="module")
def shown(whole) -> dict[str, Form]:
    """One form of each kind that a page shows, by its path."""
    browser, offer = whole
    found: dict[str, Form] = {}
    for path, answer in opened(browser, ["/?all=1", offer, "/sign-in", *FIRST]):
        if answer.status_code == 200 and "html" in answer.headers["content-type"]:
            for form in read_page(answer.text, path).forms:
                to = route_of(form.action, "POST")
                assert to is not None, (path, form.action)
                found.setdefault(f"{to.path} {a_section(form.action)}".strip(), form)
    for path, fields in NOT_SHOWN.items():
        if not any(kind.split()[0] == path for kind in found):
            filled = path.replace("{shop}", SHOP).replace("{section}", "parts")
            for name in ("number", "version"):
                filled = filled.replace(f"{{{name}}}", "1")
            action = "/".join("stabiliser" if p.startswith("{") else p for p in filled.split("/"))
            found[path] = Form(action, [(name, "1") for name in fields])
    return found


def test_every_form_is_among_them(shown):
    asked = {kind.split()[0] for kind in shown}
    posted = {route.path for route in ROUTES if "POST" in route.methods}
    assert posted - asked == set()


class Kept:
    """Whether anything was written since it was last looked at, by SQLite's own count."""

    def __init__(self, url: str) -> None:
        self._connection = sqlite3.connect(url.removeprefix("sqlite:///"))
        self.changed()

    def changed(self) -> bool:
        (now,) = self._connection.execute("PRAGMA data_version").fetchone()
        changed = now != getattr(self, "_before", None)
        self._before = now
        return changed


@pytest.fixture(scope="module")
def kept(whole):
    return Kept(whole[0].bench.url)


def hold(answer, kept, about) -> None:
    """What was refused is refused in words, and nothing of it is kept."""
    changed = kept.changed()
    assert answer.status_code < 500, (about, answer.status_code, answer.text[-600:])
    if answer.status_code >= 400:
        assert not changed, (about, answer.status_code)
        assert len(answer.text) > 40, about
    if "html" in answer.headers.get("content-type", ""):
        page = read_page(answer.text, "/")
        assert page.armed == [], about


def some(values: list, many: int, about: str) -> list:
    """Return so many of the values, others for each thing, the same ones every time."""
    first = crc32(about.encode())
    return [values[(first + 7 * n) % len(values)] for n in range(many)]


def test_no_field_of_any_form_takes_what_it_cannot_mean(whole, shown, kept):
    browser, _ = whole
    for kind, form in shown.items():
        kept.changed()
        names = list(dict.fromkeys(name for name, _ in form.fields))
        # A long form has many fields of one kind: some of them, others in each form.
        for name in some(names, min(len(names), 12), kind) if names else ():
            for value in some(HOSTILE, 3, f"{kind} {name}"):
                fields = [(n, value if n == name else v) for n, v in form.fields]
                # A key of its own: what was answered once is not answered anew.
                fields = [
                    (n, f"once-{next(SENT)}" if n == "once" != name else v) for n, v in fields
                ]
                hold(browser.post(form.action, fields), kept, (kind, name, value[:40]))


def test_no_form_minds_a_field_that_lacks_comes_twice_or_is_a_file(whole, shown, kept):
    browser, _ = whole
    for kind, form in shown.items():
        kept.changed()
        hold(browser.post(form.action, []), kept, (kind, "nothing"))
        names = list(dict.fromkeys(name for name, _ in form.fields))
        for name in some(names, min(len(names), 4), kind) if names else ():
            rest = [(n, v) for n, v in form.fields if n != name]
            hold(browser.post(form.action, rest), kept, (kind, name, "lacks"))
            twice = [*form.fields, (name, "\u202e"), (name, "9")]
            hold(browser.post(form.action, twice), kept, (kind, name, "twice"))
            file = {name: (f"../{name}\x00.svg", b"\xff\xfe\x00", "text/html")}
            hold(browser.post(form.action, rest, files=file), kept, (kind, name, "a file"))
        unknown = [*form.fields, *((f"x{n}", "y") for n in range(9_000))]
        hold(browser.post(form.action, unknown), kept, (kind, "thousands"))


def packed() -> bytes:
    """Return a hundred million zeros, packed."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr("shop.toml", b"0" * 100_000_000)
    return made.getvalue()


FILES = {
    "nothing": b"",
    "NUL": b"\x00" * 1_000,
    "no UTF-8": b"name = '\xff\xfe'",
    "a surrogate": b"name = '\xed\xa0\x80'",
    "packed": packed(),
    "entities": b'<?xml version="1.0"?><!DOCTYPE s [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]>'
    b'<svg xmlns="http://www.w3.org/2000/svg"><text>&b;</text></svg>',
    "a file of the machine": b'<?xml version="1.0"?><!DOCTYPE s [<!ENTITY x SYSTEM '
    b'"file:///etc/passwd">]><svg xmlns="http://www.w3.org/2000/svg"><text>&x;</text></svg>',
    "a script": b'<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"><script>alert(1)'
    b"</script></svg>",
    "deep": b"a = " + b"[" * 5_000 + b"]" * 5_000,
    "dotted": b".".join([b"a"] * 50_000) + b" = 1",
    "a path": b'format = 1\nmark = "../../../../etc/passwd"\n',
}


def test_no_upload_is_unpacked_followed_or_run(whole, shown, kept):
    browser, _ = whole
    taking = {kind: form for kind, form in shown.items() if form.files}
    assert len(taking) >= 3
    for kind, form in taking.items():
        for what, content in FILES.items():
            for name in form.files:
                kept.changed()
                file = {name: ("../../shop.toml", content, "application/zip")}
                answer = browser.post(form.action, form.fields, files=file)
                hold(answer, kept, (kind, what))
                assert answer.status_code >= 400, (kind, what)
                assert "root:" not in answer.text


BROKEN = {
    "no boundary": ("multipart/form-data", b"--x\r\n"),
    "an empty boundary": ("multipart/form-data; boundary=", b"--\r\n"),
    "a boundary of another": ("multipart/form-data; boundary=x", b"--y\r\nno"),
    "cut off": (
        "multipart/form-data; boundary=x",
        b'--x\r\nContent-Disposition: form-data; name="a',
    ),
    "no name": ("multipart/form-data; boundary=x", b"--x\r\nA: b\r\n\r\nv\r\n--x--\r\n"),
    "endless headers": (
        "multipart/form-data; boundary=x",
        b"--x\r\n" + b"A: b\r\n" * 20_000 + b"\r\nv\r\n--x--\r\n",
    ),
    "another charset": (
        "multipart/form-data; boundary=x; charset=no-such",
        b'--x\r\nContent-Disposition: form-data; name="a"\r\n\r\nv\r\n--x--\r\n',
    ),
    "half characters": ("application/x-www-form-urlencoded", b"name=%ED%A0%80&key=%FF%00"),
    "JSON": ("application/json", b'{"name": 1}'),
    "no type": ("", b"\x00\xff"),
}


@pytest.mark.parametrize("broken", BROKEN)
def test_no_form_is_brought_down_by_how_it_is_packed(whole, shown, kept, broken):
    browser, _ = whole
    kind_said, content = BROKEN[broken]
    for kind, form in shown.items():
        kept.changed()
        headers = {"Content-Type": kind_said} if kind_said else {}
        answer = browser.client.post(form.action, content=content, headers=headers)
        hold(answer, kept, (kind, broken))
