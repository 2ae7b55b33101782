"""A plan's tasks as a network: what each waits for, and who and what it keeps busy."""

from __future__ import annotations

from dataclasses import dataclass, field

from mouldwright.planning.placed import Item
from mouldwright.planning.routing import Step

# How soon a node must follow another: its start within so many minutes of the other's end,
# its end within them, or its start at once.
SOON, USED_UP, AT_ONCE = 0, 1, 2


@dataclass(slots=True, kw_only=True)
class Node:
    """One task of the plan, or one that may come on top of it.

    Attributes:
        step: What is done.
        lot: Index of its first member's lot; -1 for the conditioning of a mould.
        items: Members.
        start: Planned start in minutes from now; of what comes on top, about when.
        end: Planned end.
        work: Planned minutes of work.
        people: Who does it.
        mould: Name of its mould.
        stations: Names of the units it lists.
        calendar: Index of its open time; -1 for any time.
        release: It starts no earlier.
        preds: Nodes of the steps before it, with the least wait after each.
        after: Nodes that keep a person, mould, unit or room, with the least wait after each.
        lead: Minutes of gearing up directly before it.
        tail: Minutes of cleaning down directly after it.
        gathers: Lots of whose parts enough must be good, with the steps they have been
            through; where there are any, these say when it may start and ``preds`` do not.
        ties: Nodes it must follow soon enough: node, greatest minutes, and how.
        block: Nodes of one block begin only when all of them can follow; -1 for none.
        held_since: First nodes of holds that are on when it starts.
        is_fixed: Whether it is under way, and stays as it is.
        remade: Which further unit of its lot it is of, from 0; -1 for what is planned.
        is_again: Whether it stands for a planned node where parts were remade first.
        waits_for_again: Whether it is left to such a node there.
    """

    step: Step
    lot: int
    items: tuple[Item, ...]
    start: int
    end: int
    work: int
    people: tuple[str, ...] = ()
    mould: str | None = None
    stations: tuple[str, ...] = ()
    calendar: int = -1
    release: int = 0
    preds: list[tuple[int, int]] = field(default_factory=list)
    after: list[tuple[int, int]] = field(default_factory=list)
    lead: int = 0
    tail: int = 0
    gathers: list[tuple[int, tuple[int, ...]]] = field(default_factory=list)
    ties: list[tuple[int, int, int]] = field(default_factory=list)
    block: int = -1
    held_since: list[int] = field(default_factory=list)
    is_fixed: bool = False
    remade: int = -1
    is_again: bool = False
    waits_for_again: bool = False


@dataclass(slots=True, kw_only=True)
class Stay:
    """A mould or a unit kept busy from the start of some nodes to the end of others."""

    place: str
    firsts: list[int]
    lasts: list[int]
    parts: int = 1
    is_upkeep: bool = False
