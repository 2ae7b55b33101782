"""The JSON Schema of a scenario (draft 2020-12), made from the models that read it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from mouldwright.wire.model import Model
from mouldwright.wire.scenario import Scenario

_DRAFT = "https://json-schema.org/draft/2020-12/schema"


def scenario_schema() -> dict[str, Any]:
    """Return the schema of a whole scenario.

    ``words`` and ``unit`` beside the standard keywords say in plain words what is accepted.
    """
    schema = Scenario.model_json_schema(by_alias=True, mode="validation")
    tables = {"Scenario": schema, **schema["$defs"]}
    for model in _models(Model):
        for name, info in model.model_fields.items():
            # Beside a reference with a default the description gets lost.
            described = tables.get(model.__name__, {}).get("properties", {})
            described.get(info.alias or name, {}).setdefault("description", info.description)
    for table in tables.values():
        for described in table.get("properties", {}).values():
            _plain_default(described)
    return {"$schema": _DRAFT, **schema}


def _models(model: type[Model]) -> Iterator[type[Model]]:
    for below in model.__subclasses__():
        yield below
        yield from _models(below)


def _plain_default(described: dict[str, Any]) -> None:
    """Turn a decimal's default, which comes as text, into the number to write.

    A table's default is a table left empty.
    """
    default = described.get("default")
    if isinstance(default, dict):
        described["default"] = {}
    kinds = [described.get("type"), *(o.get("type") for o in described.get("anyOf", ()))]
    if isinstance(default, str) and "string" not in kinds and "number" in kinds:
        number = float(default)
        described["default"] = int(number) if number == int(number) else number


def schema_text() -> str:
    """Return the schema as the text of its file."""
    return json.dumps(scenario_schema(), indent=2, ensure_ascii=False) + "\n"
