"""Lists of two numbers each, as they are written: corners of a loop, readings of a test."""

from __future__ import annotations

from typing import Any

from pydantic import PlainSerializer, WithJsonSchema

from mouldwright.wire.numbers import Number, wrong

# Writes pairs as the lists they are read from.
AS_LISTS = PlainSerializer(lambda pairs: [list(pair) for pair in pairs])


def pairs_from(
    value: Any, number: Number, *, what: str, whole: str, least: int, most: int, example: str
) -> tuple[tuple[float, float], ...]:
    """Return the pairs that were written.

    Args:
        value: As it was read.
        number: Reads each of the two.
        what: What the pairs are, for messages: "points".
        whole: What they make up, for messages: "a loop".
        least: How many there are at the least.
        most: And at the most.
        example: Some as they are written.
    """
    shape = f"Write pairs: {example}."
    if not isinstance(value, list) or not all(isinstance(p, list) and len(p) == 2 for p in value):
        raise wrong(f"{what} are a list of pairs.", shape)
    if not least <= len(value) <= most:
        raise wrong(f"{whole} has {least} to {most} {what}.", shape)
    return tuple((number.read(a), number.read(b)) for a, b in value)


def pairs_schema(least: int, words: str) -> WithJsonSchema:
    """Return how a list of pairs is told in a schema, in words of ours."""
    return WithJsonSchema(
        {
            "type": "array",
            "items": {
                "type": "array",
                "items": {"type": "number"},
                "minItems": 2,
                "maxItems": 2,
            },
            "minItems": least,
            "words": words,
        }
    )
