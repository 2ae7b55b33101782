"""Which pattern and ink each process of a shop is drawn with."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import CastStructure, MixStructure, PrintStructure
from mouldwright.figures.look import INKS, PATTERNS, ink_of, pattern_of

# What a thing looks like when made: chopped strokes, bubbles, layers.
_NATURAL = {MixStructure: 0, CastStructure: 1, PrintStructure: 2}


def marks_of_shop(shop: Shop) -> Mapping[str, int]:
    """Return a mark for each process of a shop; those that may make the same part differ."""
    return marks_for(shop.processes.values(), [part.made_by for part in shop.parts.values()])


def marks_for(
    processes: Iterable[Process], rivals: Iterable[Collection[str]] = ()
) -> Mapping[str, int]:
    """Return a mark for each process by key.

    Each takes the pattern of its kind, unless a rival has it, in an ink not yet used with
    that pattern. Rivals differ in pattern while there are patterns.

    Args:
        processes: In the shop's order; the first of a kind has the kind's own ink.
        rivals: Groups of keys that are shown side by side.
    """
    listed = tuple(processes)
    groups = [set(group) for group in rivals]
    found: dict[str, int] = {}
    for process in listed:
        natural = _NATURAL.get(type(process.structure))
        if natural is not None and natural not in found.values():
            found[process.key] = natural
    for process in listed:
        if process.key in found:
            continue
        beside = {key for group in groups if process.key in group for key in group}
        taken = {pattern_of(found[key]) for key in beside if key in found}
        natural = _NATURAL.get(type(process.structure))
        first = [] if natural is None else [natural]
        order = [*first, *range(len(_NATURAL), PATTERNS), *_NATURAL.values()]
        pattern = next((p for p in order if p not in taken), order[0])
        found[process.key] = _ink_for(pattern, beside, found)
    return {process.key: found[process.key] for process in listed}


def _ink_for(pattern: int, beside: Collection[str], found: Mapping[str, int]) -> int:
    """Return the mark of a pattern in an ink that rivals do not have, the least used of all."""
    inks = [ink_of(mark) for mark in found.values()]
    near = {ink_of(found[key]) for key in beside if key in found}

    def how_bad(mark: int) -> tuple[bool, bool, int, int]:
        ink = ink_of(mark)
        return mark in found.values(), ink in near, inks.count(ink), mark

    return min((pattern + PATTERNS * turn for turn in range(INKS)), key=how_bad)
