"""The shop itself, its people and its stations, as they are written down."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any, Literal
from zoneinfo import available_timezones

from pydantic import PlainSerializer, PlainValidator, WithJsonSchema

from mouldwright.domain import shop as domain
from mouldwright.domain.errors import nearest
from mouldwright.domain.mark import NoMark, checked_mark
from mouldwright.domain.money import Currency
from mouldwright.wire.estimate import Odds, Range, range_of, want_within, written_range
from mouldwright.wire.hours import Hours, LocalTime, Week
from mouldwright.wire.model import Model, Text, key, title_from
from mouldwright.wire.numbers import (
    AmountAbove,
    Count,
    Extra,
    Money,
    Number,
    Rate,
    ShareAbove,
    money_text,
    wrong,
)
from mouldwright.wire.price import Price
from mouldwright.wire.warmth import Temperatures


def _currency(value: Any) -> str:
    if not isinstance(value, str):
        raise wrong("this is not a currency.", 'Write its ISO 4217 code, such as "EUR".')
    try:
        return Currency(value).code
    except ValueError:
        code = value.strip().upper()
        shown = code if len(code) == 3 and code.isascii() and code.isalpha() else "EUR"
        raise wrong(
            "a currency is three capital letters of ISO 4217.", f'Write one like "{shown}".'
        ) from None


def _zone(value: Any) -> str:
    if not isinstance(value, str):
        raise wrong("this is not a time zone.", 'Write an IANA name, such as "Europe/Lisbon".')
    if value in available_timezones():
        return value
    remedy = nearest(value, available_timezones())
    if not remedy.startswith("Did you mean"):
        remedy = 'Write an IANA name, such as "Europe/Lisbon".'
    raise wrong("there is no such time zone.", remedy)


def _service_level(value: Any) -> Decimal | None:
    if value == "mean" and isinstance(value, str):
        return None
    if isinstance(value, str):
        raise wrong("this is not a service level.", 'Write a number such as 0.90, or "mean".')
    level: Decimal = Number("decimal", "0.90", above=0, below=1).read(value)
    return level


def _mark(value: Any) -> str:
    if not isinstance(value, str):
        raise wrong("a mark is the text of an SVG drawing.", "Write it in quotes.")
    try:
        return checked_mark(value)
    except NoMark as no:
        raise wrong(no.problem, no.remedy) from None


MarkText = Annotated[
    str, PlainValidator(_mark), WithJsonSchema({"type": "string", "words": "text of an SVG"})
]
CurrencyCode = Annotated[
    str,
    PlainValidator(_currency),
    WithJsonSchema({"type": "string", "pattern": "^[A-Z]{3}$", "words": "ISO 4217 code"}),
]
ZoneName = Annotated[
    str, PlainValidator(_zone), WithJsonSchema({"type": "string", "words": "IANA name"})
]
ServiceLevel = Annotated[
    Decimal | None,
    PlainValidator(_service_level),
    PlainSerializer(lambda level: "mean" if level is None else level),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "number", "exclusiveMinimum": 0, "exclusiveMaximum": 1},
                {"const": "mean"},
            ],
            "words": 'number > 0 and < 1, or "mean"',
        }
    ),
]


class Outbound(Model):
    """What sending costs, and what comes back."""

    per_order: Money = key("Freight and papers of one order.", default=Decimal(0))
    per_part: Money = key("Freight of each good part.", default=Decimal(0))
    returns_share: Rate = key(
        "Cost of returns and repairs, as a share of all other cost.", default=Decimal(0)
    )

    @classmethod
    def of(cls, sent: domain.Outbound) -> Outbound:
        """Return it as it would be written."""
        return cls.written(
            per_order=money_text(sent.per_order),
            per_part=money_text(sent.per_part),
            returns_share=sent.returns_share,
        )

    def outbound(self) -> domain.Outbound:
        """Return the domain's value."""
        return domain.Outbound(**dict(self))


_SAME_MONEY = ("overhead_per_hour", "packaging_per_part")
_SAME = ("name", "service_level", "tooling", "theory_factor", "materials_charged")


