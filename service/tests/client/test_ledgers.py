"""The ledgers asked from Python."""

from __future__ import annotations

import pytest
from bench_log import done, logged, work

from mouldwright.client import Refused

MOULD = "stabiliser-pressed 3"


def test_moulds_stock_parts_and_money_are_read_as_they_stand(served, shop):
    bench, _ = served
    of = {"order": "1001", "part": "stabiliser", "pulls": [1]}
    with bench.services.units.write("foils") as unit:
        unit.log.bring(
            logged(
                *done(9, work("mix", **of)),
                *done(34, work("demould", mould=MOULD, **of), people=("tomas",)),
            )
        )
        unit.commit()
    bench.clock.on(hours=40)
    stands = {each.name: each for each in shop.ledgers.moulds().moulds}
    assert stands[MOULD].pulls == 13
    assert shop.ledgers.mould(MOULD).moves[0].pull == "1001 pull 1"
    stock = {each.material: each for each in shop.ledgers.stock().materials}
    assert stock["epoxy-resin"] == shop.ledgers.material("epoxy-resin").material
    assert shop.ledgers.part("1001-1").mould == MOULD
    assert [p.serial for p in shop.ledgers.parts(mould=MOULD).parts] == ["1001-1"]
    assert shop.ledgers.cost("1001").begun == 1
    with pytest.raises(Refused, match="mould"):
        shop.ledgers.mould("none 1")
