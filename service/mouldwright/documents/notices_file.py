"""What waits for someone today as a feed that readers of news read (Atom, RFC 4287)."""

from __future__ import annotations

import uuid
from datetime import UTC, datetime
from xml.etree import ElementTree as ET

from mouldwright.domain.hours.opening import local
from mouldwright.domain.shop import Shop
from mouldwright.usecases.day_sheet import bounds_of
from mouldwright.usecases.notice import Notice
from mouldwright.usecases.today import Today

MEDIA_TYPE = "application/atom+xml"
_ATOM = "http://www.w3.org/2005/Atom"


def notices_file(key: str, shop: Shop, found: Today, address: str) -> bytes:
    """Return the notices of a day as a feed, the most pressing first.

    One that says the same on the same day is the same entry; said anew the next day, or in
    other words, it is a new one.

    Args:
        key: Of the shop.
        shop: Its name and zone.
        found: Its today.
        address: Where the service is reached.
    """
    ET.register_namespace("", _ATOM)
    here, told = f"{address}/shops/{key}/today", _told_at(found)
    feed = ET.Element(f"{{{_ATOM}}}feed")
    _add(feed, "id", _name(key))
    _add(feed, "title", f"{shop.name}: what waits for someone")
    _add(feed, "updated", told)
    _add(ET.SubElement(feed, f"{{{_ATOM}}}author"), "name", shop.name)
    _link(feed, here)
    for notice in found.notices:
        entry = ET.SubElement(feed, f"{{{_ATOM}}}entry")
        _add(entry, "id", _name(key, found.day.isoformat(), notice.kind, notice.key, notice.text))
        _add(entry, "title", notice.text)
        _add(entry, "updated", told)
        _add(entry, "content", _content(notice, shop.zone))
        term = "pressing" if notice.presses else "waiting"
        ET.SubElement(entry, f"{{{_ATOM}}}category", {"term": term})
        _link(entry, here)
    return bytes(ET.tostring(feed, encoding="utf-8", xml_declaration=True))


def _told_at(found: Today) -> str:
    """Return since when this is told: the day's beginning, or the plan's later publication."""
    begins = local(bounds_of(found.day, found.zone)[0], found.zone)
    at = begins if found.made_at is None else max(begins, found.made_at)
    return min(at, local(found.now, found.zone)).astimezone(UTC).isoformat(timespec="seconds")


def _content(notice: Notice, zone: str) -> str:
    if notice.at is None:
        return notice.text
    at: datetime = local(notice.at, zone)
    return f"{notice.text} By {at:%a} {at.day} {at:%b}, {at:%H:%M}."


def _name(*what: str) -> str:
    return uuid.uuid5(uuid.NAMESPACE_URL, "\x1f".join(("mouldwright", *what))).urn


def _add(above: ET.Element, name: str, words: str) -> None:
    ET.SubElement(above, f"{{{_ATOM}}}{name}").text = _clean(words)


def _link(above: ET.Element, address: str) -> None:
    ET.SubElement(above, f"{{{_ATOM}}}link", {"rel": "alternate", "href": address})


def _clean(words: str) -> str:
    """Return words without the characters that no XML may hold (XML 1.0, 2.2)."""
    return "".join(each for each in words if _is_character(each))


def _is_character(each: str) -> bool:
    return (
        each in "\t\n" or " " <= each < "\ud800" or "\ue000" <= each < "\ufffe" or each > "\uffff"
    )
