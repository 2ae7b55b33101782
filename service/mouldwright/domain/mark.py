"""A shop's own mark: a drawing as SVG that can do nothing but be looked at, or a PNG within one.

What reaches outside, runs or hides is refused and named, never quietly taken out, so that the
mark looks on every document as it did when it was brought.
"""

from __future__ import annotations

import base64
import binascii
import re
import zlib
from collections.abc import Iterator
from xml.etree import ElementTree

LARGEST_CHARACTERS = 64_000
_LARGEST_PIXELS = 2_000
_SVG = "{http://www.w3.org/2000/svg}"
_XLINK = "{http://www.w3.org/1999/xlink}"
_PNG_DATA = "data:image/png;base64,"
_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_DRAWN = frozenset(
    (
        *("svg", "g", "defs", "symbol", "use", "title", "desc", "image", "clipPath", "mask"),
        *("path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "text", "tspan"),
        *("linearGradient", "radialGradient", "stop"),
    )
)
_DECLARATION = re.compile(r"\A\s*<\?xml\s[^>]*\?>")
_REFERENCE = re.compile(r"(?:url\(\s*[\"']?|\A)#([^\"')]+)", re.IGNORECASE)
_DEEPEST = 64
_MOST_DRAWN = 20_000
_LINK = re.compile(r"url\(\s*[\"']?(?!#)", re.IGNORECASE)


class NoMark(ValueError):
    """This cannot be a mark; says why, and what would be right."""

    def __init__(self, problem: str, remedy: str) -> None:
        """Keep both sentences."""
        self.problem, self.remedy = problem, remedy
        super().__init__(f"{problem} {remedy}")


def mark_of(file: bytes) -> str:
    """Return the mark that a file holds: an SVG as it is, a PNG within one.

    Raises:
        NoMark: if it is neither, too large, or does more than be looked at.
    """
    if file.startswith(_SIGNATURE):
        across, down = _png_size(file)
        held = base64.b64encode(file).decode("ascii")
        text = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {across} {down}">'
            f'<image width="{across}" height="{down}" href="{_PNG_DATA}{held}"/></svg>'
        )
    else:
        try:
            text = file.decode("utf-8-sig")
        except UnicodeDecodeError:
            raise NoMark(
                "this is neither an SVG nor a PNG file.", "Bring one of the two."
            ) from None
        text = " ".join(_DECLARATION.sub("", text).split())
    return checked_mark(text)


def checked_mark(text: str) -> str:
    """Return the text of a mark as it is, once it is sure that it is one.

    Raises:
        NoMark: if it is no SVG, too large, or does more than be looked at.
    """
    if len(text) > LARGEST_CHARACTERS:
        raise NoMark(
            f"the mark takes {len(text):,} characters.",
            f"Keep to {LARGEST_CHARACTERS:,}: fewer points, or a smaller picture.",
        )
    if "\x00" in text:
        raise NoMark("it is written in another encoding.", "Save it as plain SVG in UTF-8.")
    if "<!" in text.replace("<!--", ""):
        raise NoMark("it declares a type or entities of its own.", "Save it as plain SVG.")
    if "<?" in text:
        raise NoMark("it holds instructions for a program.", "Save it as plain SVG.")
    try:
        root = ElementTree.fromstring(text)
    except ElementTree.ParseError as error:
        raise NoMark(f"it is no SVG: {error}.", "Save the drawing as plain SVG.") from None
    if root.tag != f"{_SVG}svg":
        raise NoMark("it is no SVG drawing.", "Save the drawing as plain SVG.")
    if not root.get("viewBox") and not (root.get("width") and root.get("height")):
        raise NoMark("it says no size.", 'Give it a viewBox, such as "0 0 120 40".')
    for problem in _faults(root):
        raise NoMark(problem, "Save it as plain SVG, its lettering as paths.")
    _Drawn(root).count(root, 0)
    return text


class _Drawn:
    """Counts what a drawing comes to once everything it refers to is drawn where it says so.

    Ten lines that each show the line before ten times over come to ten thousand million elements.
    """

    def __init__(self, root: ElementTree.Element) -> None:
        self._named = {name: element for element in root.iter() if (name := element.get("id"))}
        self._counted: dict[ElementTree.Element, int] = {}

    def count(self, element: ElementTree.Element, depth: int) -> int:
        """Return the elements that one comes to. Raises NoMark if they are too many or too deep."""
        if depth > _DEEPEST:
            raise NoMark(
                f"its elements stand in or refer to each other more than {_DEEPEST} deep.",
                "Ungroup it, and save it as plain SVG.",
            )
        if element not in self._counted:
            shown = [
                self._named[name]
                for value in element.attrib.values()
                for name in _REFERENCE.findall(value)
                if name in self._named
            ]
            total = 1 + sum(self.count(below, depth + 1) for below in (*element, *shown))
            if total > _MOST_DRAWN:
                raise NoMark(
                    f"it comes to more than {_MOST_DRAWN:,} elements, what it repeats included.",
                    "Simplify it.",
                )
            self._counted[element] = total
        return self._counted[element]


def _faults(root: ElementTree.Element) -> Iterator[str]:
    for element in root.iter():
        if not isinstance(element.tag, str):
            continue
        name = element.tag.removeprefix(_SVG)
        if name not in _DRAWN:
            yield f"<{name.rpartition('}')[2]}> has no place in a mark."
        for key, value in element.attrib.items():
            plain = key.removeprefix(_XLINK)
            if plain.lower().startswith("on") or plain == "style":
                yield f"{plain} on <{name}> has no place in a mark."
            elif plain == "href":
                yield from _link_faults(name, value)
            elif key.startswith("{") and "XML/1998" not in key:
                yield f"{key.rpartition('}')[2]} on <{name}> has no place in a mark."
            elif _LINK.search(value) or "javascript:" in value.lower():
                yield f"{plain} on <{name}> leads outside."


def _link_faults(name: str, value: str) -> Iterator[str]:
    if name == "image":
        if not value.startswith(_PNG_DATA):
            yield "an <image> leads outside or is no PNG."
            return
        try:
            _png_size(base64.b64decode(value.removeprefix(_PNG_DATA), validate=True))
        except (binascii.Error, NoMark):
            yield "an <image> is no whole PNG."
    elif not value.startswith("#"):
        yield f"href on <{name}> leads outside."


def _png_size(file: bytes) -> tuple[int, int]:
    """Return the size of a PNG in pixels, once every chunk of it is whole.

    Raises:
        NoMark: if it is broken or larger than is needed.
    """
    broken = NoMark("the PNG is broken.", "Save it anew.")
    at, size, ended = len(_SIGNATURE), (0, 0), False
    if not file.startswith(_SIGNATURE):
        raise broken
    while not ended:
        length = int.from_bytes(file[at : at + 4], "big")
        kind, body = file[at + 4 : at + 8], file[at + 8 : at + 8 + length]
        stated = file[at + 8 + length : at + 12 + length]
        if len(stated) < 4 or zlib.crc32(kind + body) != int.from_bytes(stated, "big"):
            raise broken
        if kind == b"IHDR":
            size = int.from_bytes(body[:4], "big"), int.from_bytes(body[4:8], "big")
        ended = kind == b"IEND"
        at += 12 + length
    if not all(0 < side <= _LARGEST_PIXELS for side in size):
        raise NoMark(
            f"the picture is {size[0]} x {size[1]} pixels.",
            f"Keep each side to {_LARGEST_PIXELS}.",
        )
    return size
