"""Where a search through every order of work stands."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from mouldwright.domain.hours.opening import Window
from mouldwright.domain.order import Order
from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop


@dataclass(kw_only=True)
class Chain:
    """One pull with its parts, or one part, on its way through the process."""

    order: Order
    process: Process
    family: MouldFamily | None
    place: int = 0
    ready: int = 0
    mould: int | None = None
    hold: tuple[int, int] | None = None
    alike: tuple[int, int] = (0, 0)
    serial: int = 0


@dataclass(kw_only=True)
class Tools:
    """The moulds of one family."""

    free: list[int]
    since: list[int]
    every: int | None
    cavities: int = 1
    upkeep: Operation | None = None
    left: int = 0


@dataclass(kw_only=True)
class Search:
    """Everything that changes while the search goes on, and the best so far."""

    shop: Shop
    now: int
    chains: list[Chain]
    tools: dict[str, Tools]
    windows: dict[str, tuple[Window, ...]]
    people: dict[str, int]
    stations: dict[str, list[int]]
    best: tuple[int, int] = (1 << 60, 1 << 60)
    ends: dict[str, int] = field(default_factory=dict)
    # The session of each person's last task, and the last end in each room by state.
    last: dict[str, str] = field(default_factory=dict)
    rooms: dict[tuple[str, str], int] = field(default_factory=dict)
    # When what sets is through, by its start and its sheet's minutes.
    cured: dict[tuple[int, int], int] = field(default_factory=dict)
    seen: set[Any] = field(default_factory=set)
