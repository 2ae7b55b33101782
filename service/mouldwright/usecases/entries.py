"""Single entries of a kept shop: a part, a process, a material, moulds, a bench test.

An entry is written anew, or taken out, over the version of the shop that was read, and the
whole shop is examined again: a part may not lose the process that makes it.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from mouldwright.domain.record.as_drawn import remembering
from mouldwright.usecases.errors import Stale, Unknown
from mouldwright.usecases.kept import ShopVersion
from mouldwright.usecases.ports import Units, Written
from mouldwright.usecases.shelf import next_version

Section = Literal["parts", "processes", "materials", "moulds", "bench_tests"]
# What one of them is called.
SINGULAR: dict[Section, str] = {
    "parts": "part",
    "processes": "process",
    "materials": "material",
    "moulds": "mould",
    "bench_tests": "bench_test",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Entries:
    """The entries of one section.

    Attributes:
        mark: Of the shop's version.
        by_key: Each as it is written, in the order it was written.
    """

    mark: str
    by_key: dict[str, Any]


def list_entries(units: Units, shop: str, section: Section) -> Entries:
    """Return the entries of a section. Raises Unknown where there is no such shop."""
    with units.read(shop) as unit:
        found = unit.shops.now()
    return Entries(mark=found.mark, by_key=json.loads(found.document).get(section, {}))


def read_entry(units: Units, shop: str, section: Section, key: str) -> tuple[str, Any]:
    """Return the mark of the shop's version and one entry. Raises Unknown where there is none."""
    entries = list_entries(units, shop, section)
    if key not in entries.by_key:
        raise Unknown(kind=SINGULAR[section], key=key)
    return entries.mark, entries.by_key[key]


def write_entry(
    units: Units,
    written: Written,
    shop: str,
    section: Section,
    key: str,
    entry: str | None,
    *,
    read: Callable[[int], int],
    now: datetime,
    by: str,
) -> tuple[ShopVersion, bool]:
    """Put an entry in, put it anew, or take it out; return the version, and whether it is new.

    Args:
        units: Where the shop is kept.
        written: Reads and writes it.
        shop: Which shop.
        section: Where the entry stands.
        key: Its key there.
        entry: What it shall be, as JSON; None takes it out.
        read: Gives the version its writer had read, told the one that holds.
        now: Zone-aware.
        by: Id of the token that changes it.

    Raises:
        Unknown: if there is no such shop, or nothing to take out.
        InvalidInput: if anything in the shop is then wrong.
        Stale: if the shop was changed since it was read.
    """
    with units.read(shop) as unit:
        holds = unit.shops.now()
    expected = read(holds.version)
    if expected != holds.version:
        raise Stale(read=f"version {expected}", holds=f"version {holds.version}")
    is_new = key not in json.loads(holds.document).get(section, {})
    if entry is None and is_new:
        raise Unknown(kind=SINGULAR[section], key=key)
    # Examining the shop takes its time: no unit is open meanwhile.
    changed = written.edited(holds.document, section, key, entry)
    if section in ("bench_tests", "parts"):
        changed = remembering(written.read(holds.document), changed)
    document = written.document(changed)
    with units.write(shop) as unit_of_change:
        version = next_version(
            unit_of_change.shops,
            changed,
            document,
            key=shop,
            read=expected,
            now=now,
            by=by,
            # The rest of the document was read before, with whatever names stood in it.
            erasures=holds.erasures,
        )
        unit_of_change.shops.write(version)
        unit_of_change.commit()
    return version, is_new
