"""What a dispatch is told to prefer: the choices that a search may change."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Policy:
    """Preferences of one dispatch.

    Attributes:
        rank: For each queue its rank, lowest first; see :class:`Queues`.
        batch_target: For each lot, members a batch waits for; at least 1.
        patience_min: For each lot, how long a batch waits for more members.
        gate: For each lot, minutes from now before which it is not started.
        slack_min: How much later a task may start and still be preferred by rank.
        careful: Begin nothing that keeps a mould or station while another pull keeps one:
            slow, but nothing can wait for each other in a ring.
        name: What to call it in words.
    """

    rank: tuple[int, ...]
    batch_target: tuple[int, ...]
    patience_min: tuple[int, ...]
    gate: tuple[int, ...]
    slack_min: int = 0
    careful: bool = False
    name: str = ""
