"""Temperatures of the shop, and what a material's sheet says of them, as they are written down."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from typing import Annotated, Any

from pydantic import PlainSerializer, PlainValidator, WithJsonSchema

from mouldwright.domain import warmth as domain
from mouldwright.wire.hours import opening_text, opening_times
from mouldwright.wire.model import Model, key
from mouldwright.wire.numbers import AmountAbove, Degrees, wrong


def _day_of_year(value: Any) -> tuple[int, int]:
    found = re.fullmatch(r"(\d{2})-(\d{2})", value) if isinstance(value, str) else None
    if not found:
        raise wrong("this is not a day of the year.", 'Write month and day: "11-01".')
    month, day = int(found[1]), int(found[2])
    try:
        date(2028, month, day)  # a leap year, in which every day of any year is
    except ValueError:
        raise wrong("no year has this day.", 'Write month and day: "11-01".') from None
    return month, day


DayOfYear = Annotated[
    tuple[int, int],
    PlainValidator(_day_of_year),
    PlainSerializer(lambda day: f"{day[0]:02d}-{day[1]:02d}"),
    WithJsonSchema({"type": "string", "pattern": r"^\d{2}-\d{2}$", "words": "month-day"}),
]
Daytime = Annotated[
    tuple[int, int],
    PlainValidator(opening_times),
    PlainSerializer(opening_text),
    WithJsonSchema({"type": "string", "words": "an opening"}),
]


class Season(Model):
    """How warm the shop is from a day of the year until the next season begins."""

    begins: DayOfYear = key('The day it begins, as month and day: "11-01".')
    day_c: Degrees = key("How warm it is by day.", unit="°C")
    night_c: Degrees = key("How warm it is by night.", unit="°C")


class Temperatures(Model):
    """How warm the shop is."""

    seasons: list[Season] = key("The seasons; the last of a year lasts until the first.")
    day: Daytime = key('From when to when it is day, such as "07:00-19:00".', default=(420, 1140))

    def model_post_init(self, _context: object) -> None:
        """Want a season, and each beginning once."""
        begins = [season.begins for season in self.seasons]
        if not begins:
            raise wrong(
                "there are no seasons.",
                'Write at least one: { begins = "01-01", day_c = 20, night_c = 16 }.',
                key="seasons",
            )
        if len(set(begins)) < len(begins):
            raise wrong(
                "two seasons begin on one day.", "Give each a day of its own.", key="seasons"
            )

    def temperatures(self) -> domain.Temperatures:
        """Return the temperatures."""
        return domain.Temperatures(
            seasons=tuple(domain.Season(**dict(season)) for season in self.seasons),
            day=self.day,
        )

    @classmethod
    def of(cls, temperatures: domain.Temperatures) -> Temperatures:
        """Return the temperatures as they would be written."""
        return cls.written(
            seasons=[
                Season.written(
                    begins=f"{s.begins[0]:02d}-{s.begins[1]:02d}",
                    day_c=s.day_c,
                    night_c=s.night_c,
                )
                for s in temperatures.seasons
            ],
            day=opening_text(temperatures.day),
        )


class Warmth(Model):
    """What a material's sheet says of temperature."""

    reference_c: Degrees = key("The temperature its times are stated at.", unit="°C")
    reference_g: AmountAbove | None = key(
        "The mass its pot life is stated for; a larger mix sets sooner.", default=None, unit="g"
    )
    halves_per_c: AmountAbove = key(
        "Degrees warmer by which times halve.", default=Decimal(10), unit="°C"
    )
    least_c: Degrees | None = key(
        "Below it nothing cures; left out, it only cures slower.", default=None, unit="°C"
    )
    sheet_from_c: Degrees | None = key(
        "The coldest the sheet speaks of; colder is warned of.", default=None, unit="°C"
    )
    sheet_to_c: Degrees | None = key(
        "The warmest the sheet speaks of; warmer is warned of.", default=None, unit="°C"
    )

    def warmth(self) -> domain.Warmth:
        """Return what the sheet says."""
        return domain.Warmth(**dict(self))

    @classmethod
    def of(cls, warmth: domain.Warmth) -> Warmth:
        """Return what the sheet says as it would be written."""
        return cls.written(
            reference_c=warmth.reference_c,
            reference_g=warmth.reference_g,
            halves_per_c=warmth.halves_per_c,
            least_c=warmth.least_c,
            sheet_from_c=warmth.sheet_from_c,
            sheet_to_c=warmth.sheet_to_c,
        )
