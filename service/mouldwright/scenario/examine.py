"""A document held against the contract: every fault at once, and what is right besides.

A fault must not hide another. So each faulty key, or the table around it where it cannot
do without, is taken out of a copy and the rest is examined again until it is right; what
is left is still checked against itself. Nothing made from such a copy is handed out as a
shop: the faults are raised.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Any

from pydantic import ValidationError

from mouldwright.domain.errors import Fault, nearest
from mouldwright.scenario.document import Document, shown_path, shown_paths, shown_value
from mouldwright.scenario.lines import KeyPath
from mouldwright.scenario.near_keys import near_key
from mouldwright.wire.keys import fields_at
from mouldwright.wire.scenario import Scenario

# What stands for a key that the shop cannot do without, so that the rest can be examined.
_STAND_INS: dict[KeyPath, Any] = {
    ("shop",): {},
    ("shop", "name"): "?",
    ("shop", "currency"): "EUR",
    ("shop", "time_zone"): "UTC",
    ("shop", "hours"): {},
}
# The same for operations and orders, so that what names one still finds it.
_STAND_INS_OF_ENTRIES: dict[str | int, Any] = {
    "quantity": 1,
    "attended_min": 0,
    "attended_each_min": 0,
    "unattended_min": 0,
    "unattended_each_min": 0,
    "per": "part",
}
_MOST_ROUNDS = 60


@dataclass(slots=True)
class Examined:
    """What examination found.

    Attributes:
        scenario: What is right, None where nothing can be made of it.
        faults: All that is wrong.
        repaired: Paths, as written, of what was taken out.
    """

    scenario: Scenario | None
    faults: list[Fault] = field(default_factory=list)
    repaired: list[KeyPath] = field(default_factory=list)
    copy: _Copy | None = None

    def written(self, shown: str) -> tuple[str, KeyPath]:
        """Return a path shown for the copy as it stands in the document itself."""
        assert self.copy is not None
        return self.copy.written(shown)


class _Copy:
    """A copy of the document from which faulty things can be taken out.

    Tables and lists remember the path they had, so that places in lists still count as written.
    """

    def __init__(self, document: Document) -> None:
        self.document = document
        self._paths: dict[int, KeyPath] = {}
        self._kept: list[Any] = []  # an id is only good while its object lives
        self.root = self._copied(document.root, ())
        self._shown: dict[str, KeyPath] | None = None  # made once all is taken out

    def _copied(self, value: Any, path: KeyPath) -> Any:
        if isinstance(value, dict):
            made: Any = {key: self._copied(item, (*path, key)) for key, item in value.items()}
        elif isinstance(value, list):
            made = [self._copied(item, (*path, place)) for place, item in enumerate(value)]
        else:
            return value
        self._paths[id(made)] = path
        self._kept.append(made)
        return made

    def at(self, path: KeyPath) -> Any:
        node = self.root
        for segment in path:
            try:
                node = node[segment]
            except (KeyError, IndexError, TypeError):
                return None
        return node

    def original(self, path: KeyPath) -> KeyPath:
        """Return the path that something at a path of the copy has in the document."""
        node: Any = self.root
        found: KeyPath = ()
        for segment in path:
            found = (*found, segment)
            try:
                node = node[segment]
            except (KeyError, IndexError, TypeError):
                node = None
            found = self._paths.get(id(node), found) if isinstance(node, dict | list) else found
        return found

    def stand_in(self, table: KeyPath, path: KeyPath) -> bool:
        """Put something right in place of a key of an entry; return whether there is such."""
        entry = self.at(path[:-1])
        lists = {"operations", "orders"}
        named = len(path) > 2 and path[-3] in lists and isinstance(entry, dict)
        # A key that is right in itself and clashes with another is better taken out.
        clashes = table != path and named and path[-1] in entry
        if not named or clashes or path[-1] not in _STAND_INS_OF_ENTRIES:
            return False
        entry[path[-1]] = _STAND_INS_OF_ENTRIES[path[-1]]
        return True

    def take_out(self, path: KeyPath) -> None:
        """Take out a key, or an entry of a list; of a list of plain values, the whole list."""
        if path in _STAND_INS:
            self._put(path, _STAND_INS[path])
            return
        parent = self.at(path[:-1])
        if isinstance(parent, dict):
            parent.pop(path[-1], None)
        elif isinstance(parent, list) and isinstance(self.at(path), dict):
            entry = self.at(path)
            parent[:] = [item for item in parent if item is not entry]
        elif len(path) > 1:
            self.take_out(path[:-1])

    def _put(self, path: KeyPath, value: Any) -> None:
        parent = self.at(path[:-1])
        if isinstance(parent, dict):
            parent[path[-1]] = self._copied(value, path)
        else:
            self.take_out(path[:-1])

    def written(self, shown: str) -> tuple[str, KeyPath]:
        if self._shown is None:
            self._shown = shown_paths(self.root)
        around = shown
        while around and around not in self._shown:
            around = around[: max(around.rfind("."), around.rfind("["), 0)]
        original = self.original(self._shown.get(around, ()))
        return shown_path(self.document.root, original) + shown[len(around) :], original


def examine(document: Document) -> Examined:
    """Hold a document against the contract and gather every fault."""
    copy = _Copy(document)
    found = Examined(scenario=None, copy=copy)
    for _ in range(_MOST_ROUNDS):
        try:
            found.scenario = Scenario.model_validate(copy.root)
        except ValidationError as error:
            _gather(found, copy, error)
        else:
            break
    return found


def _gather(found: Examined, copy: _Copy, error: ValidationError) -> None:
    earlier = tuple(found.repaired)
    out: list[KeyPath] = []
    listed: list[Any] = list(error.errors(include_url=False))
    misspelt = _misspelt(copy, listed)
    for details in listed:
        table, path = _paths(copy, details)
        original = copy.original(path)
        follows = _follows(earlier, copy.original(table), original, details["type"])
        if path not in misspelt and not follows:
            found.faults.append(_fault(copy, details, path, original))
        found.repaired.append(original)
        if copy.stand_in(table, path):
            continue
        out.append(_culprit(copy, table, path))
        found.repaired.append(copy.original(out[-1]))
    # From the end, so that the places of entries still to be taken out stay as they are.
    for path in sorted(set(out), key=lambda p: [str(s).zfill(9) for s in p], reverse=True):
        copy.take_out(path)


def _misspelt(copy: _Copy, listed: list[Any]) -> set[KeyPath]:
    """Return the missing keys that stand there under a name close to theirs."""
    missing = {_paths(copy, d)[1] for d in listed if d["type"] == "missing"}
    unknown = [_paths(copy, d)[1] for d in listed if d["type"] == "extra_forbidden"]
    return {
        path
        for path in missing
        for other in unknown
        if other[:-1] == path[:-1] and get_close_matches(str(other[-1]), [str(path[-1])])
    }


def _paths(copy: _Copy, details: Any) -> tuple[KeyPath, KeyPath]:
    """Return the path of the thing examined and of the key at fault, in the copy.

    Kinds of tables ("naca4", "mix") stand in the location without being written as keys.
    """
    path: KeyPath = ()
    node: Any = copy.root
    last = len(details["loc"]) - 1
    for n, segment in enumerate(details["loc"]):
        known = segment in node if isinstance(node, dict) else isinstance(node, list)
        if known and not (isinstance(node, list) and isinstance(segment, str)):
            path, node = (*path, segment), node[segment]
        elif n == last and details["type"] == "missing":
            path = (*path, segment)
    key = details.get("ctx", {}).get("key")
    if details["type"].startswith("union_tag"):
        key = details["ctx"]["discriminator"].strip("'")
    return path, (*path, key) if key and isinstance(node, dict) else path


def _culprit(copy: _Copy, table: KeyPath, path: KeyPath) -> KeyPath:
    """Return what to take out: the key at fault if it is there, else the table around it."""
    parent = copy.at(path[:-1])
    if path in _STAND_INS:
        return path
    if isinstance(parent, dict) and path[-1] not in parent:
        return path[:-1] if table == path else table
    return path


def _follows(earlier: tuple[KeyPath, ...], table: KeyPath, path: KeyPath, kind: str) -> bool:
    """Return whether a fault only follows from what was taken out in an earlier round."""
    return any(
        path == gone[: len(path)]
        or gone == path[: len(gone)]
        or (kind == "wrong" and table == gone[: len(table)])
        for gone in earlier
    )


def _fault(copy: _Copy, details: Any, path: KeyPath, original: KeyPath) -> Fault:
    place = copy.document.place(original)
    value = copy.at(path)
    problem, remedy = _said(copy, details, path)
    return Fault(
        path=shown_path(copy.document.root, original),
        value="" if value is None else shown_value(value),
        problem=problem,
        remedy=remedy,
        file=place.file if place else "",
        line=place.line if place else 0,
        steps=original,
    )


def _said(copy: _Copy, details: Any, path: KeyPath) -> tuple[str, str]:
    """Return the problem and the remedy in plain words."""
    context = details.get("ctx", {})
    kind = details["type"]
    known = fields_at(Scenario, copy.root, path[:-1])
    match kind:
        case "wrong":
            return context["problem"], context["remedy"]
        case "extra_forbidden":
            return "there is no such key here.", near_key(str(path[-1]), copy.at(path), known)
        case "missing":
            info = known.get(str(path[-1]))
            extra = info.json_schema_extra if info else None
            unit = extra.get("unit") if isinstance(extra, dict) else None
            named = f"{path[-1]} ({unit})" if unit else str(path[-1])
            meaning = f": {info.description}" if info and info.description else "."
            return "this key is missing.", f"Add {named}{meaning}"
        case "union_tag_not_found":
            name = context["discriminator"].strip("'")
            return f"the {name} is missing.", f"Add {name} to say which kind it is."
        case "union_tag_invalid":
            tags = [tag.strip().strip("'") for tag in context["expected_tags"].split(",")]
            return "there is no such kind.", nearest(str(context["tag"]), tags)
        case "literal_error":
            expected = context["expected"].replace(" or ", ", ").replace("'", '"')
            return "this is not one of the words known here.", f"Write one of {expected}."
        case "string_type":
            return "text is written in quotes.", f'Write "{shown_value(details["input"])}".'
        case "bool_type":
            return "this is not true or false.", "Write true or false, without quotes."
        case "list_type":
            return "a list belongs here.", "Write it in square brackets: [ ... ]."
        case "dict_type" | "model_type" | "model_attributes_type":
            return "a table of keys belongs here.", "Write it in braces: { key = value }."
    return (
        f"{details['msg'][:1].lower()}{details['msg'][1:]}.",
        "See the description of the format.",
    )
