from dataclasses import replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest
from costing_bench import (
    WORKING_WEEK,
    attended,
    family,
    mould_hold,
    part,
    process,
    shop,
    unattended,
)

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.hours.opening import OpeningHours, local, minute_of
from mouldwright.domain.lead_time import lead_time

ZONE = "Europe/Lisbon"
CURED = process(
    attended("load", "pull", "12"),
    unattended("cure", "pull", "1440"),
    attended("demould", "pull", "6"),
    holds=(mould_hold("load", "demould"),),
)


def at(day: int, hour: int, minute: int = 0) -> int:
    """Return an instant of March 2027; the 1st is a Monday."""
    return minute_of(datetime(2027, 3, day, hour, minute, tzinfo=ZoneInfo(ZONE)))


def shown(minute: int) -> str:
    return local(minute, ZONE).strftime("%a %H:%M")


def test_one_part_takes_its_chain_through_the_hours() -> None:
    bench = shop(CURED, family(5))
    found = lead_time(bench, part(), CURED, 1, now=at(1, 8))
    # Mon 08:00 + 12 min, cured Tue 08:12, demoulded by 08:18.
    assert shown(found.finish) == "Tue 08:18"
    assert found.minutes == 24 * 60 + 18


def test_a_cure_over_the_weekend_waits_for_monday() -> None:
    found = lead_time(shop(CURED, family(5)), part(), CURED, 1, now=at(5, 16, 0))
    assert shown(found.finish) == "Mon 08:06"


def test_the_rest_follow_at_the_sustained_rate() -> None:
    bench = shop(CURED, family(1))
    few = lead_time(bench, part(), CURED, 1, now=at(1, 8))
    more = lead_time(bench, part(), CURED, 4, now=at(1, 8))
    # One mould gives one pull a day: three more days.
    assert shown(few.finish) == "Tue 08:18"
    assert shown(more.finish) == "Fri 08:18"
    assert more.first == few.finish


def test_a_mould_that_is_still_to_be_made_is_made_first() -> None:
    # Printed through the night from Mon 08:10 for 20 h, sanded 60 min from Tue 08:00 on; then
    # filled 09:00 to 09:12, cured Wed 09:12, demoulded by 09:18.
    tool = process(
        attended("start", "part", "10"),
        unattended("print", "part", "1200"),
        attended("sand", "part", "60"),
        key="tool",
    )
    bench = shop(CURED, tool, family(0, made_by="tool"))
    assert shown(lead_time(bench, part(), CURED, 1, now=at(1, 8)).finish) == "Wed 09:18"


def test_closed_dates_are_kept() -> None:
    hours = OpeningHours(weekly=WORKING_WEEK, zone=ZONE, closed=frozenset({date(2027, 3, 2)}))
    bench = replace(shop(CURED, family(1)), hours=hours)
    assert shown(lead_time(bench, part(), CURED, 1, now=at(1, 8)).finish) == "Wed 08:06"


def test_a_step_that_fits_no_opening_is_named() -> None:
    way = process(attended("lay up", "pull", "300"))
    with pytest.raises(HardLimit, match=r"lay up takes 300 min and the longest opening .* 240 min"):
        lead_time(shop(way), part(), way, 1, now=at(1, 8))


def test_no_mould_at_hand_gives_no_date() -> None:
    with pytest.raises(HardLimit, match="moulds pass none"):
        lead_time(shop(CURED, family(0)), part(), CURED, 4, now=at(1, 8))


def test_nothing_has_no_lead_time() -> None:
    with pytest.raises(ValueError, match="at least one"):
        lead_time(shop(CURED, family(1)), part(), CURED, 0, now=at(1, 8))


def test_more_parts_are_never_ready_sooner() -> None:
    bench = shop(CURED, family(3))
    found = [lead_time(bench, part(), CURED, n, now=at(3, 10)).finish for n in range(1, 30)]
    assert found == sorted(found)
