"""Processes as they are written down: structure, steps, holds and what is used up."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from mouldwright.domain.process import process as domain
from mouldwright.wire.model import Key, Model, Text, key, title_from
from mouldwright.wire.numbers import Above, Amount, Extra, Money, Rate, money_text, wrong
from mouldwright.wire.operation import Operation
from mouldwright.wire.rework import Rework
from mouldwright.wire.structure import Structure, structure_from, structure_of


class Hold(Model):
    """A mould or station kept from the start of one step to the end of a later one."""

    resource: Key = key('"mould", or the key of a station.')
    first: Text = key("Operation at whose start it is taken.", name="from")
    last: Text = key("Operation at whose end it is given back.", name="to")


class Consumable(Model):
    """Something used up: gloves, cups, paper."""

    name: Text = key("What it is.")
    cost: Money = key("Each time.")
    per: Literal["order", "batch", "pull", "part", "session"] = key(
        'What it is used once for; "session" is each session of the process.'
    )


class Process(Model):
    """How a part is made; the table's key is its name everywhere else."""

    title: Text | None = key("As people read it; left out, made from the key.", default=None)
    structure: Structure | None = key("What the part becomes; needed for stiffness.", default=None)
    squeeze_out: Extra = key(
        "Extra matrix loaded, as a share of the matrix in the finished part; lost as flash.",
        default=Decimal(0),
    )
    strength_mpa: Above | None = key(
        "Bending strength of parts made so, from the maker's sheet or parts broken in a test; "
        "needed where root_stress_share is asked.",
        default=None,
        unit="MPa",
    )
    weight_window: Rate = key(
        "Share by which a finished part may weigh more or less than expected of it.",
        default=Decimal("0.03"),
    )
    waste_share: Extra = key(
        "Material used and not in the part, as a share of what is loaded dry: purge, supports, "
        "trim. What is lost of a mix is stated with it, by lost_share and lost_g.",
        default=Decimal(0),
    )
    fit_to_sell: bool = key(
        "Whether parts made so may be sold to bear load, from the shop's own record.", default=True
    )
    greatest_c: Amount | None = key(
        "The hottest its parts may get; left out, no heat is too much.", default=None, unit="°C"
    )
    cautions: list[Text] = key("Cautions shown with the process.", default=[])
    consumables: list[Consumable] = key("What is used up.", default=[])
    holds: list[Hold] = key("Moulds and stations kept over several operations.", default=[])
    operations: list[Operation] = key("The operations, in order.")
    reworks: list[Rework] = key(
        "What is done to parts that fail and can be mended, on top of the operations.", default=[]
    )

    def model_post_init(self, _context: object) -> None:
        """Want at least one step of the routing, and one upkeep task at most."""
        upkeep = [o for o in self.operations if o.per == "conditioning"]
        if len(upkeep) == len(self.operations):
            raise wrong(
                "the process has no operations.",
                'Write at least one operation whose per is not "conditioning".',
                key="operations",
            )
        if len(upkeep) > 1:
            raise wrong(
                f"{' and '.join(o.name for o in upkeep)} are both conditioning.",
                "Keep one conditioning task, its minutes covering both.",
                key="operations",
            )

        rounds = {o.name for rework in self.reworks for o in rework.operations}
        for place, operation in enumerate(self.operations):
            if found := sorted(rounds.intersection(operation.after)):
                raise wrong(
                    f"{operation.name} follows {found[0]}, which only parts in rework go through.",
                    "Name the operation that finds them: what follows it follows its rework too.",
                    key=f"operations.{place}.after",
                )

    def process(self, name: str) -> domain.Process:
        """Return the process of that key, its upkeep task apart from its routing."""
        steps = [(o.per, o.operation()) for o in self.operations]
        routing = tuple(o for per, o in steps if per != "conditioning")
        reworks = tuple(rework.rework() for rework in self.reworks)
        holds = tuple(domain.Hold(**dict(hold)) for hold in self.holds)
        return domain.Process.laid_out(
            key=name,
            title=self.title or title_from(name),
            structure=structure_from(self.structure) if self.structure else None,
            operations=routing,
            holds=holds,
            reworks=reworks,
            conditioning=next((o for per, o in steps if per == "conditioning"), None),
            consumables=tuple(domain.Consumable(**dict(used)) for used in self.consumables),
            squeeze_out=self.squeeze_out,
            waste_share=self.waste_share,
            weight_window=self.weight_window,
            strength_mpa=self.strength_mpa,
            fit_to_sell=self.fit_to_sell,
            greatest_c=self.greatest_c,
            cautions=tuple(self.cautions),
        )

    @classmethod
    def of(cls, process: domain.Process) -> Process:
        """Return the process as it would be written, its upkeep task first."""
        upkeep = [process.conditioning] if process.conditioning else []
        return cls.written(
            title=None if process.title == title_from(process.key) else process.title,
            structure=structure_of(process.structure) if process.structure else None,
            squeeze_out=process.squeeze_out,
            waste_share=process.waste_share,
            weight_window=process.weight_window,
            strength_mpa=process.strength_mpa,
            fit_to_sell=process.fit_to_sell,
            greatest_c=process.greatest_c,
            cautions=list(process.cautions),
            consumables=[
                Consumable.written(name=used.name, cost=money_text(used.cost), per=used.per)
                for used in process.consumables
            ],
            holds=[
                Hold.written(resource=hold.resource, **{"from": hold.first, "to": hold.last})
                for hold in process.holds_written
            ],
            operations=[Operation.of(o) for o in (*upkeep, *process.operations_written)],
            reworks=[Rework.of(rework) for rework in process.reworks],
        )
