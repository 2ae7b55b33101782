"""A post-cure as it is written down."""

from __future__ import annotations

from decimal import Decimal

from mouldwright.domain.process import heat as domain
from mouldwright.wire.model import Model, key
from mouldwright.wire.numbers import Amount, AmountAbove, wrong


class Heat(Model):
    """The recipe of a post-cure; its time follows from it."""

    hold_c: AmountAbove = key("Temperature held.", unit="°C")
    hold_min: Amount = key("For so long.", unit="min")
    ramp_c_per_h: AmountAbove = key("How fast it is heated.", unit="°C/h")
    from_c: Amount = key("Temperature it begins and ends at.", default=Decimal(20), unit="°C")
    cool_c_per_h: AmountAbove | None = key(
        "How fast it is cooled; left out, as fast as it is heated.", default=None, unit="°C/h"
    )

    def model_post_init(self, _context: object) -> None:
        """Want it hotter than it begins."""
        if self.hold_c <= self.from_c:
            raise wrong(
                f"it is not hotter than it begins, {self.from_c:f} °C.",
                f"Write more than {self.from_c:f}, or a lower from_c.",
                key="hold_c",
            )

    def heat(self) -> domain.Heat:
        """Return the recipe."""
        return domain.Heat(**dict(self))

    @classmethod
    def of(cls, heat: domain.Heat) -> Heat:
        """Return the recipe as it would be written."""
        return cls.written(
            hold_c=heat.hold_c,
            hold_min=heat.hold_min,
            ramp_c_per_h=heat.ramp_c_per_h,
            from_c=heat.from_c,
            cool_c_per_h=heat.cool_c_per_h,
        )
