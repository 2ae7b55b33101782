"""A shop's mark: what may be one, and what is refused because it could do more than be seen."""

from __future__ import annotations

import base64
import gzip
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


OLD = 'xmlns:x="http://www.w3.org/1999/xlink" x:href'


def laughs(tag: str, refer: str) -> str:
    """Ten definitions that each show the one before ten times over: 10^10 at the last."""
    lines = "".join(
        f'<{tag} id="a{n + 1}">' + refer.format(n) * 10 + f"</{tag}>" for n in range(10)
    )
    return f'{OPEN}<defs><path id="a0" d="M0 0"/>{lines}</defs><use href="#a10"/></svg>'


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        (FOIL.replace("<path", "<g>" * 8_000 + "<path").replace("/></svg>", "/>"), "no SVG"),
        (f"{OPEN}{'<g>' * 8_000}{'</g>' * 8_000}</svg>", "64 deep"),
        (laughs("g", '<use href="#a{}"/>'), "20,000 elements"),
        (laughs("mask", '<path d="M0 0" mask="url(#a{})"/>'), "20,000 elements"),
        (laughs("clipPath", '<path d="M0 0" clip-path="url(#a{})"/>'), "20,000 elements"),
        (f'{OPEN}<g id="a"><use href="#a"/></g></svg>', "64 deep"),
        (f'{OPEN}<g id="a"><use href="#b"/></g><g id="b"><use {OLD}="#a"/></g></svg>', "64 deep"),
        (
            '<!DOCTYPE svg [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;">]>'
            + FOIL.replace("<path", "<title>&b;</title><path"),
            "entities",
        ),
        (f'<!DOCTYPE svg SYSTEM "file:///etc/hostname">{FOIL}', "entities"),
        (FOIL.replace("<path", "<![CDATA[<script/>]]><path"), "entities"),
        (FOIL.replace("<path", "<title>&b;</title><path"), "no SVG"),
        (f'<?xml-stylesheet href="a.css" title=">"?>{FOIL}', "instructions"),
        (f'<?xml version="1.0"?><?xml-stylesheet href="a.css"?>{FOIL}', "instructions"),
        (FOIL.replace("<path", "<?php 1 ?><path"), "instructions"),
    ],
    ids=lambda text: text[:20] if len(text) < 30 else f"{len(text)} characters",
)
def test_a_drawing_made_to_harm_its_reader_is_refused(text: str, problem: str) -> None:
    with pytest.raises(NoMark, match=problem):
        mark_of(text.encode())


@pytest.mark.parametrize(
    "file",
    [
        FOIL.encode("utf-16"),
        FOIL.encode("utf-16-le"),
        FOIL.encode("utf-32"),
        b'<?xml version="1.0" encoding="utf-16"?>' + FOIL.encode("utf-16-be"),
        gzip.compress(FOIL.encode()),
        b"PK\x03\x04\x14\x00\x00\x00" + FOIL.encode(),
        zlib.compress(b"\0" * 1_000_000),
        FOIL.replace("M0", "M\0 0").encode(),
        FOIL.replace("M0", "\ud83d").encode("utf-8", "surrogatepass"),
    ],
    ids=["UTF-16", "UTF-16 LE", "UTF-32", "said UTF-16", "gzip", "zip", "zlib", "NUL", "half"],
)
def test_a_file_that_is_packed_or_in_another_encoding_is_refused(file: bytes) -> None:
    with pytest.raises(NoMark):
        mark_of(file)


def test_an_ordinary_nesting_and_repeating_stays() -> None:
    inside = '<defs><g id="r"><path d="M0 0"/></g></defs>' + '<use href="#r"/>' * 200
    deep = "<g>" * 40 + '<path d="M0 0"/>' + "</g>" * 40
    assert checked_mark(f"{OPEN}{inside}{deep}</svg>")


@given(st.binary(max_size=200))
def test_any_file_is_a_mark_or_refused(file: bytes) -> None:
    for read in (file, b"\x89PNG\r\n\x1a\n" + file, OPEN.encode() + file + b"</svg>"):
        try:
            mark = mark_of(read)
        except NoMark:
            continue
        assert checked_mark(mark) == mark
