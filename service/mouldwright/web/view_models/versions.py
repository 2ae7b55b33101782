"""Earlier versions of a shop: when each was written, and what it changed."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from mouldwright.usecases.kept import ShopVersion
from mouldwright.web.edit_sections import SECTIONS
from mouldwright.web.words import at_minute, moment
from mouldwright.wire.model import title_from

_MOST_NAMED = 4
_MINUTE_S = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class VersionRow:
    """A version; ``changed`` is what it changed against the one before."""

    version: int
    written: str
    changed: str


def version_rows(versions: Sequence[ShopVersion], *, zone: str) -> tuple[VersionRow, ...]:
    """Return a row for each version, the newest first as they come.

    The oldest given is told apart from the one before it only where that is given too.
    """
    rows = []
    for at, version in enumerate(versions):
        before = versions[at + 1] if at + 1 < len(versions) else None
        changed = "The first" if version.version == 1 else ""
        if before is not None:
            changed = _named(_changes(json.loads(before.document), json.loads(version.document)))
        minute = int(version.written_at.timestamp() // _MINUTE_S)
        rows.append(
            VersionRow(
                version=version.version,
                written=moment(at_minute(minute, zone)),
                changed=changed,
            )
        )
    return tuple(rows)


def _changes(before: dict[str, Any], after: dict[str, Any]) -> list[str]:
    """Return what differs: an entry by its name, a section that is one entry by its title."""
    found = []
    for section in dict.fromkeys([*after, *before]):
        was, now = before.get(section), after.get(section)
        if was == now:
            continue
        known = SECTIONS.get(section)
        title = known.title if known else title_from(section)
        if not (isinstance(was or {}, dict) and isinstance(now or {}, dict)) or section == "shop":
            found.append(title)
            continue
        for key in dict.fromkeys([*(now or {}), *(was or {})]):
            one, other = (was or {}).get(key), (now or {}).get(key)
            if one != other:
                entry = other or one
                name = entry.get("title") if isinstance(entry, dict) else None
                gone = ", taken out" if other is None else ""
                found.append(f"{name or title_from(key)}{gone}")
    return found


def _named(changes: Sequence[str]) -> str:
    shown = "; ".join(changes[:_MOST_NAMED])
    more = len(changes) - _MOST_NAMED
    return f"{shown}; and {more} more" if more > 0 else shown or "Nothing"
