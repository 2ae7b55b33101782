"""The tables of the format's documentation, made from the models that read it."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from mouldwright.scenario.schema import scenario_schema

_MARKED = re.compile(
    r"<!-- keys of (?P<model>\w+) -->\n(?P<table>.*?)<!-- end of keys -->", re.DOTALL
)


def documented_models() -> tuple[str, ...]:
    """Return the names of all models a scenario is made of."""
    return ("Scenario", *sorted(scenario_schema()["$defs"]))


def models_in(text: str) -> tuple[str, ...]:
    """Return the models whose keys a document shows, in its order."""
    return tuple(found["model"] for found in _MARKED.finditer(text))


def fill_tables(text: str) -> str:
    """Return a document with every table between its marks made anew.

    Raises:
        KeyError: if a mark names no model.
    """
    schema = scenario_schema()
    tables = {"Scenario": schema, **schema["$defs"]}

    def filled(found: re.Match[str]) -> str:
        name = found["model"]
        return f"<!-- keys of {name} -->\n{_table(tables[name])}<!-- end of keys -->"

    return _MARKED.sub(filled, text)


def _table(model: Mapping[str, Any]) -> str:
    rows = [
        "| key | what to write | unit | if left out | meaning |",
        "| --- | --- | --- | --- | --- |",
    ]
    required = set(model.get("required", ()))
    for key, described in model.get("properties", {}).items():
        cells = (
            f"`{key}`",
            _words(described),
            described.get("unit", ""),
            "must be written" if key in required else _default(described),
            described.get("description", ""),
        )
        rows.append("| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |")
    return "\n".join(rows) + "\n"


def _default(described: Mapping[str, Any]) -> str:
    default = described["default"]
    if default is None:
        return "unset"
    if default == {} and "$ref" in described:
        return "its own keys' defaults"
    if default in ([], {}, ""):
        return "none"
    return f"`{json.dumps(default, ensure_ascii=False)}`"


def _words(described: Mapping[str, Any]) -> str:
    if "words" in described:
        return str(described["words"])
    if "$ref" in described:
        return _linked(described["$ref"])
    if "const" in described:
        return f"`{json.dumps(described['const'])}`"
    if "enum" in described:
        return " or ".join(f"`{json.dumps(value)}`" for value in described["enum"])
    options = [
        option
        for option in (*described.get("anyOf", ()), *described.get("oneOf", ()))
        if option.get("type") != "null"
    ]
    if options:
        return " or ".join(dict.fromkeys(_words(option) for option in options))
    if described.get("type") == "array":
        return f"list of {_words(described.get('items', {}))}"
    if described.get("type") == "object":
        return f"table of {_words(described.get('additionalProperties', {}))} by key"
    return {"boolean": "`true` or `false`", "string": "text"}.get(
        str(described.get("type")), str(described.get("type"))
    )


def _linked(reference: str) -> str:
    name = reference.rpartition("/")[2]
    return f"[{name}](#{name.lower()})"
