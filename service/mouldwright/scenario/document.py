"""TOML texts merged into one document that remembers where each key came from."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from mouldwright.domain.errors import Fault
from mouldwright.domain.key_path import entries, key_path
from mouldwright.scenario.lines import KeyPath, lines_of

# No key of the format is a tenth as deep. One of thousands of steps, which the reader would
# remember step by step for each step, takes all the memory there is; so it is looked for first.
_DEEPEST = 40
_STEP = r"""(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')"""
_TOO_DEEP = re.compile(rf"(?<![\w-]){_STEP}(?:[ \t]*+\.[ \t]*+{_STEP}){{{_DEEPEST},}}")
_WHERE = re.compile(r"\(at (?:line (\d+), column \d+|end of document)\)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A line of a file."""

    file: str
    line: int


@dataclass(slots=True, kw_only=True)
class Document:
    """What was read, as plain tables and lists.

    Attributes:
        places: Where each key stands, by its path.
        faults: Texts that are not TOML, and keys given twice.
    """

    root: dict[str, Any] = field(default_factory=dict)
    places: dict[KeyPath, Place] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def add(self, text: str, file: str) -> None:
        """Merge one text: tables join, lists of tables lengthen, any other key comes once."""
        if found := _TOO_DEEP.search(text):
            self.faults.append(_too_deep(file, text.count("\n", 0, found.start()) + 1))
            return
        try:
            # Decimals, so that 0.24 stays 0.24.
            table = tomllib.loads(text, parse_float=Decimal)
            lines = lines_of(text)
        except (tomllib.TOMLDecodeError, RecursionError) as error:
            self.faults.append(_not_toml(error, text, file))
            return
        if _deeper_than(table, _DEEPEST):
            self.faults.append(_too_deep(file, 0))
            return
        self._merge(self.root, table, (), _Origin(file=file, lines=lines))

    def place(self, path: KeyPath) -> Place | None:
        """Return where a key stands, or the nearest table around it that stands anywhere."""
        for length in range(len(path), 0, -1):
            if path[:length] in self.places:
                return self.places[path[:length]]
        return None

    def _merge(
        self, target: dict[str, Any], table: dict[str, Any], path: KeyPath, origin: _Origin
    ) -> None:
        for key, value in table.items():
            at = (*path, key)
            if key not in target:
                target[key] = value
                self._note(value, at, at, origin)
                continue
            here = target[key]
            if isinstance(here, dict) and isinstance(value, dict):
                self._merge(here, value, at, origin)
            elif _is_tables(here) and _is_tables(value):
                for place, item in enumerate(value):
                    self._note(item, (*at, place), (*at, len(here)), origin)
                    here.append(item)
            elif at != ("format",) or here != value:
                self.faults.append(self._twice(at, value, origin))

    def _note(self, value: Any, written: KeyPath, merged: KeyPath, origin: _Origin) -> None:
        if written in origin.lines:
            self.places[merged] = Place(file=origin.file, line=origin.lines[written])
        if isinstance(value, dict):
            for key, item in value.items():
                self._note(item, (*written, key), (*merged, key), origin)
        elif isinstance(value, list):
            for place, item in enumerate(value):
                self._note(item, (*written, place), (*merged, place), origin)

    def _twice(self, path: KeyPath, value: Any, origin: _Origin) -> Fault:
        first = self.place(path)
        where = f"{first.file}, line {first.line}" if first else "another file"
        return Fault(
            path=shown_path(self.root, path),
            value=shown_value(value),
            problem=f"this key is given twice, first in {where}.",
            remedy="Keep one of the two.",
            file=origin.file,
            line=origin.lines.get(path, 0),
            steps=path,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Origin:
    file: str
    lines: dict[KeyPath, int]


def _is_tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(i, dict) for i in value)


def _not_toml(error: Exception, text: str, file: str) -> Fault:
    said = str(error)
    where = _WHERE.search(said)
    line = int(where[1]) if where and where[1] else len(text.splitlines())
    said = _WHERE.sub("", said).strip() if where else said
    if isinstance(error, RecursionError):
        said = "it is nested too deeply"
    return Fault(
        path="",
        value="",
        problem=f"this is not TOML: {said[:1].lower()}{said[1:]}.",
        remedy="Look for a quote, bracket or equals sign that is missing, or a key written twice.",
        file=file,
        line=line,
    )


def shown_path(root: Any, path: KeyPath) -> str:
    """Return a path as a person would write it, entries of lists by name where they have one."""
    shown: list[str | int] = []
    node = root
    for segment in path:
        shown.append(segment)
        if isinstance(node, list) and isinstance(segment, int) and segment < len(node):
            shown[-1] = entries([_name(item) for item in node])[segment]
        try:
            node = node[segment]
        except (KeyError, IndexError, TypeError):
            node = None
    return key_path(*shown)


def shown_paths(root: Any) -> dict[str, KeyPath]:
    """Return the path of every key and entry of a document by how a person would write it."""
    found: dict[str, KeyPath] = {}

    def walk(node: Any, path: KeyPath, shown: tuple[str | int, ...]) -> None:
        if path:
            found[key_path(*shown)] = path
        if isinstance(node, dict):
            for key, item in node.items():
                walk(item, (*path, key), (*shown, key))
        elif isinstance(node, list):
            names = entries([_name(item) for item in node])
            for place, item in enumerate(node):
                walk(item, (*path, place), (*shown, names[place]))

    walk(root, (), ())
    return found


def _name(item: Any) -> str | None:
    # Entries of the log go by their places, which are their numbers.
    if not isinstance(item, dict) or "what" in item:
        return None
    for key in ("number", "name"):
        if isinstance(item.get(key), str | int):
            return str(item[key])
    return None


def shown_value(value: Any) -> str:
    """Return a value as it would be written in a file, cut short where it is long."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        text = f'"{value}"'
    elif isinstance(value, dict):
        text = "{ " + ", ".join(f"{k} = {shown_value(v)}" for k, v in value.items()) + " }"
    elif isinstance(value, list):
        text = "[" + ", ".join(shown_value(item) for item in value[:20]) + "]"
    else:
        text = f"{value:f}" if isinstance(value, Decimal) and value.is_finite() else str(value)
    return text if len(text) <= 80 else text[:77] + "..."


def _too_deep(file: str, line: int) -> Fault:
    return Fault(
        path=file,
        value="",
        problem="keys or lists are nested too deeply.",
        remedy=f"Keep to {_DEEPEST} levels; the format needs far fewer.",
        line=line,
    )


def _deeper_than(value: Any, most: int) -> bool:
    """Return whether tables and lists stand in each other more than so many times."""
    level: list[Any] = [value]
    for _ in range(most):
        level = [
            item
            for holds in level
            for item in (holds.values() if isinstance(holds, dict) else holds)
            if isinstance(item, dict | list)
        ]
        if not level:
            return False
    return True
