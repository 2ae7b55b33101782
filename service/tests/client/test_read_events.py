"""Server-sent events read as the standard has it (WHATWG HTML, 9.2.6, its own examples)."""

from __future__ import annotations

from mouldwright.client.events import Event, EventReader


def events(text: str) -> list[Event]:
    reader = EventReader()
    found = [reader.take(line) for line in text.splitlines()]
    return [event for event in found if event is not None]


def test_lines_of_data_are_one_event_and_a_blank_line_ends_it():
    found = events("data: YHOO\ndata: +2\ndata: 10\n\n")
    assert [event.data for event in found] == ["YHOO\n+2\n10"]


def test_comments_are_passed_over_ids_last_until_the_next_and_an_unfinished_event_is_left_out():
    found = events(
        ": test stream\n\ndata: first event\nid: 1\n\ndata:second event\nid\n\ndata:  third event\n"
    )
    assert [(event.data, event.id) for event in found] == [
        ("first event", "1"),
        ("second event", ""),
    ]


def test_one_blank_after_the_colon_goes_and_no_more():
    assert [e.data for e in events("data:test\n\ndata: test\n\ndata:  test\n\n")] == [
        "test",
        "test",
        " test",
    ]


def test_an_event_has_its_name_and_the_next_one_none():
    found = events("event: progress\nid: 4\ndata: x\n\ndata: y\n\n")
    assert [(e.kind, e.data, e.id) for e in found] == [
        ("progress", "x", "4"),
        ("message", "y", "4"),
    ]


def test_a_name_without_data_is_no_event_and_a_retry_is_passed_over():
    assert events("event: nothing\n\nretry: 10\n\n") == []
