"""Rules about sets: worked on once each, from the moment their parts are there."""

from __future__ import annotations

from mouldwright.planning.checking.chain import Chain
from mouldwright.planning.checking.ledger import Ledger
from mouldwright.planning.checking.order_rules import ended, judge_chain


def judge_set(ledger: Ledger, work: Chain) -> None:
    """Add every complaint about the work on an order's sets."""
    if not work.process.operations:
        return
    judge_chain(ledger, work)
    if work.starts != work.wanted:
        ledger.complaints.append(f"{work.name}: {work.starts} are worked on, not {work.wanted}")
    first = work.process.operations[0]
    tasks = {id(task): task for (name, _), task in work.done.items() if name == first.name}
    whole = _whole_sets(ledger, work)
    for count, task in enumerate(sorted(tasks.values(), key=lambda task: task.start), start=1):
        sets = work.wanted if first.per == "order" else count
        ready = whole[sets - 1] + first.wait_min if sets <= len(whole) else task.start
        if task.start < ready and not ledger.is_running(task):
            ledger.complain(task, f"begins before {sets} sets are whole")


def _whole_sets(ledger: Ledger, work: Chain) -> list[int]:
    """Return when the parts of one set, of two, and so on are there, at the earliest."""
    moments = [0] * work.wanted
    for chain in ledger.chains.values():
        if chain.order.number != work.order.number:
            continue
        last = chain.process.operations[-1]
        ends: list[int] = []
        for unit in chain.units:
            done = ended(chain, last.name, unit)
            each = chain.parts_each(unit[1]) if unit[0] == "pull" else 1
            # A pull ends at once for all its parts, or with each of them.
            ends.extend(done if len(done) == each else done[:1] * each)
        ends.sort()
        needed = -(-chain.wanted // work.wanted)
        for sets in range(1, work.wanted + 1):
            place = min(sets * needed, len(ends)) - 1
            if place >= 0:
                moments[sets - 1] = max(moments[sets - 1], ends[place])
    return moments
