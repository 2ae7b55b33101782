"""A shop's mark: what may be one, and what is refused because it could do more than be seen."""

from __future__ import annotations

import base64
import struct
import zlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.domain.mark import NoMark, checked_mark, mark_of

OPEN = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20">'
FOIL = f'{OPEN}<path d="M0 10 Q20 0 40 10 Q20 14 0 10" fill="#123"/></svg>'


def png(across: int = 4, down: int = 2) -> bytes:
    """A PNG by its specification (ISO/IEC 15948): signature, header, one pale picture, end."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        check = struct.pack(">I", zlib.crc32(kind + body))
        return struct.pack(">I", len(body)) + kind + body + check

    header = struct.pack(">IIBBBBB", across, down, 8, 0, 0, 0, 0)
    rows = b"".join(b"\0" + b"\xcc" * across for _ in range(min(down, 8)))
    picture = zlib.compress(rows)
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        chunk(kind, body) for kind, body in ((b"IHDR", header), (b"IDAT", picture), (b"IEND", b""))
    )


def test_a_plain_drawing_is_kept_as_it_is() -> None:
    assert checked_mark(FOIL) == FOIL
    assert mark_of(b'<?xml version="1.0"?>\n' + FOIL.encode()) == FOIL


def test_a_picture_is_kept_within_a_drawing_of_its_size() -> None:
    mark = mark_of(png(40, 8))
    assert 'viewBox="0 0 40 8"' in mark
    assert base64.b64encode(png(40, 8)).decode() in mark
    assert checked_mark(mark) == mark


@pytest.mark.parametrize(
    "inside",
    [
        "<script>1</script>",
        '<rect onload="1"/>',
        "<style>*{fill:red}</style>",
        '<rect style="fill:red"/>',
        '<image href="https://example.org/a.png"/>',
        '<image href="data:image/svg+xml;base64,PHN2Zy8+"/>',
        '<image href="data:image/png;base64,AAAA"/>',
        '<use href="other.svg#a"/>',
        '<rect fill="url(https://example.org/a)"/>',
        "<rect fill=\"URL( 'https://example.org/a')\"/>",
        "<foreignObject/>",
        '<a href="#x"/>',
        '<animate attributeName="x"/>',
        '<set attributeName="href" to="javascript:1"/>',
        '<rect xmlns:x="urn:x" x:y="1"/>',
        '<x:script xmlns:x="http://www.w3.org/1999/xhtml"/>',
    ],
)
def test_what_runs_or_leads_outside_is_refused(inside: str) -> None:
    with pytest.raises(NoMark):
        checked_mark(f"{OPEN}{inside}</svg>")


def test_links_within_the_drawing_stay() -> None:
    inside = (
        '<defs><linearGradient id="g"><stop offset="0"/></linearGradient></defs>'
        '<rect id="r" fill="url(#g)" width="1" height="1"/><use href="#r"/>'
    )
    assert checked_mark(f"{OPEN}{inside}</svg>")


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("<!DOCTYPE svg [<!ENTITY a 'b'>]>" + FOIL, "entities"),
        ("no drawing", "no SVG"),
        ('<html xmlns="http://www.w3.org/1999/xhtml"/>', "no SVG drawing"),
        ('<svg xmlns="http://www.w3.org/2000/svg"/>', "no size"),
        (FOIL.replace("M0 10", "M0 10" + " L1 1" * 13_000), "characters"),
    ],
)
def test_what_is_no_mark_says_why(text: str, problem: str) -> None:
    with pytest.raises(NoMark, match=problem):
        checked_mark(text)


@pytest.mark.parametrize("file", [png(4, 2)[:-3], png(9_000, 2), b"\x89PNG\r\n\x1a\n", b"\xff\xfe"])
def test_a_broken_or_huge_picture_is_refused(file: bytes) -> None:
    with pytest.raises(NoMark):
        mark_of(file)


@given(st.binary(max_size=200))
def test_any_file_is_a_mark_or_refused(file: bytes) -> None:
    for read in (file, b"\x89PNG\r\n\x1a\n" + file, OPEN.encode() + file + b"</svg>"):
        try:
            mark = mark_of(read)
        except NoMark:
            continue
        assert checked_mark(mark) == mark
