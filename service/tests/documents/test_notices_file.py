"""What waits for someone as a feed: what the standard asks of it, and when an entry is new."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from xml.etree import ElementTree as ET

from builders import at, hands, opening, order, process, shop
from promise_bench import DEMO

from mouldwright.documents.notices_file import notices_file
from mouldwright.usecases.today import today_of
from mouldwright.usecases.todays_notices import Notice

NAME = {"atom": "http://www.w3.org/2005/Atom"}
SHOP = shop(process(hands("load", 5)), [order()], hours=opening(zone="Europe/Berlin"))
AT = at("2027-03-02 10:00", "Europe/Berlin")


def feed(*notices, when=AT, shop=SHOP):
    found = replace(today_of(shop, None, now=when), notices=notices)
    return ET.fromstring(notices_file("foils", shop, found, "https://bench.example"))


def texts(node, path):
    return [each.text for each in node.findall(path, NAME)]


def test_it_has_all_that_the_standard_asks_for():
    # RFC 4287, 4.1.1 and 4.1.2: id, title, updated and an author; in each entry id, title, updated.
    read = feed(Notice(kind="late", key="1", text="Late & <late>", at=AT, presses=True))
    for path in ("atom:id", "atom:title", "atom:updated", "atom:author/atom:name"):
        assert len(texts(read, path)) == 1, path
    (entry,) = read.findall("atom:entry", NAME)
    for path in ("atom:id", "atom:title", "atom:updated", "atom:content"):
        assert len(texts(entry, path)) == 1, path
    assert texts(entry, "atom:title") == ["Late & <late>"]
    assert texts(read, "atom:updated") == ["2027-03-01T23:00:00+00:00"]
    assert read.find("atom:link", NAME).get("href") == "https://bench.example/shops/foils/today"


def test_an_entry_is_the_same_while_it_says_the_same_on_the_same_day():
    late, other = (
        Notice(kind="late", key="1", text="Late."),
        Notice(kind="quote", key="1", text="A"),
    )

    def ids(*notices, when=AT):
        return texts(feed(*notices, when=when), "atom:entry/atom:id")

    assert ids(late, other) == ids(late, other, when=AT + 60)
    assert len(set(ids(late, other, replace(late, text="Later.")))) == 3
    assert ids(late) != ids(late, when=AT + 1440)


def test_words_that_no_xml_may_hold_are_left_out():
    (title,) = texts(
        feed(Notice(kind="quote", key="1", text="A\x00\x0b\ufffeb")), "atom:entry/atom:title"
    )
    assert title == "Ab"


def test_a_bench_with_nothing_waiting_is_a_feed_all_the_same():
    assert feed().findall("atom:entry", NAME) == []


def test_the_notices_of_the_demo_are_its_entries():
    found = today_of(DEMO, None, now=at("2027-03-01 09:00", DEMO.zone))
    read = ET.fromstring(notices_file("foils", DEMO, found, ""))
    assert texts(read, "atom:entry/atom:title") == [each.text for each in found.notices]
    assert found.day == date(2027, 3, 1)
