"""Hours, dates and instants as they are written down."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, datetime, timedelta
from itertools import pairwise
from typing import Annotated, Any, Literal, get_args

from pydantic import AfterValidator, PlainSerializer, PlainValidator, WithJsonSchema

from mouldwright.domain.hours.opening import DayTimes, OpeningHours
from mouldwright.wire.model import Model, key
from mouldwright.wire.numbers import wrong

_TIME = r"([0-9]{1,2}):([0-5][0-9])"
Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
_DAYS: tuple[Weekday, ...] = get_args(Weekday)
_LONGEST_CLOSURE_DAYS = 3660


def opening_times(value: Any) -> tuple[int, int]:
    """Return an opening as minutes after midnight: "08:30-12:30" is (510, 750)."""
    remedy = 'Write opening and closing, such as "08:30-12:30".'
    if not isinstance(value, str):
        raise wrong("an opening is written as text.", remedy)
    found = re.fullmatch(rf"\s*{_TIME}\s*-\s*{_TIME}\s*", value)
    if not found:
        raise wrong("this is not an opening.", remedy)
    opens, closes = (
        int(found[hour]) * 60 + int(found[minute]) for hour, minute in ((1, 2), (3, 4))
    )
    if opens >= 1440:
        raise wrong("an opening starts before 24:00.", "Write it under the day on which it starts.")
    if closes == opens:
        raise wrong("this opening has no length.", 'For all day and night write "00:00-24:00".')
    if closes < opens:
        closes += 1440
    if closes > 2880:
        raise wrong("an opening ends by 48:00, midnight of the next day.", "Split it over days.")
    return opens, closes


def opening_text(times: tuple[int, int]) -> str:
    """Return an opening as written: (510, 750) is "08:30-12:30", (1320, 1800) "22:00-06:00"."""
    opens, closes = times
    if closes - 1440 > 0 and closes - 1440 < opens:
        closes -= 1440
    return f"{opens // 60:02d}:{opens % 60:02d}-{closes // 60:02d}:{closes % 60:02d}"


def _day(value: Any) -> DayTimes:
    if isinstance(value, str):
        raise wrong("a day is a list of openings.", f'Write ["{value}"].')
    if not isinstance(value, list):
        raise wrong("a day is a list of openings.", 'Write ["08:30-12:30", "13:15-17:15"].')
    times = sorted(opening_times(entry) for entry in value)
    for (_, closes), (opens, _) in pairwise(times):
        if opens < closes:
            raise wrong("two openings of one day overlap.", "Join them into one or part them.")
    return tuple(times)


def as_date(value: Any) -> date:
    """Return a date written as ``2027-03-19``, in quotes or not."""
    if isinstance(value, date) and not isinstance(value, datetime):
        return value
    if isinstance(value, str) and re.fullmatch(r"\d{4}-\d{2}-\d{2}", value):
        try:
            return date.fromisoformat(value)
        except ValueError:
            raise wrong("the calendar has no such date.", 'Write one like "2027-03-19".') from None
    raise wrong("this is not a date.", 'Write year, month and day: "2027-03-19".')


def _closed(value: Any) -> tuple[date, date]:
    if isinstance(value, str) and "/" in value:
        first, _, last = value.partition("/")
        start, end = as_date(first.strip()), as_date(last.strip())
        if end < start:
            raise wrong("this interval ends before it starts.", f'Write "{end}/{start}".')
        if (end - start).days > _LONGEST_CLOSURE_DAYS:
            raise wrong("this interval is longer than ten years.", "Write a shorter one.")
        return start, end
    day = as_date(value)
    return day, day


def _closed_text(interval: tuple[date, date]) -> str:
    start, end = interval
    return start.isoformat() if start == end else f"{start.isoformat()}/{end.isoformat()}"


def _moment(value: Any) -> date | datetime:
    """Return a date, a local time or an instant, as written."""
    if isinstance(value, date):
        return value
    if isinstance(value, str):
        text = value.strip()
        if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text):
            return as_date(text)
        if re.fullmatch(r"\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}.*", text):
            try:
                return datetime.fromisoformat(text)
            except ValueError:
                pass
    raise wrong(
        "this is neither a date nor a time.",
        'Write "2027-03-19", or "2027-03-19T16:00" in local time.',
    )


def _time_of_day(value: Any) -> int:
    found = re.fullmatch(_TIME, value.strip()) if isinstance(value, str) else None
    if not found or int(found[1]) >= 24:
        raise wrong("this is no time of day.", 'Write hours and minutes, such as "14:00".')
    return int(found[1]) * 60 + int(found[2])


def _time(value: Any) -> datetime:
    moment = _moment(value)
    if isinstance(moment, datetime):
        return moment
    raise wrong("a time of day is missing.", f'Write "{moment}T08:30".')


Day = Annotated[
    tuple[tuple[int, int], ...],
    PlainValidator(_day),
    PlainSerializer(lambda day: [opening_text(times) for times in day]),
    WithJsonSchema(
        {
            "type": "array",
            "items": {"type": "string", "pattern": rf"^\s*{_TIME}\s*-\s*{_TIME}\s*$"},
            "words": "list of openings",
        }
    ),
]
Date = Annotated[
    date,
    PlainValidator(as_date),
    PlainSerializer(lambda day: day.isoformat()),
    WithJsonSchema({"type": "string", "format": "date", "words": "date"}),
]
# A date as the key of a table.
DateKey = Annotated[str, AfterValidator(lambda text: as_date(text).isoformat())]
ClosedDates = Annotated[
    tuple[date, date],
    PlainValidator(_closed),
    PlainSerializer(_closed_text),
    WithJsonSchema({"type": "string", "words": "date or interval"}),
]
# Of a day, in minutes from its midnight.
TimeOfDay = Annotated[
    int,
    PlainValidator(_time_of_day),
    PlainSerializer(lambda minute: f"{minute // 60:02d}:{minute % 60:02d}"),
    WithJsonSchema({"type": "string", "pattern": rf"^{_TIME}$", "words": "time of day"}),
]
Moment = Annotated[
    date | datetime,
    PlainValidator(_moment),
    PlainSerializer(lambda moment: moment.isoformat()),
    WithJsonSchema({"type": "string", "words": "date, or local time"}),
]
LocalTime = Annotated[
    datetime,
    PlainValidator(_time),
    PlainSerializer(lambda moment: moment.isoformat()),
    WithJsonSchema({"type": "string", "words": "local time"}),
]


def days_in(names: Iterable[Weekday]) -> frozenset[int]:
    """Return days of the week as numbers, Monday being 0."""
    return frozenset(_DAYS.index(name) for name in names)


def days_text(days: Iterable[int]) -> list[Weekday]:
    """Return days of the week as they would be written."""
    return [_DAYS[day] for day in sorted(days)]


class Week(Model):
    """The openings of each day of the week; a day that is left out is closed."""

    mon: Day = key("Monday's openings.", default=())
    tue: Day = key("Tuesday's.", default=())
    wed: Day = key("Wednesday's.", default=())
    thu: Day = key("Thursday's.", default=())
    fri: Day = key("Friday's.", default=())
    sat: Day = key("Saturday's.", default=())
    sun: Day = key("Sunday's.", default=())

    def weekly(self) -> tuple[DayTimes, ...]:
        """Return seven entries from Monday."""
        return tuple(getattr(self, day) for day in _DAYS)

    @classmethod
    def of(cls, weekly: tuple[DayTimes, ...]) -> Week:
        """Return the week as it would be written."""
        days = zip(_DAYS, weekly, strict=True)
        return cls.written(**{day: [opening_text(t) for t in times] for day, times in days})


def dates_in(intervals: Iterable[tuple[date, date]]) -> frozenset[date]:
    """Return every date of some intervals, both ends included."""
    return frozenset(
        start + timedelta(days=n) for start, end in intervals for n in range((end - start).days + 1)
    )


def intervals_text(dates: Iterable[date]) -> list[str]:
    """Return dates as they would be written, runs of them as intervals."""
    runs: list[list[date]] = []
    for day in sorted(dates):
        if runs and day - runs[-1][1] == timedelta(days=1):
            runs[-1][1] = day
        else:
            runs.append([day, day])
    return [_closed_text((start, end)) for start, end in runs]


class Hours(Week):
    """The shop's hours: its week, the dates it is closed, and one-off openings."""

    closed: list[ClosedDates] = key(
        "Dates and intervals, both ends included, on which nobody works.", default=[]
    )
    open: dict[DateKey, Day] = key(
        "Dates with openings of their own in place of the week's; "
        "they bind those without hours of their own.",
        default={},
    )

    def opening_hours(self, zone: str) -> OpeningHours:
        """Return the hours in a time zone."""
        return OpeningHours(
            weekly=self.weekly(),
            zone=zone,
            closed=dates_in(self.closed),
            one_off={as_date(day): times for day, times in self.open.items()},
        )

    @classmethod
    def of_hours(cls, hours: OpeningHours) -> Hours:
        """Return the hours as they would be written, runs of closed dates as intervals."""
        week = Week.of(hours.weekly).model_dump()
        return cls.written(
            **week,
            closed=intervals_text(hours.closed),
            open={
                day.isoformat(): [opening_text(t) for t in times]
                for day, times in sorted(hours.one_off.items())
            },
        )
