"""The feed command."""

from __future__ import annotations

from mouldwright.cli.opening import clock, open_shop
from mouldwright.cli.show import print_json
from mouldwright.cli.writing import write_out
from mouldwright.documents.calendar_file import calendar_file
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.hours.opening import local
from mouldwright.usecases.feeds import check_about, plain_calendar
from mouldwright.usecases.kept_feed import FeedAbout
from mouldwright.usecases.planned import plan
from mouldwright.usecases.present import present
from mouldwright.wire.answers.calendar import CalendarAnswer


def feed(
    scenario: str,
    *,
    person: str | None,
    mould: str | None,
    station: str | None,
    out: str | None,
    now: str | None,
    seconds: float,
    seed: int,
    as_json: bool,
) -> None:
    """Write a calendar of a plan made from the file."""
    shop = open_shop(scenario)
    about, key = _about(person, mould, station)
    check_about(shop, "calendar", about, key)
    at = present(shop, now, clock)
    planned = plan(shop, now=at, seconds=seconds, seed=seed) if shop.orders else None
    found = plain_calendar(shop.name, shop, planned, about, key, now=local(at, shop.zone))
    if as_json:
        print_json(CalendarAnswer.of(found.title, found.zone, found.events))
    if out is not None or not as_json:
        write_out(calendar_file(found), out)


def _about(person: str | None, mould: str | None, station: str | None) -> tuple[FeedAbout, str]:
    places: dict[FeedAbout, str | None] = {"person": person, "mould": mould, "station": station}
    named = [(about, key) for about, key in places.items() if key is not None]
    if len(named) > 1:
        fault = Fault(
            path=f"--{named[1][0]}",
            value=named[1][1],
            problem="a calendar is of one person, one mould or one station.",
            remedy="Name one of them, or none for the whole shop.",
        )
        raise InvalidInput([fault])
    return named[0] if named else ("shop", "")
