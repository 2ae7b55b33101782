"""Mould families as they are written down."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from pydantic import Discriminator, Tag

from mouldwright.domain.process import mould as domain
from mouldwright.wire.model import Key, Model, NumberText, Text, key
from mouldwright.wire.numbers import Amount, Count, Money, Rate, Whole, money_text, wrong


class Mould(Model):
    """One physical tool."""

    number: NumberText = key("As marked on it.")
    pulls: Whole = key("Pulls taken from it so far.", default=0)
    pulls_since_conditioning: Whole = key("Pulls since it was last conditioned.", default=0)


def _form(value: Any) -> str:
    return "list" if isinstance(value, list) else "number"


Moulds = Annotated[
    Annotated[Whole, Tag("number")] | Annotated[list[Mould], Tag("list")], Discriminator(_form)
]


class MouldFamily(Model):
    """The moulds that serve one part and process; plans name them by key and number."""

    title: Text | None = key(
        "As people read it, short; left out, made from the titles of part and process.",
        default=None,
    )
    part: Key = key("Key of the part.")
    process: Key = key("Key of the process.")
    count: Moulds = key(
        'How many, numbered from 1; or a list, [{ number = "S1", pulls = 12 }].', default=1
    )
    cavities: Count = key("Parts from one pull.", default=1)
    life_pulls: Count | None = key(
        "Pulls until one is retired; left out, it does not wear.", default=None
    )
    expected_pulls: Count | None = key(
        "Pulls that all orders to come are expected to take: by life, these bear whole moulds; "
        "left out, every mould is expected to wear out.",
        default=None,
    )
    conditioned_every_pulls: Count | None = key("Pulls between conditionings.", default=None)
    coats: list[Whole] = key(
        "Coats of wax by pull since new: the first entries in turn.", default=[]
    )
    coats_every: Count | None = key("Then one coat every so many pulls.", default=None)
    proof_pulls: Whole = key(
        "First pulls of a new mould that prove it and are not sold; each ends with the mould's "
        "hold.",
        default=0,
    )
    loss_rate: Rate = key(
        "Chance that a pull loses the mould, and the parts in it.", default=Decimal(0)
    )
    cost: Money | None = key("A new one, where it is bought or its cost is known.", default=None)
    made_by: Key | None = key("Key of the process that builds one.", default=None)
    lead_days: Whole | None = key(
        "Days until a new one is there that is bought.", default=None, unit="days"
    )
    greatest_c: Amount | None = key(
        "The hottest they may get; left out, no heat is too much.", default=None, unit="°C"
    )

    def model_post_init(self, _context: object) -> None:
        """Want each mould's number once, and pulls left after its proof."""
        if self.life_pulls is not None and self.proof_pulls >= self.life_pulls:
            raise wrong(
                f"a mould that lasts {self.life_pulls} pulls would have none left to sell.",
                f"Write at most {self.life_pulls - 1}.",
                key="proof_pulls",
            )
        numbers = [m.number for m in self.count] if isinstance(self.count, list) else []
        if twice := sorted({n for n in numbers if numbers.count(n) > 1}):
            raise wrong(
                f"two moulds are numbered {twice[0]}.", "Give each its own number.", key="count"
            )

    def family(self, name: str) -> domain.MouldFamily:
        """Return the family of that key."""
        listed = (
            tuple(domain.Mould(**dict(mould)) for mould in self.count)
            if isinstance(self.count, list)
            else tuple(domain.Mould(number=str(n)) for n in range(1, self.count + 1))
        )
        return domain.MouldFamily(
            key=name,
            title=self.title or "",
            part=self.part,
            process=self.process,
            moulds=listed,
            cavities=self.cavities,
            life_pulls=self.life_pulls,
            expected_pulls=self.expected_pulls,
            conditioned_every_pulls=self.conditioned_every_pulls,
            coats=tuple(self.coats),
            coats_every=self.coats_every,
            proof_pulls=self.proof_pulls,
            loss_rate=self.loss_rate,
            cost=self.cost,
            made_by=self.made_by,
            lead_days=self.lead_days,
            greatest_c=self.greatest_c,
        )

    @classmethod
    def of(cls, family: domain.MouldFamily) -> MouldFamily:
        """Return the family as it would be written, as a count where all are new."""
        counted = tuple(domain.Mould(number=str(n + 1)) for n in range(len(family.moulds)))
        count: int | list[Mould] = len(counted)
        if family.moulds != counted:
            count = [
                Mould.written(
                    number=m.number,
                    pulls=m.pulls,
                    pulls_since_conditioning=m.pulls_since_conditioning,
                )
                for m in family.moulds
            ]
        return cls.written(
            title=family.title or None,
            part=family.part,
            process=family.process,
            count=count,
            cavities=family.cavities,
            life_pulls=family.life_pulls,
            expected_pulls=family.expected_pulls,
            conditioned_every_pulls=family.conditioned_every_pulls,
            coats=list(family.coats),
            coats_every=family.coats_every,
            proof_pulls=family.proof_pulls,
            loss_rate=family.loss_rate,
            cost=money_text(family.cost),
            made_by=family.made_by,
            lead_days=family.lead_days,
            greatest_c=family.greatest_c,
        )
