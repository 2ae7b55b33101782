"""What a dispatch is told to prefer: the choices that a search may change."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Deviation:
    """One decision taken otherwise than the ranks say.

    Attributes:
        decision: Which one, counted by blocks placed.
        skip: How many of the candidates to pass over, best rank first.
        slack_min: How much later than the soonest a candidate may start at it.
        turn_whole: Whether to take the other view of pausing at it.
        without: The person who is passed over at it where others can, -1 for nobody.
    """

    decision: int
    skip: int
    slack_min: int
    turn_whole: bool = False
    without: int = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Policy:
    """Preferences of one dispatch.

    Attributes:
        rank: For each queue its rank, lowest first; see :class:`Queues`.
        batch_target: For each lot, members a batch waits for; at least 1.
        patience_min: For each lot, how long a batch waits for more members.
        gate: For each lot, minutes from now before which it is not started.
        slack_min: How much later a task may start and still be preferred by rank.
        whole: For each queue, whether work that may pause is kept from pausing where some
            opening is long enough for all of it.
        lasting_first: Whether, of pulls and moulds that wait alike, the mould with most pulls
            left goes first: it has most to do.
        deviations: Decisions taken otherwise, by decision.
        careful: Begin nothing that keeps a mould or station while another pull keeps one:
            slow, but nothing can wait for each other in a ring.
        name: What to call it in words.
    """

    rank: tuple[int, ...]
    batch_target: tuple[int, ...]
    patience_min: tuple[int, ...]
    gate: tuple[int, ...]
    slack_min: int = 0
    whole: tuple[bool, ...] = ()
    lasting_first: bool = True
    deviations: tuple[Deviation, ...] = ()
    careful: bool = False
    name: str = ""
