"""What is done from time to time whether anyone asks or not."""

from __future__ import annotations

from promise_bench import KEY, NOW, later

from mouldwright.usecases.housekeeping import forget_old_replies
from mouldwright.usecases.kept import Asked, Reply


def test_a_reply_is_forgotten_after_its_days_and_not_before(either_bench):
    reply = Reply(status=201, body="{}")
    old, young = (Asked(caller="c", key=key, fingerprint="f") for key in ("old", "young"))
    with either_bench.units.write(KEY) as unit:
        unit.replies.keep(old, reply, NOW)
        unit.replies.keep(young, reply, later(hours=1))
        unit.commit()
    units = either_bench.units
    assert forget_old_replies(units, now=later(days=7), days=7) == 0
    assert forget_old_replies(units, now=later(days=7, minutes=1), days=7) == 1
    with units.read(KEY) as unit:
        assert unit.replies.find(old) is None
        assert unit.replies.find(young) == reply
