"""What every model of the contract shares: no unknown keys, no guessing, words for each key."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated, Any, Self, TypeVar

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    PlainValidator,
    ValidationError,
    WithJsonSchema,
)

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.wire.numbers import wrong


class Model(BaseModel):
    """A table of known keys."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, protected_namespaces=())

    @classmethod
    def written(cls, **values: Any) -> Self:
        """Return the table whose keys are written so: money as text, lists as lists."""
        return cls.model_validate(values)


M = TypeVar("M", bound=Model)


def read_as(model: type[M], values: Mapping[str, Any]) -> M:
    """Return a table read from its keys.

    Raises:
        InvalidInput: with a fault for every key that cannot be right, by its path.
    """
    try:
        return model.model_validate(values)
    except ValidationError as error:
        raise InvalidInput([_fault_of(details) for details in error.errors()]) from None


def _fault_of(details: Any) -> Fault:
    context = details.get("ctx", {})
    return Fault(
        path=".".join(str(step) for step in details["loc"]),
        value=str(details.get("input", ""))[:80],
        problem=context.get("problem", f"{str(details['msg']).lower()}."),
        remedy=context.get("remedy", "See the description of the format."),
    )


def key(meaning: str, *, default: Any = ..., unit: str = "", name: str | None = None) -> Any:
    """Describe one key of a model.

    Args:
        meaning: What it says, for the documentation and the schema.
        default: What holds where it is not written; left out, the key must be written.
        unit: The unit, empty for none.
        name: The key as written, where the language keeps the word for itself.
    """
    extra: dict[str, Any] | None = {"unit": unit} if unit else None
    return Field(default, description=meaning, alias=name, json_schema_extra=extra)


def title_from(name: str) -> str:
    """Return the title a key stands for: "carbon-rod-3" is "Carbon rod 3"."""
    words = re.sub(r"[-_]+", " ", name).strip()
    return words[:1].upper() + words[1:]


def _key(name: str) -> str:
    if not re.fullmatch(r"\w[\w-]*", name):
        raise wrong(
            "a key is made of letters, digits, hyphens and underscores.",
            f"Write {re.sub(r'[^0-9A-Za-z_-]+', '-', name).strip('-') or 'a-key'}.",
        )
    return name


def _text(value: Any) -> str:
    if not isinstance(value, str):
        shown = str(value).lower() if isinstance(value, bool) else str(value)
        raise wrong("text is written in quotes.", f'Write "{shown}".')
    if not value.strip():
        raise wrong("this is empty.", "Write at least one letter or digit.")
    return value


def _number_text(value: Any) -> str:
    if isinstance(value, int) and not isinstance(value, bool):
        return str(value)
    return _text(value)


# The key of a table of ours: a person, a material, a part.
Key = Annotated[str, AfterValidator(_key), WithJsonSchema({"type": "string", "words": "key"})]
# Text that says something.
Text = Annotated[
    str,
    PlainValidator(_text),
    WithJsonSchema({"type": "string", "pattern": r"\S", "words": "text"}),
]
# The number of an order or a mould: text, or a whole number read as text.
NumberText = Annotated[
    str,
    PlainValidator(_number_text),
    WithJsonSchema({"type": ["string", "integer"], "words": "text or whole number"}),
]
