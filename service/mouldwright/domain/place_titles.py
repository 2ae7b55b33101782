"""What people read for a mould or a unit of a station, where plans name it by key and number."""

from __future__ import annotations

from collections.abc import Iterable

from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.shop import Shop


def family_title(shop: Shop, family: MouldFamily) -> str:
    """Return what people read for a family of moulds.

    Its own title; else the part's up to its first comma, with the process behind it where the
    part has moulds of several; else, where two families would then read the same, the whole of
    both titles.
    """
    if family.title:
        return family.title
    short = _short(shop, family)
    alike = [f for f in shop.moulds.values() if (f.title or _short(shop, f)) == short]
    if len(alike) == 1:
        return short
    return f"{_part(shop, family)}, {_lowered(_process(shop, family))}"


def place_title(shop: Shop, name: str) -> str:
    """Return what people read for "stabiliser-pressed 3" or "clamps 2"; else the name itself."""
    key, _, number = name.partition(" ")
    family = shop.moulds.get(key)
    if family is not None:
        return f"{family_title(shop, family)} {number}".strip()
    station = shop.stations.get(key)
    if station is None:
        return name
    return station.title if station.count == 1 else f"{station.title} {number}".strip()


def places_together(shop: Shop, names: Iterable[str]) -> tuple[str, ...]:
    """Return "Stabiliser foil 1, 2, 3" for the places of one family or station, each name once."""
    found: dict[str, list[str]] = {}
    for name in dict.fromkeys(names):
        number, title = name.rpartition(" ")[2], place_title(shop, name)
        family = title.removesuffix(f" {number}")
        found.setdefault(family, []).extend([] if family == title else [number])
    return tuple(f"{family} {', '.join(numbers)}".strip() for family, numbers in found.items())


def _short(shop: Shop, family: MouldFamily) -> str:
    part = _part(shop, family).partition(",")[0]
    ways = {f.process for f in shop.moulds.values() if f.part == family.part}
    if len(ways) == 1:
        return part
    return f"{part}, {_lowered(_process(shop, family).partition(' ')[0].rstrip(','))}"


def _lowered(words: str) -> str:
    """Return words as they stand within a sentence; what is written in capitals stays so."""
    return words if words[1:2].isupper() else f"{words[:1].lower()}{words[1:]}"


def _part(shop: Shop, family: MouldFamily) -> str:
    part = shop.parts.get(family.part)
    return part.title if part else family.part


def _process(shop: Shop, family: MouldFamily) -> str:
    process = shop.processes.get(family.process)
    return process.title if process else family.process
