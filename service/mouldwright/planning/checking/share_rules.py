"""Rules about operations done to a share of the parts, and about rework."""

from __future__ import annotations

from fractions import Fraction

from mouldwright.domain.process.operation import Operation
from mouldwright.planning.checking.chain import Chain, Unit
from mouldwright.planning.checking.ledger import Ledger


def judge_share(ledger: Ledger, chain: Chain, operation: Operation) -> None:
    """Judge that so many units go through an operation as its share says, rounded up.

    Of a rework all operations of a round are done to the same parts, and a further round only
    to parts that had the one before. What was over before now need not be in the plan.
    """
    through = _through(chain, operation)
    singly = operation.per == "part" and chain.process.has_pulls
    count = chain.starts if singly else len(chain.units)
    wanted = -(-Fraction(operation.applies_to_share) * count // 1)
    if chain.order.number in ledger.told.orders:
        # Those that the log tells of come on top of those that were expected.
        known = [unit for unit in through if ledger.is_running(chain.done[operation.name, unit])]
        wanted += len(known) + len(ledger.told.mended.get(chain.order.number, ()))
    if len(through) > wanted or (len(through) < wanted and not ledger.under_way):
        ledger.complaints.append(
            f"{chain.name}: {operation.name} is done to {len(through)} of {count}, not {wanted}"
        )
    if not operation.rework or ledger.under_way:
        return
    for other in chain.process.operations:
        if other.rework != operation.rework or other.name == operation.name:
            continue
        theirs = _through(chain, other)
        same = other.round_number == operation.round_number
        if (same and theirs != through) or (
            other.round_number == operation.round_number - 1 and not through <= theirs
        ):
            ledger.complaints.append(
                f"{chain.name}: {operation.name} is done to other parts than {other.name}"
            )


def _through(chain: Chain, operation: Operation) -> frozenset[Unit]:
    return frozenset(unit for name, unit in chain.done if name == operation.name)
