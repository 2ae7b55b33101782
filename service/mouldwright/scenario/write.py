"""Writing a shop as a scenario text that reads back to an equal shop.

Only what differs from a default is written. The texts of files, comments and the names of
coordinate files are not kept: coordinates are written as points.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from mouldwright.domain.record.log import LogEntry
from mouldwright.domain.shop import Shop
from mouldwright.wire.log import LogEntry as WrittenEntry
from mouldwright.wire.scenario import Scenario

# Lists that get a [[table]] an entry; all other lists and tables below a name stand in its line.
_ENTRIES = {"operations", "offers"}


def write_scenario(shop: Shop) -> str:
    """Return the shop as one TOML text."""
    written = Scenario.of(shop).model_dump(by_alias=True, exclude_defaults=True)
    lines: list[str] = ["format = 1"]
    itself = dict(written.pop("shop"))
    hours = itself.pop("hours")
    lines += ["", "[shop]", *_pairs(itself), "", "[shop.hours]", *_pairs(hours)]
    orders = written.pop("orders", [])
    stock = written.pop("stock", {})
    log = written.pop("log", [])
    for section, tables in written.items():
        for key, table in tables.items():
            lines += ["", *_table((section, key), table)]
    if stock:
        lines += ["", "[stock]", *_pairs(stock)]
    for order in orders:
        lines += ["", "[[orders]]", *_pairs(order)]
    for entry in log:
        lines += ["", "[[log]]", *_pairs(entry)]
    return "\n".join(lines) + "\n"


def write_log_entry(entry: LogEntry) -> str:
    """Return one entry of the log as it stands in a scenario."""
    written = WrittenEntry.of(entry).model_dump(by_alias=True, exclude_defaults=True)
    return "\n".join(["[[log]]", *_pairs(written)]) + "\n"


def write_entry(entry: Mapping[str, Any]) -> str:
    """Return one entry alone as TOML: its own keys at the margin, its lists of tables below."""
    lines = list(_pairs({k: v for k, v in entry.items() if k not in _ENTRIES}))
    for below in sorted(_ENTRIES & set(entry)):
        for each in entry[below]:
            lines += ["", f"[[{below}]]", *_pairs(each)]
    return "\n".join(lines) + "\n" if lines else ""


def _table(path: tuple[str, ...], table: Mapping[str, Any]) -> Iterator[str]:
    name = ".".join(_key(part) for part in path)
    yield f"[{name}]"
    yield from _pairs({k: v for k, v in table.items() if k not in _ENTRIES})
    for below in sorted(_ENTRIES & set(table)):
        for entry in table[below]:
            yield ""
            yield f"[[{name}.{below}]]"
            yield from _pairs(entry)


def _pairs(table: Mapping[str, Any]) -> Iterator[str]:
    for key, value in table.items():
        yield f"{_key(key)} = {_value(value)}"


def _key(key: str) -> str:
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else _text(key)


def _text(text: str) -> str:
    # JSON's escapes are TOML's too; only the delete character needs one here and not there.
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007F")


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, date):
        return f'"{value.isoformat()}"'
    if isinstance(value, Mapping):
        inside = ", ".join(_pairs(value))
        return f"{{ {inside} }}" if inside else "{}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(_value(item) for item in value)}]"
    return repr(value)
