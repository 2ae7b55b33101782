"""A way to make a part in a mould, and the moulds for it: neither stands without the other.

Bench tests go with the part or the process they were made of. Whoever writes a form writes one
of the two; the other follows, and they are told.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

Path = tuple[str, ...]
# What follows: where, what it shall be (None takes it out), and the sentence that says so.
Following = tuple[Path, Any, str]


def following(document: Mapping[str, Any], path: Path) -> tuple[Following, ...]:
    """Return what must follow an entry that was just written or taken out.

    Args:
        document: The scenario with that entry so.
        path: Where the entry stands.
    """
    section, key = path[0], path[-1]
    if section in ("parts", "processes"):
        return (
            *_spare(document, section, key),
            *_lacking(document),
            *_bent(document, section, key),
        )
    return tuple(_ways(document)) if section == "moulds" else ()


def _table(document: Mapping[str, Any], section: str) -> Mapping[str, Any]:
    found = document.get(section, {})
    return found if isinstance(found, Mapping) else {}


def _of(entry: Any, key: str) -> list[Any]:
    found = entry.get(key) if isinstance(entry, Mapping) else None
    return found if isinstance(found, list) else []


def _holds_mould(process: Any) -> bool:
    return any(
        isinstance(hold, Mapping) and hold.get("resource") == "mould"
        for hold in _of(process, "holds")
    )


def _families(document: Mapping[str, Any]) -> dict[str, tuple[Any, Any]]:
    return {
        key: (family.get("part"), family.get("process"))
        for key, family in _table(document, "moulds").items()
        if isinstance(family, Mapping)
    }


def _spare(document: Mapping[str, Any], section: str, key: str) -> Iterator[Following]:
    """Yield the moulds of this part or process that no way needs any more."""
    parts, processes = _table(document, "parts"), _table(document, "processes")
    for name, (part, process) in _families(document).items():
        if key != (part if section == "parts" else process):
            continue
        needed = process in _of(parts.get(part), "made_by") and _holds_mould(processes.get(process))
        if not needed:
            yield ("moulds", name), None, f"Its moulds {name} went too."


def _bent(document: Mapping[str, Any], section: str, key: str) -> Iterator[Following]:
    """Yield the bench tests of a part or a process that is gone."""
    if key in _table(document, section):
        return
    one = "part" if section == "parts" else "process"
    for name, test in _table(document, "bench_tests").items():
        if isinstance(test, Mapping) and test.get(one) == key:
            yield ("bench_tests", name), None, f"Its bench test {name} went too."


def _lacking(document: Mapping[str, Any]) -> Iterator[Following]:
    """Yield moulds, none of them there yet, for every way that needs some."""
    processes, families = _table(document, "processes"), _families(document)
    served = set(families.values())
    for part, entry in _table(document, "parts").items():
        for process in _of(entry, "made_by"):
            if (part, process) in served or not _holds_mould(processes.get(process)):
                continue
            name = f"{part}-{process}"
            while name in families:
                name += "-2"
            family = {"part": part, "process": process, "count": 0}
            yield (
                ("moulds", name),
                family,
                f"Moulds {name} are noted, none of them there: count them.",
            )


def _ways(document: Mapping[str, Any]) -> Iterator[Following]:
    """Yield each part with the ways that it has moulds for, and no way that it has none for."""
    processes, served = _table(document, "processes"), set(_families(document).values())
    for part, entry in _table(document, "parts").items():
        ways = _of(entry, "made_by")
        kept = [w for w in ways if (part, w) in served or not _holds_mould(processes.get(w))]
        more = [w for p, w in served if p == part and w not in kept and w in processes]
        if (now := [*kept, *sorted(more)]) != ways:
            gone = [way for way in ways if way not in now]
            said = [f"{part} is no longer made by {', '.join(gone)}."] if gone else []
            said += [f"{part} is now made by {', '.join(sorted(more))} too."] if more else []
            yield ("parts", part, "made_by"), now, " ".join(said)
