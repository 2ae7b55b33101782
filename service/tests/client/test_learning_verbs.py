"""What the log teaches, asked from Python."""

from __future__ import annotations

import pytest
from learnt_log import slow_demoulds

from mouldwright.client import Refused


def test_what_was_learnt_is_read_and_taken(served, shop):
    bench, _ = served
    with bench.services.units.write("foils") as unit:
        unit.log.bring(slow_demoulds(6))
        unit.commit()
    bench.clock.on(hours=24 * 20)
    learnt = shop.learning.read()
    (change,) = learnt.changes
    assert shop.learning.decline(change) == change
    assert shop.learning.read().declined == [change]
    shop.learning.propose_again(change)
    assert shop.learning.take(change, read=learnt).version == learnt.version + 1
    # Against the standard that holds now, the same evidence is taken no second time as it was.
    with pytest.raises(Refused):
        shop.learning.take(change, read=learnt)
