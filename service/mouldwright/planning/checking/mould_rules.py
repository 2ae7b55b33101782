"""Rules about moulds: one pull at a time, conditioned when due, never past their life."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from mouldwright.domain.process.mould import Mould, MouldFamily
from mouldwright.domain.process.process import Hold
from mouldwright.planning.checking.chain import Chain
from mouldwright.planning.checking.ledger import Ledger
from mouldwright.planning.checking.told import gave_back
from mouldwright.planning.plan import Task


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """One stretch of a mould's time: a pull, or its conditioning where there is a task.

    Attributes:
        was: Whether all of it was as the log tells, which no rule can change any more.
        is_counted: Whether the mould's count holds it already.
    """

    start: int
    end: int
    what: str
    conditioning: Task | None = None
    is_proof: bool = False
    was: bool = False
    is_counted: bool = False


def judge_moulds(ledger: Ledger) -> None:
    """Add every complaint about moulds."""
    uses: dict[str, list[Use]] = defaultdict(list)
    for chain in ledger.chains.values():
        if chain.process.uses_mould:
            for pull in sorted(chain.pulls):
                _pull(ledger, chain, pull, uses)
    for task in ledger.plan.tasks:
        operation = ledger.operation(task)
        if task.members and task.mould and operation and operation.per != "pull":
            ledger.complain(task, "names a mould and is no pull task")
    for task in ledger.conditioning:
        uses[task.mould or ""].append(
            Use(
                start=task.start,
                end=task.end,
                what=ledger.what(task),
                conditioning=task,
                was=ledger.is_history(task),
            )
        )
    for name, proofs in ledger.proofs.items():
        for chain in proofs:
            start = min(task.start for task in chain.done.values())
            end = max(task.end for task in chain.done.values())
            uses[name].append(Use(start=start, end=end, what=chain.name, is_proof=True))
    for name in ledger.builds:
        uses.setdefault(name, [])
    for name, spent in uses.items():
        _one_mould(ledger, name, sorted(spent, key=lambda use: (use.start, use.end)))


def _named(ledger: Ledger, chain: Chain, pull: int) -> set[str | None]:
    """Return the moulds that a pull's tasks name; one, where the plan is right.

    What was begun before the mould is taken binds no mould: its name there is what was meant then.
    """
    process = chain.process
    taken = min(process.index(hold.first) for hold in process.holds if hold.resource == "mould")
    return {
        task.mould
        for place, operation in enumerate(process.operations)
        if operation.per == "pull"
        for task in chain.tasks(operation.name, ("pull", pull))
        if place >= taken or not ledger.is_running(task)
    }


def _pull(ledger: Ledger, chain: Chain, pull: int, uses: dict[str, list[Use]]) -> None:
    """Note the time one pull keeps its mould, and judge that it is one mould throughout."""
    named = _named(ledger, chain, pull)
    where = f"{chain.name}: pull {pull}"
    if len(named) != 1 or None in named:
        ledger.complaints.append(
            f"{where} is not on one mould throughout: {sorted(map(str, named))}"
        )
        return
    mould = str(next(iter(named)))
    family = ledger.family(mould)
    if family is None or (family.part, family.process) != (chain.part, chain.process.key):
        ledger.complaints.append(f"{where} is on {mould}, which does not serve it")
    for hold in chain.process.holds:
        if hold.resource != "mould":
            continue
        _stands_heat(ledger, chain, where, hold, mould)
        first, last = chain.process.index(hold.first), chain.process.index(hold.last)
        held = [
            task
            for operation in chain.process.operations[first : last + 1]
            for task in chain.tasks(operation.name, ("pull", pull))
        ]
        if held and min(task.start for task in held) < max(task.end for task in held):
            start, end = min(task.start for task in held), max(task.end for task in held)
            shop, number = ledger.shop, chain.order.number
            uses[mould].append(
                Use(
                    start=start,
                    end=end,
                    what=where,
                    was=all(ledger.is_history(task) for task in held),
                    is_counted=gave_back(shop, ledger.told, chain.process.key, number, pull),
                )
            )


def _stands_heat(ledger: Ledger, chain: Chain, where: str, hold: Hold, mould: str) -> None:
    """Judge that a mould is never heated past its limit while it holds a part."""
    family = ledger.family(mould)
    if family is None or family.greatest_c is None:
        return
    names = [operation.name for operation in chain.process.operations]
    for operation in chain.process.operations[names.index(hold.first) : names.index(hold.last) + 1]:
        if operation.heat is not None and operation.heat.hold_c > family.greatest_c:
            ledger.complaints.append(
                f"{where}: {operation.name} heats {mould} to {operation.heat.hold_c:f} °C and it "
                f"stands {family.greatest_c:f} °C"
            )


def _one_mould(ledger: Ledger, name: str, uses: Sequence[Use]) -> None:
    for earlier, later in pairwise(uses):
        if later.start < earlier.end and not (earlier.was and later.was):
            ledger.complaints.append(f"{name} is in two places: {earlier.what} and {later.what}")
    family = ledger.family(name)
    if family is None:
        ledger.complaints.append(f"there is no mould {name}")
        return
    mould = next((m for m in family.moulds if family.name(m) == name), None)
    if mould is None:
        mould = Mould(number=name.rpartition(" ")[2])
        _is_made(ledger, name, uses)
    elif name in ledger.builds:
        ledger.complaints.append(f"{name} is built and is at hand")
    since = ledger.told.out.get(name)
    for use in uses:
        if since is not None and use.start >= since and not use.was:
            ledger.complaints.append(f"{name} is out since {ledger.at(since)}: {use.what}")
    uses = [use for use in uses if not use.is_counted]
    if all(use.was for use in uses):
        return
    pulls = sum(1 for use in uses if use.conditioning is None)
    left = family.pulls_left(mould)
    if left is not None and pulls > left:
        ledger.complaints.append(f"{name} takes {pulls} pulls and has {left} left")
    _proved(ledger, name, family.proof_pulls - mould.pulls, uses)
    _conditioned(ledger, name, family, mould, uses)


def _proved(ledger: Ledger, name: str, wanted: int, uses: Sequence[Use]) -> None:
    """Judge that a new mould is proved by so many pulls before any that is sold, and no more."""
    pulls = [use for use in uses if use.conditioning is None]
    proofs = sum(1 for use in pulls if use.is_proof)
    under_way = any(
        ledger.is_running(t) for c in ledger.proofs.get(name, ()) for t in c.done.values()
    )
    if pulls and proofs != max(wanted, 0) and not under_way:
        ledger.complaints.append(f"{name} is proved by {proofs} pulls, not {max(wanted, 0)}")
    if any(not one.is_proof and later.is_proof for one, later in pairwise(pulls)):
        ledger.complaints.append(f"{name} makes pulls that are sold before it is proved")


def _is_made(ledger: Ledger, name: str, uses: Sequence[Use]) -> None:
    """Judge that a mould which is not at hand is built before anything is done with it."""
    built = ledger.builds.get(name)
    if built is None:
        ledger.complaints.append(f"{name} is not at hand and is not built")
        return
    ready = max(task.end for task in built.done.values())
    if uses and uses[0].start < ready:
        ledger.complaints.append(f"{name} is used before it is built")


def _conditioned(
    ledger: Ledger, name: str, family: MouldFamily, mould: Mould, uses: Sequence[Use]
) -> None:
    """Judge that conditioning comes when due, before the next pull, and at no other time.

    Due are the coats for the pull about to be made, counted since the tool was new, and one
    conditioning once the pulls since the last reach the family's count; each coat is a task.
    """
    conditioning = ledger.shop.processes[family.process].conditioning
    if conditioning is None:
        return
    every = family.conditioned_every_pulls
    since, made = mould.pulls_since_conditioning, mould.pulls
    coats: list[Task] = []
    for use in uses:
        if use.conditioning is not None:
            if coats and use.start - coats[-1].end < conditioning.wait_min:
                ledger.complain(use.conditioning, "comes before the last coat is dry")
            coats.append(use.conditioning)
            continue
        due = max(family.coats_at(made + 1), int(every is not None and since >= every))
        given = len(coats)
        if made == mould.pulls and since == 0 and given < due:
            # A mould with no pull since its last coat may have had them all before now.
            given = due
        if given < due and not use.was:
            ledger.complaints.append(
                f"{name} is due for conditioning before its pull at {ledger.at(use.start)}"
            )
        elif given > due and not any(ledger.is_running(task) for task in coats):
            ledger.complain(coats[-1], "comes before it is due")
        since, made, coats = 1 if coats else since + 1, made + 1, []
    if coats and not ledger.is_running(coats[-1]):
        ledger.complaints.append(f"{name} is conditioned after its last pull")
