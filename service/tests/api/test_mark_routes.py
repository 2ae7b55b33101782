"""The shop's mark over HTTP: read, put, taken away, and refused as the form refuses it."""

from __future__ import annotations

import base64
import struct
import zlib

import pytest
from service_bench import SHOP, problem_of

HERE = f"/v1/shops/{SHOP}/mark"
FOIL = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20">'
    '<path d="M0 10 Q20 0 40 10 Q20 14 0 10" fill="#123"/></svg>'
)


def png(across: int = 1, down: int = 1) -> bytes:
    """Return a PNG of white points, put together by hand as ISO/IEC 15948 has it."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return (
            struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        )

    head = struct.pack(">IIBBBBB", across, down, 8, 0, 0, 0, 0)
    rows = zlib.compress((b"\0" + b"\xff" * across) * down)
    body = chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + body


def holding(client) -> dict[str, str]:
    return {"If-Match": client.get(HERE).headers["ETag"]}


def test_a_mark_is_put_read_and_taken_away_each_as_a_version_of_the_shop(served):
    owner = served.client("owner")
    first = owner.get(HERE)
    assert first.json()["svg"] is None
    put = owner.put(HERE, json={"svg": FOIL}, headers=holding(owner))
    assert put.status_code == 200
    assert put.json() == {"svg": FOIL, "version": first.json()["version"] + 1}
    assert put.headers["ETag"] == owner.get(HERE).headers["ETag"]
    assert owner.get(HERE).json() == put.json()
    unread = owner.get(HERE, headers={"If-None-Match": put.headers["ETag"]})
    assert unread.status_code == 304
    gone = owner.delete(HERE, headers=holding(owner))
    assert gone.status_code == 204
    assert owner.get(HERE).json() == {"svg": None, "version": first.json()["version"] + 2}
    assert owner.get(HERE, params={"version": put.json()["version"]}).json()["svg"] == FOIL


def test_the_same_mark_again_makes_no_new_version(served):
    owner = served.client("owner")
    put = owner.put(HERE, json={"svg": FOIL}, headers=holding(owner))
    again = owner.put(HERE, json={"svg": FOIL}, headers=holding(owner))
    assert again.json() == put.json()


def test_a_png_is_put_within_an_svg_of_its_size(served):
    owner = served.client("owner")
    held = base64.b64encode(png(3, 2)).decode()
    svg = owner.put(HERE, json={"png": held}, headers=holding(owner)).json()["svg"]
    assert 'viewBox="0 0 3 2"' in svg
    assert held in svg


@pytest.mark.parametrize(
    ("body", "pointer"),
    [
        ({"svg": FOIL.replace("<path", "<script/><path")}, "/svg"),
        ({"svg": FOIL.replace("<path", '<path onclick="x()"')}, "/svg"),
        ({"svg": FOIL.replace("<path", '<image href="https://x.example/p.png"/><path')}, "/svg"),
        ({"svg": "no drawing"}, "/svg"),
        ({"png": "not base64!"}, "/png"),
        ({"png": base64.b64encode(png()[:-6]).decode()}, "/png"),
    ],
)
def test_what_the_form_refuses_is_refused_and_pointed_at_and_nothing_is_kept(served, body, pointer):
    owner = served.client("owner")
    was = owner.get(HERE).json()
    problem = problem_of(owner.put(HERE, json=body, headers=holding(owner)), 422, "invalid")
    assert [each["pointer"] for each in problem["errors"]] == [f"#{pointer}"]
    assert owner.get(HERE).json() == was


def test_one_of_the_two_kinds_is_sent_over_what_was_read(served):
    owner = served.client("owner")
    both = {"svg": FOIL, "png": base64.b64encode(png()).decode()}
    assert owner.put(HERE, json=both, headers=holding(owner)).status_code == 422
    assert owner.put(HERE, json={}, headers=holding(owner)).status_code == 422
    assert owner.put(HERE, json={"svg": FOIL}).status_code == 428
    assert owner.put(HERE, json={"svg": FOIL}, headers={"If-Match": '"99"'}).status_code == 412
    assert owner.delete(HERE).status_code == 428
    assert owner.get(HERE).json()["svg"] is None
