"""Numbers as files and requests may write them, with their limits and their words.

A number arrives as an integer, a decimal or a float and leaves as exactly what was
written: a decimal where it is counted or paid, a float where it is geometry.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

LARGEST_QUANTITY = 100_000


def wrong(problem: str, remedy: str, *, key: str = "") -> PydanticCustomError:
    """Return the error for a value that cannot be right.

    Args:
        problem: What is wrong, a sentence.
        remedy: What would be right, a sentence.
        key: The key at fault below the place where the check stands.
    """
    context = {"problem": problem, "remedy": remedy, "key": key}
    return PydanticCustomError("wrong", "{problem}", context)


def plain(number: Decimal | float | int) -> str:
    """Return a number without exponent and without needless zeros."""
    text = f"{Decimal(repr(number)) if isinstance(number, float) else Decimal(number):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


@dataclass(frozen=True, slots=True)
class Number:
    """Limits on a number.

    Attributes:
        into: The type it becomes.
        example: One that would be right.
        rounded: How parts of a unit are dropped where only whole ones count;
            None refuses them.
    """

    into: Literal["float", "decimal", "whole"]
    example: str
    at_least: float | None = None
    above: float | None = None
    at_most: float | None = None
    below: float | None = None
    rounded: Literal["down", "up"] | None = None

    @property
    def words(self) -> str:
        """Return the type and its limits, as the documentation shows them."""
        kind = "whole number" if self.into == "whole" and not self.rounded else "number"
        limits = [
            f"{sign} {plain(limit)}"
            for sign, limit in (
                ("≥", self.at_least),
                (">", self.above),
                ("≤", self.at_most),
                ("<", self.below),
            )
            if limit is not None
        ]
        return f"{kind} {' and '.join(limits)}" if limits else kind

    def read(self, value: Any) -> Any:
        """Return the number, or raise the error that says what to write."""
        remedy = f"Write a {self.words}, such as {self.example}."
        if isinstance(value, str) and re.fullmatch(r"\s*-?\d+(\.\d+)?\s*", value):
            raise wrong("a number stands here without quotes.", f"Write {value.strip()}.")
        if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
            raise wrong("this is not a number.", remedy)
        exact = Decimal(repr(value)) if isinstance(value, float) else Decimal(value)
        if not exact.is_finite():
            raise wrong("this is not a finite number.", remedy)
        if self._outside(exact):
            remedy = f"Write one such as {self.example}."
            if self.at_most == 1 or self.below == 1:
                percent = exact if 1 < exact <= 100 else Decimal(self.example) * 100
                share = plain((percent / 100).normalize())
                fits = not self._outside(percent / 100)
                remedy += f" {plain(percent)} % is written {share}." if fits else ""
            raise wrong(f"this must be a {self.words}.", remedy)
        if self.into == "whole":
            return self._whole(exact, remedy)
        return float(exact) if self.into == "float" else exact

    def _outside(self, exact: Decimal) -> bool:
        return (
            (self.at_least is not None and exact < Decimal(repr(self.at_least)))
            or (self.above is not None and exact <= Decimal(repr(self.above)))
            or (self.at_most is not None and exact > Decimal(repr(self.at_most)))
            or (self.below is not None and exact >= Decimal(repr(self.below)))
        )

    def _whole(self, exact: Decimal, remedy: str) -> int:
        whole = int(exact)  # towards zero; whole numbers here are never negative
        if whole == exact and (self.rounded or exact.as_tuple().exponent == 0):
            return whole
        if self.rounded == "down":
            return whole
        if self.rounded == "up":
            return whole if whole == exact else whole + 1
        if whole == exact:
            raise wrong("a whole number has no decimals.", f"Write {whole}.")
        raise wrong("this must be a whole number.", remedy)

    def __get_pydantic_core_schema__(
        self, _source: Any, _handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        """Validate with ``read``."""
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, _schema: CoreSchema, _handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """Declare what is really accepted."""
        whole = self.into == "whole" and not self.rounded
        limits = {
            "minimum": self.at_least,
            "exclusiveMinimum": self.above,
            "maximum": self.at_most,
            "exclusiveMaximum": self.below,
        }
        return {
            "type": "integer" if whole else "number",
            **{word: limit for word, limit in limits.items() if limit is not None},
            "words": self.words,
        }


class MoneyText:
    """Money, written as a string so that no cent is lost on the way."""

    words = "money, as a string"

    def read(self, value: Any) -> Decimal:
        """Return the amount, or raise the error that shows the string to write."""
        if isinstance(value, int | float | Decimal) and not isinstance(value, bool):
            amount = Decimal(repr(value)) if isinstance(value, float) else Decimal(value)
            shown = f"{amount:f}" if amount.is_finite() and amount >= 0 else "15.00"
            raise wrong("money is written as a string.", f'Write "{shown}", in quotes.')
        if not isinstance(value, str):
            raise wrong("this is not money.", 'Write an amount in quotes, such as "15.00".')
        if not re.fullmatch(r"[0-9]+(\.[0-9]+)?", value):
            point = value.strip().replace(",", ".")
            if re.fullmatch(r"[0-9]+(\.[0-9]+)?", point):
                raise wrong("money has a decimal point and no spaces.", f'Write "{point}".')
            if re.fullmatch(r"-[0-9]+(\.[0-9]+)?", point):
                raise wrong("an amount of money cannot be negative.", 'Write "0.00" or more.')
            raise wrong(
                "this is not an amount of money.",
                'Write digits with a decimal point, in quotes and without the currency: "15.00".',
            )
        return Decimal(value)

    def __get_pydantic_core_schema__(
        self, _source: Any, _handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        """Validate with ``read``, and write it as a string."""
        return core_schema.no_info_plain_validator_function(
            self.read,
            serialization=core_schema.plain_serializer_function_ser_schema(
                lambda amount: f"{amount:f}"
            ),
        )

    def __get_pydantic_json_schema__(
        self, _schema: CoreSchema, _handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """Declare the string."""
        return {
            "type": "string",
            "pattern": r"^[0-9]+(\.[0-9]+)?$",
            "examples": ["15.00"],
            "words": self.words,
        }


Money = Annotated[Decimal, MoneyText()]

# Geometry and physics.
Above = Annotated[float, Number("float", "12.5", above=0)]
NotBelow = Annotated[float, Number("float", "0.5", at_least=0)]
Anywhere = Annotated[float, Number("float", "0.3")]
Share = Annotated[float, Number("float", "0.55", at_least=0, at_most=1)]
ShareAbove = Annotated[float, Number("float", "0.8", above=0, at_most=1)]
ShareBelow = Annotated[float, Number("float", "0.02", at_least=0, below=1)]
PoissonRatio = Annotated[float, Number("float", "0.35", above=-1, at_most=0.5)]

# Counted and paid: exact.
Amount = Annotated[Decimal, Number("decimal", "12.5", at_least=0)]
AmountAbove = Annotated[Decimal, Number("decimal", "12.5", above=0)]
Rate = Annotated[Decimal, Number("decimal", "0.24", at_least=0, below=1)]
Extra = Annotated[Decimal, Number("decimal", "0.38", at_least=0)]
Part = Annotated[Decimal, Number("decimal", "0.4", at_least=0, at_most=1)]
Chance = Annotated[Decimal, Number("decimal", "0.94", above=0, at_most=1)]
Portion = Annotated[Decimal, Number("decimal", "0.03", above=0, below=1)]

# Temperatures, below freezing too.
Degrees = Annotated[Decimal, Number("decimal", "18", at_least=-60, at_most=400)]

# Counts.
Whole = Annotated[int, Number("whole", "0", at_least=0)]
Count = Annotated[int, Number("whole", "1", at_least=1)]
Quantity = Annotated[int, Number("whole", "24", at_least=1, at_most=LARGEST_QUANTITY)]

# Whole minutes of limits: parts of a minute go to the safe side.
MinutesDown = Annotated[int, Number("whole", "40", at_least=0, rounded="down")]
MinutesUp = Annotated[int, Number("whole", "40", at_least=0, rounded="up")]


def money_text(amount: Decimal | None) -> str | None:
    """Return an amount as it is written, without its quotes."""
    return None if amount is None else f"{amount:f}"