class Shop(Model):
    """The workshop: money, time, and how it counts."""

    name: Text = key("What the shop is called.")
    currency: CurrencyCode = key("The one currency of all money here.")
    time_zone: ZoneName = key("Where its clocks are.")
    start: LocalTime | None = key(
        '"Now" of the plan, in local time; left out, the clock\'s.', default=None
    )
    counted: LocalTime | None = key(
        "When the pulls of moulds and the stock written here were counted: entries of the log from "
        "then on move them; left out, the start.",
        default=None,
    )
    overhead_per_hour: Money = key("On every attended hour.", default=Decimal(0), unit="per hour")
    packaging_per_part: Money = key(
        "Packing materials for one part.", default=Decimal(0), unit="per part"
    )
    outbound: Outbound = key("What sending costs, and what comes back.", default=Outbound())
    service_level: ServiceLevel = key(
        'Least chance that the starts give enough good parts; "mean" is good / yield, rounded up.',
        default=Decimal("0.9"),
    )
    tooling: Literal["by life", "to the order"] = key(
        "Whether a mould is paid by its pulls or by the order that needs it.", default="by life"
    )
    theory_factor: ShareAbove = key(
        "Knock-down on stiffness from theory until bench tests replace it.", default=0.8
    )
    materials_planned: Literal["assumed", "from stock"] = key(
        "Whether a plan takes materials as there, or has each order wait until stock, its "
        "deliveries and what is bought now cover it.",
        default="assumed",
    )
    materials_charged: Literal["used", "bought"] = key(
        "Whether a quote charges material used or whole packs bought.", default="used"
    )
    leftover_value_rate: Rate = key(
        "Share of its plain price that what is left of a pack counts for when packs are chosen.",
        default=Decimal(0),
    )
    scale_step_g: AmountAbove = key(
        "The smallest step of the scale that mixes are weighed on.",
        default=Decimal("0.1"),
        unit="g",
    )
    unbillable_share: Rate = key(
        "Share of each paid day that no order pays for.", default=Decimal(0)
    )
    temperatures: Temperatures | None = key(
        "How warm it is; left out, every material's times are those of its sheet.", default=None
    )
    address: list[Text] = key("Lines of its address, shown on quotes.", default=[])
    contact: list[Text] = key(
        "Lines by which it is reached, shown on quotes: telephone, mail, page.", default=[]
    )
    tax_number: Text | None = key("Its number for tax, shown on quotes.", default=None)
    mark: MarkText | None = key("Its own mark, shown on quotes; an SVG.", default=None)
    price: Price = key("How cost becomes price.", default=Price())
    odds: Odds = key("How it reckons with what is uncertain.", default=Odds())
    hours: Hours = key("When it is open.")

    @classmethod
    def of(cls, shop: domain.Shop) -> Shop:
        """Return the shop itself as it would be written."""
        return cls.written(
            name=shop.name,
            currency=shop.currency.code,
            time_zone=shop.zone,
            start=shop.start,
            counted=shop.counted,
            overhead_per_hour=money_text(shop.overhead_per_hour),
            packaging_per_part=money_text(shop.packaging_per_part),
            outbound=Outbound.of(shop.outbound),
            service_level="mean" if shop.service_level is None else shop.service_level,
            tooling=shop.tooling,
            theory_factor=shop.theory_factor,
            materials_charged=shop.materials_charged,
            materials_planned=shop.materials_planned,
            leftover_value_rate=shop.leftover_value_rate,
            unbillable_share=shop.unbillable_share,
            scale_step_g=shop.scale_step_g,
            temperatures=Temperatures.of(shop.temperatures) if shop.temperatures else None,
            address=list(shop.address),
            contact=list(shop.contact),
            tax_number=shop.tax_number or None,
            mark=shop.mark or None,
            price=Price.of(shop.price),
            odds=Odds.of(shop.odds),
            hours=Hours.of_hours(shop.hours),
        )


class Person(Model):
    """Someone at the bench; the table's key is their name in plans."""

    title: Text | None = key("As people read it; left out, made from the key.", default=None)
    skills: list[Text] = key("What they can do; operations ask for one of these.", default=[])
    wage_per_hour: Money = key("What an hour is paid.", unit="per hour")
    on_cost_rate: Extra = key(
        "What the shop pays besides, as a share of the wage.", default=Decimal(0)
    )
    wage_range: Range | None = key(
        "Least and most the wage may turn out, as shares of it.", default=None
    )
    hours: Week | None = key(
        "A week of their own in place of the shop's; closed dates hold all the same.", default=None
    )

    def model_post_init(self, _context: object) -> None:
        """Want the wage within its range."""
        want_within(self.wage_range, Decimal(1), "wage_range")

    def person(self, name: str) -> domain.Person:
        """Return the person of that key."""
        return domain.Person(
            key=name,
            title=self.title or title_from(name),
            skills=frozenset(self.skills),
            wage_per_hour=self.wage_per_hour,
            on_cost_rate=self.on_cost_rate,
            wage_range=range_of(self.wage_range),
            weekly=self.hours.weekly() if self.hours else None,
        )

    @classmethod
    def of(cls, person: domain.Person) -> Person:
        """Return the person as they would be written."""
        return cls.written(
            title=None if person.title == title_from(person.key) else person.title,
            skills=sorted(person.skills),
            wage_per_hour=money_text(person.wage_per_hour),
            on_cost_rate=person.on_cost_rate,
            wage_range=written_range(person.wage_range),
            hours=Week.of(person.weekly) if person.weekly is not None else None,
        )


class Station(Model):
    """A counted place or machine; plans name its units by key and number from 1."""

    title: Text | None = key("As people read it; left out, made from the key.", default=None)
    count: Count = key("Units of it.", default=1)
    room: Count | None = key(
        "Parts each unit takes at once, entering singly; left out, one task at a time.",
        default=None,
        unit="parts",
    )
    cost_per_hour: Money = key(
        "What an hour of one unit costs.", default=Decimal(0), unit="per hour"
    )
    hours: Week | None = key("Hours of its own; left out, it may run at any time.", default=None)

    def station(self, name: str) -> domain.Station:
        """Return the station of that key."""
        return domain.Station(
            key=name,
            title=self.title or title_from(name),
            count=self.count,
            room=self.room,
            cost_per_hour=self.cost_per_hour,
            weekly=self.hours.weekly() if self.hours else None,
        )

    @classmethod
    def of(cls, station: domain.Station) -> Station:
        """Return the station as it would be written."""
        return cls.written(
            title=None if station.title == title_from(station.key) else station.title,
            count=station.count,
            room=station.room,
            cost_per_hour=money_text(station.cost_per_hour),
            hours=Week.of(station.weekly) if station.weekly is not None else None,
        )
