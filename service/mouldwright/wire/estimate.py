"""Three-point estimates and how a shop reckons with them, as they are written down."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import PlainSerializer, PlainValidator, WithJsonSchema

from mouldwright.domain import estimate as domain
from mouldwright.wire.model import Model, key
from mouldwright.wire.numbers import Number, Part, plain, wrong

_SHAPE = "Write the least and the most: [0.8, 1.5]."


def _range(value: Any) -> tuple[Decimal, Decimal]:
    return _read_range(value, Number("decimal", "0.8", above=0))


def _range_from_nought(value: Any) -> tuple[Decimal, Decimal]:
    return _read_range(value, Number("decimal", "0.8", at_least=0))


def _read_range(value: Any, number: Number) -> tuple[Decimal, Decimal]:
    if not isinstance(value, list | tuple) or len(value) != 2:
        raise wrong("a range is a least and a most.", _SHAPE)
    least, most = number.read(value[0]), number.read(value[1])
    if least > most:
        raise wrong("the least is more than the most.", f"Write [{plain(most)}, {plain(least)}].")
    return least, most


Range = Annotated[
    tuple[Decimal, Decimal],
    PlainValidator(_range),
    PlainSerializer(list),
    WithJsonSchema(
        {
            "type": "array",
            "prefixItems": [{"type": "number", "exclusiveMinimum": 0}] * 2,
            "minItems": 2,
            "maxItems": 2,
            "words": "[least, most]",
        }
    ),
]

# Of what may be nothing at all, such as the share of air.
RangeFromNought = Annotated[
    tuple[Decimal, Decimal],
    PlainValidator(_range_from_nought),
    PlainSerializer(list),
    WithJsonSchema(
        {
            "type": "array",
            "prefixItems": [{"type": "number", "minimum": 0}] * 2,
            "minItems": 2,
            "maxItems": 2,
            "words": "[least, most]",
        }
    ),
]


def want_within(
    written: tuple[Decimal, Decimal] | None,
    likely: Decimal,
    name: str,
    *,
    most: Decimal | None = None,
) -> None:
    """Raise the error for a range that what is likely lies outside, or that goes too far."""
    if written is None:
        return
    if not written[0] <= likely <= written[1]:
        raise wrong(
            f"what is likely, {plain(likely)}, is not within it.",
            f"Write a least of at most {plain(likely)} and a most of at least {plain(likely)}.",
            key=name,
        )
    if most is not None and written[1] > most:
        raise wrong(
            f"it goes beyond {plain(most)}.", f"Write a most of at most {plain(most)}.", key=name
        )


def range_of(written: tuple[Decimal, Decimal] | None) -> domain.Range | None:
    """Return the range that was written."""
    return None if written is None else domain.Range(least=written[0], most=written[1])


def written_range(spread: domain.Range | None) -> list[Decimal] | None:
    """Return a range as it would be written."""
    return None if spread is None else [spread.least, spread.most]


class Odds(Model):
    """How the shop reckons with what is uncertain."""

    promise: Annotated[Decimal, Number("decimal", "0.8", above=0, below=1)] = key(
        "Chance with which a promised date is to be kept.", default=Decimal("0.8")
    )
    shape: Literal["pert", "triangle"] = key(
        "Shape of every estimate between its least and its most.", default="pert"
    )
    time_range: Range | None = key(
        "Least and most time of attended operations that state no range of their own, as "
        "shares of their minutes; left out, they are certain.",
        default=None,
    )
    together: Part = key(
        "How far times vary together: 0 each by itself, 1 all quick or slow at once.",
        default=Decimal(0),
    )

    def model_post_init(self, _context: object) -> None:
        """Want what is likely within the range."""
        want_within(self.time_range, Decimal(1), "time_range")

    def policy(self) -> domain.OddsPolicy:
        """Return how the shop reckons."""
        return domain.OddsPolicy(
            promise=self.promise,
            shape=self.shape,
            time_range=range_of(self.time_range),
            together=self.together,
        )

    @classmethod
    def of(cls, policy: domain.OddsPolicy) -> Odds:
        """Return it as it would be written."""
        return cls.written(
            promise=policy.promise,
            shape=policy.shape,
            time_range=written_range(policy.time_range),
            together=policy.together,
        )
