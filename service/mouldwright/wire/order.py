"""Orders and sets as they are written down."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from typing import Literal

from mouldwright.domain import order as domain
from mouldwright.wire.hours import Moment
from mouldwright.wire.model import Key, Model, NumberText, Text, key, title_from
from mouldwright.wire.numbers import Count, Money, Portion, Quantity, Whole, money_text, wrong
from mouldwright.wire.operation import Operation

# Reads what was written as an instant; the name says which key, for messages.
ReadInstant = Callable[[str, date | datetime | None], datetime | None]


class SetPart(Model):
    """So many of one part, by one process, in a set."""

    part: Key = key("Key of the part.")
    process: Key = key("Key of the process.")
    count: Count = key("How many in one set.", default=1)


class SetItem(Model):
    """Something bought in for a set."""

    name: Text = key("What it is.")
    cost: Money = key("Each.")
    count: Count = key("How many in one set.", default=1)


class Match(Model):
    """How alike the parts of one set have to be."""

    on: Literal["mass", "stiffness"] = key("What is matched.", default="mass")
    window: Portion = key(
        "The most that parts of one set may differ by, as a share of their nominal."
    )
    spread: Portion = key("Standard deviation of a part, as a share of its nominal.")


class PartSet(Model):
    """What the customer buys when it is more than one part."""

    title: Text | None = key("As people read it; left out, made from the key.", default=None)
    parts: list[SetPart] = key("The parts of one set.")
    items: list[SetItem] = key("What is bought in for one set.", default=[])
    operations: list[Operation] = key(
        'Work on the set itself, per "order" or "part", a part being one set.', default=[]
    )
    match: Match | None = key(
        "How alike its parts have to be; left out, any go together.", default=None
    )

    def model_post_init(self, _context: object) -> None:
        """Want at least one part."""
        if not self.parts:
            raise wrong("the set has no parts.", "Name at least one.", key="parts")

    def part_set(self, name: str) -> domain.PartSet:
        """Return the set of that key."""
        return domain.PartSet(
            key=name,
            title=self.title or title_from(name),
            parts=tuple(domain.SetPart(**dict(part)) for part in self.parts),
            items=tuple(domain.SetItem(**dict(item)) for item in self.items),
            operations=tuple(o.operation() for o in self.operations),
            match=domain.Match(**dict(self.match)) if self.match else None,
        )

    @classmethod
    def of(cls, part_set: domain.PartSet) -> PartSet:
        """Return the set as it would be written."""
        return cls.written(
            title=None if part_set.title == title_from(part_set.key) else part_set.title,
            parts=[
                SetPart.written(part=p.part, process=p.process, count=p.count)
                for p in part_set.parts
            ],
            items=[
                SetItem.written(name=i.name, cost=money_text(i.cost), count=i.count)
                for i in part_set.items
            ],
            operations=[Operation.of(o) for o in part_set.operations],
            match=_match(part_set.match),
        )


def _match(match: domain.Match | None) -> Match | None:
    if match is None:
        return None
    return Match.written(on=match.on, window=match.window, spread=match.spread)


class Order(Model):
    """A quantity of a part or set, by a date."""

    number: NumberText = key("Its number, one of a kind.")
    part: Key = key("Key of the part or set.")
    quantity: Quantity = key("Good parts wanted.")
    process: Key | None = key(
        "Key of the process; left out for a set, and where the part has only one.", default=None
    )
    customer: str = key("Who asked.", default="")
    due: Moment | None = key(
        "When it should be finished; a date is the end of the shop's opening that day, "
        "else of the last open day before.",
        default=None,
    )
    weight: Whole = key("How much a minute of lateness counts.", default=1)
    release: Moment | None = key(
        "Before this no work starts; a date is the beginning of that day.", default=None
    )
    starts: Count | None = key(
        "Parts to begin; left out, it follows the shop's service level.", default=None
    )

    def model_post_init(self, _context: object) -> None:
        """Want at least as many starts as good parts."""
        if self.starts is not None and self.starts < self.quantity:
            raise wrong(
                f"fewer starts than the {self.quantity} parts ordered.",
                f"Write at least {self.quantity}, or leave it out.",
                key="starts",
            )

    def order(self, instant: ReadInstant, *, only_process: str | None) -> domain.Order:
        """Return the order.

        Args:
            instant: Reads ``due`` and ``release`` as instants.
            only_process: The one process of the part, where it has just one.
        """
        return domain.Order(
            number=self.number,
            part=self.part,
            quantity=self.quantity,
            process=self.process or only_process,
            customer=self.customer,
            due=instant("due", self.due),
            weight=self.weight,
            release=instant("release", self.release),
            starts=self.starts,
        )

    @classmethod
    def of(cls, order: domain.Order) -> Order:
        """Return the order as it would be written, its times with their offset."""
        return cls.written(
            number=order.number,
            part=order.part,
            quantity=order.quantity,
            process=order.process,
            customer=order.customer,
            due=order.due,
            weight=order.weight,
            release=order.release,
            starts=order.starts,
        )
