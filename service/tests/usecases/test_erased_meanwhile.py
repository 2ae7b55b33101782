"""A customer erased while someone is changing the shop does not come back with the change."""

from __future__ import annotations

import json

import pytest
from promise_bench import DEMO, KEY, NOW

from mouldwright.usecases.entries import write_entry
from mouldwright.usecases.errors import Stale
from mouldwright.usecases.promise_lists import forget_customer
from mouldwright.usecases.shelf import read_version, replace_kept

NAME = DEMO.orders[0].customer


class ErasedMeanwhile:
    """Reads and writes shops; a customer is erased while a changed one is examined."""

    def __init__(self, bench):
        self._bench = bench

    def __getattr__(self, name):
        return getattr(self._bench.written, name)

    def edited(self, *args):
        changed = self._bench.written.edited(*args)
        self._bench.done(forget_customer, NAME)
        return changed


def test_an_entry_written_over_a_name_erased_meanwhile_is_refused(either_bench):
    part = json.loads(read_version(either_bench.units, KEY).document)["parts"]["stabiliser"]
    with pytest.raises(Stale):
        write_entry(
            either_bench.units,
            ErasedMeanwhile(either_bench),
            KEY,
            "parts",
            "stabiliser",
            json.dumps(part | {"span_mm": 250}),
            read=lambda holds: holds,
            now=NOW,
            by="a test",
        )
    holds = read_version(either_bench.units, KEY)
    assert (holds.version, holds.mark) == (1, "1-1")
    assert NAME not in holds.document


def test_a_shop_replaced_over_a_name_erased_meanwhile_is_refused(either_bench):
    read = read_version(either_bench.units, KEY)
    either_bench.done(forget_customer, NAME)
    with pytest.raises(Stale):
        replace_kept(
            either_bench.units,
            either_bench.written,
            KEY,
            DEMO,
            read=read.version,
            erasures=read.erasures,
            now=NOW,
            by="a test",
        )
    assert NAME not in read_version(either_bench.units, KEY).document
