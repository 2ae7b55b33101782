"""Prices: a ladder of quantities, steps of haste and discounts that say something sensible."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from mouldwright.domain.consistency.finding import warning
from mouldwright.domain.errors import Fault
from mouldwright.domain.shop import Shop


def price_faults(shop: Shop) -> Iterator[Fault]:
    """Yield what is unwise in how cost becomes price."""
    policy = shop.price
    if any(later <= earlier for earlier, later in pairwise(policy.breaks)):
        rising = ", ".join(str(each) for each in sorted(set(policy.breaks)))
        yield warning(
            ("shop", "price", "breaks"),
            ", ".join(str(each) for each in policy.breaks),
            "the quantities of the ladder do not rise.",
            f"Write [{rising}].",
        )
    tiers = sorted(policy.rush, key=lambda tier: tier.days_sooner)
    for fewer, more in pairwise(tiers):
        if more.surcharge < fewer.surcharge:
            yield warning(
                ("shop", "price", "rush"),
                f"{more.days_sooner} days at {more.surcharge:f}",
                f"more haste costs less than {fewer.days_sooner} days at {fewer.surcharge:f}.",
                "Let what is hurried more cost no less.",
            )
    margin = policy.rate if policy.rule == "margin" else policy.rate / (1 + policy.rate)
    for each in policy.discounts:
        if each.of_goods and each.of_goods >= margin:
            yield warning(
                ("shop", "price", "discounts"),
                f"{each.who}: {each.of_goods:f}",
                f"that takes off all of the margin, {margin:.3f} of the price: sold at cost or "
                "below.",
                "Write a smaller share, or a larger rate.",
            )
