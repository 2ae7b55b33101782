from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal

from builders import MONDAY

from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.promise.revision import (
    QuoteFigures,
    QuoteInputs,
    QuoteRevision,
    differences,
)

START = minute_of(MONDAY)


def revision(**more) -> QuoteRevision:
    return QuoteRevision(
        number=7,
        revision=1,
        state="sent",
        inputs=QuoteInputs(shop_version=2, part="fin", process="pressed", quantity=12, now=START),
        figures=QuoteFigures(
            currency="EUR",
            zone="UTC",
            unit_cost=Decimal("30.00"),
            price_each=Decimal("50.00"),
            net=Decimal("600.00"),
            tax=Decimal("120.00"),
            gross=Decimal("720.00"),
            deposit=Decimal("0.00"),
            finish=START + 600,
            finish_odds=Decimal("0.9"),
            valid_until=date(2027, 3, 31),
        ),
        made_at=datetime(2027, 3, 1, tzinfo=UTC),
        moved_at=datetime(2027, 3, 1, tzinfo=UTC),
        document="{}",
        **more,
    )


def test_a_revision_does_not_differ_from_itself_nor_by_its_state_alone():
    assert differences(revision(), replace(revision(), revision=2, state="draft")) == ()


def test_what_differs_is_said_in_words_what_was_asked_first():
    before = revision()
    after = replace(
        before,
        revision=2,
        inputs=replace(before.inputs, quantity=20, shop_version=3),
        figures=replace(before.figures, net=Decimal("950.00"), finish=START + 660),
    )
    assert differences(before, after) == (
        "Quantity: was 12, is 20.",
        "Net: was EUR 600.00, is EUR 950.00.",
        # 600 and 660 minutes after midnight.
        "Ready to ship: was Mon 1 Mar 2027, 10:00, is Mon 1 Mar 2027, 11:00.",
        "Version of the shop: was 2, is 3.",
    )


def test_amounts_in_two_currencies_are_not_compared():
    before = revision()
    after = replace(before, figures=replace(before.figures, currency="USD"))
    assert differences(before, after) == ("Currency: was EUR, is USD; amounts do not compare.",)
