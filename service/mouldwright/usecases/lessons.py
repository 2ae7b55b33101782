"""What the log of a shop teaches, remembered until something is written or noted anew."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Sequence
from threading import Lock

from mouldwright.domain.record.learnt_changes import LearntAtBench, LearntChange, learnt_at_bench
from mouldwright.domain.shop import Shop
from mouldwright.usecases.kept_decline import Declined

# Shops whose lessons are remembered at once.
MOST_SHOPS = 16


class Lessons:
    """Remembers what each shop's log teaches: every look at the day asks, few change anything."""

    def __init__(self) -> None:
        """Remember nothing yet."""
        self._known: OrderedDict[str, tuple[tuple[int, int], LearntAtBench]] = OrderedDict()
        self._lock = Lock()

    def of(self, key: str, version: int, shop: Shop) -> LearntAtBench:
        """Return what a shop's log teaches.

        Args:
            key: Of the shop.
            version: Of what is written of it. With the length of its log, which is only added
                to, it tells whether what is remembered still holds.
            shop: With its whole log.
        """
        at = (version, len(shop.log))
        with self._lock:
            known = self._known.get(key)
        if known is not None and known[0] == at:
            return known[1]
        found = learnt_at_bench(shop)
        with self._lock:
            self._known[key] = (at, found)
            self._known.move_to_end(key)
            while len(self._known) > MOST_SHOPS:
                self._known.popitem(last=False)
        return found


def waiting(found: LearntAtBench, declines: Sequence[Declined]) -> tuple[LearntChange, ...]:
    """Return the changes that nobody left, or that rest on twice as much since."""
    left = {each.key: each for each in declines}
    return tuple(
        change
        for change in found.changes
        if change.key not in left or not left[change.key].holds_for(change.evidence)
    )
