"""How cost becomes price, as it is written down."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Literal

from mouldwright.domain import shop as domain
from mouldwright.wire.model import Model, Text, key
from mouldwright.wire.numbers import (
    Chance,
    Count,
    Extra,
    Money,
    Part,
    Rate,
    Whole,
    money_text,
    plain,
    wrong,
)


class Instalment(Model):
    """A share of what is to pay, and when it falls due."""

    of_gross: Chance = key("Share of what is to pay, tax and all.")
    when: Text = key("In words: on ordering, when half is made, 30 days after delivery.")


class Discount(Model):
    """What is taken off for a class of customer."""

    who: Text = key("The class: trade, club, school.")
    of_goods: Rate = key("Share of the price of the goods.")


class RushTier(Model):
    """What haste costs from so many days on."""

    days_sooner: Count = key(
        "From so many calendar days before the date at the ordinary pace on.", unit="days"
    )
    surcharge: Extra = key("Share of the price of what is hurried.")


class Price(Model):
    """How cost becomes price."""

    rule: Literal["margin", "mark-up"] = key(
        '"margin" is a share of the price, "mark-up" a share of the cost.', default="margin"
    )
    rate: Extra = key("That share; a margin is below 1.", default=Decimal(0))
    least_order: Money = key(
        "Net amount to which a smaller order is topped up.", default=Decimal(0)
    )
    tax_rate: Extra = key("Tax, as a share of the net.", default=Decimal(0))
    deposit_rate: Part = key("Share of the gross asked before work starts.", default=Decimal(0))
    tax_on: Literal["total", "lines"] = key(
        "Whether tax is rounded once on the net, or on each line and added up.", default="total"
    )
    tax_included: bool = key(
        "Whether prices are stated with their tax; the net is then derived from them.",
        default=False,
    )
    discounts: list[Discount] = key("What is taken off, by class of customer.", default=[])
    rush: list[RushTier] = key(
        "What haste costs, by how many days sooner than the ordinary date; left out, nothing is "
        "hurried.",
        default=[],
    )
    shared_set_up: Literal["kept", "given"] = key(
        "Whether what an order saves by sharing mixes, plates and loads with booked ones is kept "
        "or taken off the customer's price.",
        default="kept",
    )
    instalments: list[Instalment] = key(
        "How the gross is paid, the first the deposit; shares come to 1. Left out: a deposit by "
        "deposit_rate, the rest on delivery.",
        default=[],
    )
    payment_fee_rate: Rate = key(
        "What being paid costs, as a share of the gross; recovered in the price.",
        default=Decimal(0),
    )
    valid_days: Whole = key("How long a quote stands.", default=30, unit="days")
    breaks: list[Count] = key("Quantities a quote shows.", default=[1, 5, 10, 25, 50, 100])

    def model_post_init(self, _context: object) -> None:
        """Refuse a margin of the whole price."""
        if self.rule == "margin" and self.rate >= 1:
            percent = plain((self.rate / 100).normalize())
            raise wrong(
                "a margin is a share of the price, so it is below 1.",
                (f"{plain(self.rate)} % is written {percent}. " if 1 < self.rate < 100 else "")
                + 'Write a rate below 1, or rule = "mark-up" for a share of the cost.',
                key="rate",
            )
        if self.instalments and sum(each.of_gross for each in self.instalments) != 1:
            shares = sum((each.of_gross for each in self.instalments), Decimal(0))
            raise wrong(
                f"the shares come to {plain(shares)}.",
                "Write shares that come to 1, such as 0.25, 0.25 and 0.5.",
                key="instalments",
            )
        if self.instalments and self.deposit_rate:
            raise wrong(
                "with instalments the first of them is the deposit.",
                "Leave one of deposit_rate and instalments out.",
                key="deposit_rate",
            )
        _want_different([each.who for each in self.discounts], "discounts", "class of customer")
        days = [each.days_sooner for each in self.rush]
        _want_different(days, "rush", "number of days")

    @classmethod
    def of(cls, price: domain.PricePolicy) -> Price:
        """Return it as it would be written."""
        return cls.written(
            rule=price.rule,
            rate=price.rate,
            least_order=money_text(price.least_order),
            tax_rate=price.tax_rate,
            deposit_rate=price.deposit_rate,
            tax_on=price.tax_on,
            tax_included=price.tax_included,
            discounts=[
                Discount.written(who=each.who, of_goods=each.of_goods) for each in price.discounts
            ],
            rush=[
                RushTier.written(days_sooner=each.days_sooner, surcharge=each.surcharge)
                for each in price.rush
            ],
            shared_set_up=price.shared_set_up,
            instalments=[
                Instalment.written(of_gross=each.share, when=each.when)
                for each in price.instalments
            ],
            payment_fee_rate=price.payment_fee_rate,
            valid_days=price.valid_days,
            breaks=list(price.breaks),
        )

    def policy(self) -> domain.PricePolicy:
        """Return the domain's value."""
        written = dict(self)
        return domain.PricePolicy(
            **{
                **written,
                "breaks": tuple(self.breaks),
                "discounts": tuple(domain.Discount(**dict(each)) for each in self.discounts),
                "rush": tuple(domain.RushTier(**dict(each)) for each in self.rush),
                "instalments": tuple(
                    domain.Instalment(share=each.of_gross, when=each.when)
                    for each in self.instalments
                ),
            }
        )


def _want_different(names: Sequence[object], key: str, what: str) -> None:
    twice = next((name for at, name in enumerate(names) if name in names[:at]), None)
    if twice is not None:
        raise wrong(f"{twice} is there twice.", f"Write each {what} once.", key=key)
