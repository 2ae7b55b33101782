"""Shops as they are kept and sent: the scenario as JSON, and as TOML to hand out.

A kept document says what every key held, defaults too, so that it means the same when a
later version of the program takes another default.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from functools import lru_cache
from typing import Any

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.shop import Shop
from mouldwright.scenario.document import Document
from mouldwright.scenario.read import read_document, read_scenario_text
from mouldwright.scenario.write import write_entry, write_scenario
from mouldwright.wire.json_text import json_text
from mouldwright.wire.scenario import Scenario


class KeptScenarios:
    """Turns a shop into a document and back; see ``usecases.ports.Written``."""

    def __init__(self, *, remembered: int = 64) -> None:
        """Remember so many shops that were read: a document says the same each time."""
        self._read = lru_cache(remembered)(self._read_afresh)

    def read(self, document: str) -> Shop:
        """Return the shop of a document, as kept or as sent.

        Raises:
            InvalidInput: if anything in it is wrong; carries every fault.
        """
        return self._read(document)

    @staticmethod
    def _read_afresh(document: str) -> Shop:
        return read_document(Document(root=_table_of(document)), None).shop

    def edited(self, document: str, section: str, key: str, entry: str | None) -> Shop:
        """Return the shop of a document with one entry put in, put anew or taken out.

        Args:
            document: As kept.
            section: Where the entry stands, such as ``parts``.
            key: Its key there.
            entry: What it shall be, as JSON; None takes it out.

        Raises:
            InvalidInput: if anything is then wrong, there or elsewhere.
        """
        return self.changed(document, [((section, key), entry)])

    def changed(self, document: str, changes: Sequence[tuple[tuple[str, ...], str | None]]) -> Shop:
        """Return the shop of a document with what stands at some paths written anew or taken out.

        Args:
            document: As kept.
            changes: Keys that lead to each, and what it shall be, as JSON; None takes it out.

        Raises:
            InvalidInput: if anything is then wrong, there or elsewhere.
        """
        root = _table_of(document)
        for path, entry in changes:
            table = root
            for step in path[:-1]:
                table = table.setdefault(step, {})
            if entry is None:
                del table[path[-1]]
            else:
                table[path[-1]] = _json_of(entry)
        return read_document(Document(root=root), None).shop

    def entry_toml(self, document: str, path: tuple[str, ...]) -> str:
        """Return one entry of a kept document as TOML; empty where it is not there."""
        scenario = Scenario.of(self.read(document))
        node: Any = scenario.model_dump(by_alias=True, exclude_defaults=True)
        for step in path:
            node = node.get(step, {})
        return write_entry(node)

    def entry_of_toml(self, text: str) -> str:
        """Return one entry, written as TOML, as JSON. Raises InvalidInput where it is no TOML."""
        document = Document()
        document.add(text, "the text")
        if document.faults:
            raise InvalidInput(document.faults)
        try:
            return json_text(document.root)
        except TypeError:  # a time of day without quotes, which no key takes
            raise _not_json("a time of day stands in quotes") from None

    def read_toml(self, text: str) -> Shop:
        """Return the shop of a TOML text. Raises InvalidInput with every fault."""
        return read_scenario_text(text).shop

    def document(self, shop: Shop) -> str:
        """Return a shop as JSON that reads back to an equal shop, but for its log."""
        return self.whole_document(replace(shop, log=()))

    def whole_document(self, shop: Shop) -> str:
        """Return a shop as JSON that reads back to an equal shop, its log too."""
        return json_text(Scenario.of(shop).model_dump(by_alias=True))

    def toml(self, shop: Shop) -> str:
        """Return a shop as TOML that reads back to an equal shop, its log too."""
        return write_scenario(shop)


def _table_of(document: str) -> dict[str, Any]:
    root = _json_of(document)
    if not isinstance(root, dict):
        raise _not_json("a table of keys belongs here")
    return root


def _json_of(text: str) -> Any:
    try:
        # Decimals, so that 0.24 stays 0.24.
        return json.loads(text, parse_float=Decimal, parse_constant=_refuse)
    except (ValueError, RecursionError) as error:
        raise _not_json(str(error)) from None


def _refuse(constant: str) -> Any:
    raise ValueError(f"{constant} is not a number")


def _not_json(said: str) -> InvalidInput:
    return InvalidInput(
        [
            Fault(
                path="",
                value="",
                problem=f"this is not a scenario in JSON: {said}.",
                remedy="Send an object with the keys of the scenario format.",
            )
        ]
    )
