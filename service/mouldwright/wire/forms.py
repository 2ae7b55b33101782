"""The keys of an entry as fields to fill in, made from the models that read it.

A page that lays these out offers every key of the format, and a key that is added is offered
the day it is there.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, Literal

from mouldwright.wire.model import Model
from mouldwright.wire.scenario import Scenario

Kind = (
    Literal["text", "number", "whole", "money", "tick", "choice"]
    | Literal["lines", "day", "pairs", "points", "loops", "place", "range"]
    | Literal["table", "kinds", "tables", "tally", "map"]
)
# What a list or a pattern is called in the schema, and how it is filled in.
_BY_WORDS: dict[str, Kind] = {
    "money, as a string": "money",
    "list of openings": "day",
    "list of [packs, money] pairs": "pairs",
    "list of [x, y] pairs": "points",
    "list of [load, deflection] pairs": "points",
    "[x, y]": "place",
    "[least, most]": "range",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class FormField:
    """One key, or a whole entry.

    Attributes:
        name: The key as written.
        kind: How it is filled in: a "table" holds fields, "kinds" one of several tables told
            apart by ``tag``, "tables" a list of tables, "tally" a whole number or such a list,
            "map" a value to each key, "lines" a list of texts or whole numbers.
        meaning: What it says, a sentence.
        unit: Empty for none.
        words: What is accepted, in plain words; empty where the kind says it.
        default: What holds where it is left empty.
        is_needed: Whether it must be filled in.
        is_share: Whether it is a part of one, so that per cent may be written.
        choices: The words to choose from.
        fields: Of a table, and of each table of a list.
        tag: The key that tells the tables of "kinds" apart.
        tables: The fields of each of them, by that key's word.
        each: What a list or map holds.
    """

    name: str
    kind: Kind
    meaning: str = ""
    unit: str = ""
    words: str = ""
    default: Any = None
    is_needed: bool = False
    is_share: bool = False
    choices: tuple[str, ...] = ()
    fields: tuple[FormField, ...] = ()
    tag: str = ""
    tables: Mapping[str, tuple[FormField, ...]] = field(default_factory=dict)
    each: FormField | None = None

    def below(self, name: str) -> FormField:
        """Return one field of a table. Raises KeyError where there is none."""
        for each in self.fields:
            if each.name == name:
                return each
        raise KeyError(name)


@lru_cache(1)
def _whole() -> FormField:
    schema = Scenario.model_json_schema(by_alias=True, mode="validation")
    return _Reader(schema["$defs"]).table("", {**schema, "title": "Scenario"})


def form_of(section: str) -> FormField:
    """Return what is filled in for one entry of a section of a scenario.

    Args:
        section: "people", "parts" and so on give an entry; "shop" and "orders" the whole.

    Raises:
        KeyError: if a scenario has no such section.
    """
    found = _whole().below(section)
    return found.each if found.kind == "map" and found.each else found


class _Reader:
    """Reads fields out of a schema."""

    def __init__(self, tables: Mapping[str, Any]) -> None:
        self._tables = tables
        self._models = {model.__name__: model for model in _models(Model)}

    def table(self, name: str, schema: Mapping[str, Any]) -> FormField:
        return FormField(
            name=name,
            kind="table",
            meaning=schema.get("description", ""),
            fields=self._fields(schema),
        )

    def _fields(self, schema: Mapping[str, Any]) -> tuple[FormField, ...]:
        needed = schema.get("required", ())
        model = self._models.get(schema.get("title", ""))
        # Beside a reference with a default the schema loses what a key means.
        known = model.model_fields if model else {}
        said = {info.alias or n: info.description or "" for n, info in known.items()}
        return tuple(
            self.read(name, below, said=said.get(name, ""), is_needed=name in needed)
            for name, below in schema.get("properties", {}).items()
        )

    def read(
        self, name: str, schema: Mapping[str, Any], *, said: str = "", is_needed: bool = False
    ) -> FormField:
        shared: dict[str, Any] = {
            "name": name,
            "meaning": schema.get("description", "") or said,
            "unit": schema.get("unit", ""),
            "default": schema.get("default"),
            "is_needed": is_needed,
        }
        options = [s for s in schema.get("anyOf", ()) if s.get("type") != "null"]
        if len(options) == 1:
            schema = {**options[0], **{k: v for k, v in schema.items() if k != "anyOf"}}
        if "$ref" in schema:
            fields = self._fields(self._at(schema["$ref"]))
            return FormField(kind="table", fields=fields, **shared)
        if "discriminator" in schema:
            return self._kinds(schema, shared)
        if "oneOf" in schema:  # a number, or a list of tables
            listed = next(s for s in schema["oneOf"] if s.get("type") == "array")
            fields = self._fields(self._at(listed["items"]["$ref"]))
            return FormField(kind="tally", fields=fields, **shared)
        if schema.get("type") == "object":
            each = self.read("", schema["additionalProperties"])
            return FormField(kind="map", each=each, **shared)
        if schema.get("type") == "array":
            return self._list(schema, shared)
        return _single(schema, shared)

    def _kinds(self, schema: Mapping[str, Any], shared: dict[str, Any]) -> FormField:
        told = schema["discriminator"]
        tables = {word: self._fields(self._at(ref)) for word, ref in told["mapping"].items()}
        return FormField(kind="kinds", tag=told["propertyName"], tables=tables, **shared)

    def _list(self, schema: Mapping[str, Any], shared: dict[str, Any]) -> FormField:
        items = schema.get("items", {})
        words = schema.get("words", "")
        if words in _BY_WORDS:
            return FormField(kind=_BY_WORDS[words], words=words, **shared)
        if "$ref" in items:
            return FormField(kind="tables", fields=self._fields(self._at(items["$ref"])), **shared)
        if items.get("words") == "list of [x, y] pairs":
            return FormField(kind="loops", **shared)
        return FormField(kind="lines", each=self.read("", items), **shared)

    def _at(self, reference: str) -> Mapping[str, Any]:
        found: Mapping[str, Any] = self._tables[reference.rpartition("/")[2]]
        return found


def _single(schema: Mapping[str, Any], shared: dict[str, Any]) -> FormField:
    words = schema.get("words", "")
    numbers = [schema, *schema.get("anyOf", ())]
    most = next((s[k] for s in numbers for k in ("maximum", "exclusiveMaximum") if k in s), None)
    kind: Kind = "text"
    if "enum" in schema or "const" in schema:
        kind = "choice"
    elif words in _BY_WORDS:
        kind = _BY_WORDS[words]
    elif schema.get("type") == "boolean":
        kind = "tick"
    elif schema.get("type") == "integer":
        kind = "whole"
    elif any(s.get("type") == "number" for s in numbers):
        kind = "number"
    name = shared["name"]
    return FormField(
        kind=kind,
        words=words,
        # What has a unit is a measure, however its sentence speaks of shares.
        is_share=kind == "number"
        and not shared["unit"]
        and (most == 1 or "share" in f"{name} {shared['meaning'].lower()}"),
        choices=tuple(schema.get("enum", (schema["const"],) if "const" in schema else ())),
        **shared,
    )


def _models(model: type[Model]) -> list[type[Model]]:
    below = model.__subclasses__()
    return [*below, *(further for each in below for further in _models(each))]
