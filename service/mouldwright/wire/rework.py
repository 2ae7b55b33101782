"""Rework as it is written down: what is done to parts that fail and can be mended."""

from __future__ import annotations

from decimal import Decimal

from mouldwright.domain.process.rework import Rework as DomainRework
from mouldwright.wire.model import Model, Text, key
from mouldwright.wire.numbers import Count, Money, Rate, money_text, wrong
from mouldwright.wire.operation import Operation


class Rework(Model):
    """What is done to parts that fail and can be mended: fill, cure, sand, coat again."""

    name: Text = key("Its name, one of a kind within the process.")
    found_at: Text = key("Operation at whose end they are found; the rework follows it.")
    share: Rate = key("Share of parts that need it, above 0.")
    share_again: Rate | None = key(
        "Share of those reworked that need it once more; left out, the same share.", default=None
    )
    most_rounds: Count = key(
        "Rounds at most; a part that still needs one after them is scrap.", default=1
    )
    cost_each: Money = key("What a round uses up, for each part.", default=Decimal(0))
    operations: list[Operation] = key("One round, in order.")

    def model_post_init(self, _context: object) -> None:
        """Want a share, and at least one operation."""
        if not self.share:
            raise wrong("no part would ever need it.", "Write 0.1 for one in ten.", key="share")
        if not self.operations:
            raise wrong("the rework has no operations.", "Name at least one.", key="operations")

    def rework(self) -> DomainRework:
        """Return the rework."""
        return DomainRework(
            name=self.name,
            found_at=self.found_at,
            share=self.share,
            share_again=self.share_again,
            most_rounds=self.most_rounds,
            cost_each=self.cost_each,
            operations=tuple(o.operation() for o in self.operations),
        )

    @classmethod
    def of(cls, rework: DomainRework) -> Rework:
        """Return the rework as it would be written."""
        return cls.written(
            name=rework.name,
            found_at=rework.found_at,
            share=rework.share,
            share_again=rework.share_again,
            most_rounds=rework.most_rounds,
            cost_each=money_text(rework.cost_each),
            operations=[Operation.of(o) for o in rework.operations],
        )
