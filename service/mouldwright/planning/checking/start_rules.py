"""How many parts must be begun: enough for the good ones wanted, and no more."""

from __future__ import annotations

from fractions import Fraction
from math import comb, exp, lgamma, log, sqrt

from mouldwright.domain.process.rework import Rework
from mouldwright.planning.checking.chain import WHOLE_ORDER, Chain, Unit
from mouldwright.planning.checking.ledger import Ledger

# Chances are worked in floats; one this near the level is worked again in fractions.
_NEAR = 1e-9


def judge_starts(ledger: Ledger, chain: Chain) -> None:
    """Judge that the starts are the fewest that give enough good parts as often as asked."""
    each = chain.cavities if chain.process.has_pulls else 1
    asked = chain.order.starts
    if chain.order.number in ledger.told.orders:
        _judge_rest(ledger, chain, asked)
        return
    # Moulds of one part may differ in cavities: then only too few can be told for sure.
    alike = all(chain.parts_each(pull) == each for pull in chain.pulls)
    if asked is not None:
        right = chain.starts == -(-asked // each) * each if alike else chain.starts >= asked
        if not right:
            ledger.complaints.append(f"{chain.name}: {chain.starts} parts begun and {asked} asked")
        return
    begun = -(-chain.starts // each)
    if not _enough(ledger, chain, begun):
        ledger.complaints.append(
            f"{chain.name}: {chain.starts} parts begun are too few for {chain.wanted} good ones"
        )
    elif begun > 1 and alike and not ledger.under_way and _enough(ledger, chain, begun - 1):
        ledger.complaints.append(
            f"{chain.name}: {chain.starts} parts begun are more than {chain.wanted} good ones need"
        )


def _judge_rest(ledger: Ledger, chain: Chain, asked: int | None) -> None:
    """Judge the starts of an order that the log tells of: what is good is good, the rest may fail.

    Those not judged yet, and those to come, must be the fewest that give the missing good parts.
    """
    each = chain.cavities if chain.process.has_pulls else 1
    sure = _last_that_spoils(ledger, chain)
    good = open_parts = to_come = 0
    for unit in chain.units:
        count = chain.parts_each(unit[1]) if unit[0] == "pull" else 1
        ids = sorted(chain.parts_of.get(unit[1], ())) if unit[0] == "pull" else [unit[1]]
        seconds = ledger.told.seconds.get(chain.order.number, set())
        for which in range(count):
            one: Unit = ("part", ids[which]) if which < len(ids) else unit
            if ledger.gone(chain, unit) is not None or ledger.gone(chain, one) is not None:
                continue
            if unit in seconds or one in seconds:
                continue
            if _is_sure(ledger, chain, unit, one, sure):
                good += 1
            elif _has_begun(ledger, chain, unit):
                open_parts += 1
            else:
                to_come += 1
    missing = chain.wanted - good
    if missing <= 0:
        if to_come:
            ledger.complaints.append(f"{chain.name}: {to_come} parts are begun that nobody needs")
        return
    left = open_parts + to_come
    if asked is not None and left >= missing:
        return
    pulls = -(-left // each) if to_come else left // each
    if not _enough(ledger, chain, pulls, missing):
        ledger.complaints.append(
            f"{chain.name}: {left} parts are left and too few for {missing} good ones"
        )
    elif to_come >= each and _enough(ledger, chain, (left - each) // each, missing):
        ledger.complaints.append(
            f"{chain.name}: {left} parts are left and more than {missing} good ones need"
        )


def _last_that_spoils(ledger: Ledger, chain: Chain) -> int:
    """Return the place of the last operation that may lose a part; -1 where none does."""
    process = chain.process
    found = -1
    for place, operation in enumerate(process.operations):
        if operation.good_rate != 1 or operation.second_rate or operation.rework:
            found = place
    families = ledger.shop.families(chain.part, process.key) if process.uses_mould else ()
    if any(f.loss_rate for f in families):
        found = max([found, *(process.index(h.last) for h in process.holds)])
    return found


def _is_sure(ledger: Ledger, chain: Chain, unit: Unit, one: Unit, sure: int) -> bool:
    """Return whether a part is through all that could lose it."""
    if sure < 0:
        return _has_begun(ledger, chain, unit)
    for place, operation in enumerate(chain.process.operations):
        if place < sure:
            continue
        tasks = [chain.done.get((operation.name, each)) for each in (unit, one)]
        if operation.per == "order":
            tasks = [chain.done.get((operation.name, WHOLE_ORDER))]
        for task in tasks:
            if task is None or not ledger.is_running(task) or task.start > ledger.plan.now:
                continue
            if place > sure or task.end <= ledger.plan.now:
                return True
    return False


def _has_begun(ledger: Ledger, chain: Chain, unit: Unit) -> bool:
    """Return whether a pull (or part) is under way, or kept where it stands."""
    own = {unit, *(("part", part) for part in chain.parts_of.get(unit[1], ()))}
    return any(key in own and ledger.is_running(task) for (_, key), task in chain.done.items())


def _enough(ledger: Ledger, chain: Chain, begun: int, wanted: int | None = None) -> bool:
    """Return whether so many pulls (or parts) are enough for the good ones wanted."""
    wanted = chain.wanted if wanted is None else wanted
    each = chain.cavities if chain.process.has_pulls else 1
    by_part, by_pull = Fraction(1), Fraction(1)
    if chain.process.uses_mould:
        families = ledger.shop.families(chain.part, chain.process.key)
        losses = (f.loss_rate for f in families if f.moulds or f.made_by)
        by_pull -= Fraction(next(losses, 0))
    for rework in chain.process.reworks:
        if chain.process.has_pulls and any(o.per != "part" for o in rework.operations):
            by_pull *= _mended(rework)
        else:
            by_part *= _mended(rework)
    for operation in chain.process.operations:
        if operation.rework:
            continue
        rate = 1 - Fraction(operation.applies_to_share) * (1 - Fraction(operation.good_rate))
        if operation.good_rate_per == "pull" and chain.process.has_pulls:
            by_pull *= rate
        else:
            by_part *= rate
    if begun * each < wanted:
        return False
    level = ledger.shop.service_level
    if level is None:
        return begun * each * by_part * by_pull >= wanted
    chance = _chance(wanted, begun, each, by_part, by_pull)
    if abs(chance - float(level)) < _NEAR:
        return _exact_chance(wanted, begun, each, by_part, by_pull) >= Fraction(level)
    return chance >= float(level)


def _mended(rework: Rework) -> Fraction:
    """Return the chance that a part needs no rework, or is mended within the rounds."""
    sound = Fraction(1)
    for operation in rework.operations:
        sound *= Fraction(operation.good_rate)
    share = Fraction(rework.share)
    again = share if rework.share_again is None else Fraction(rework.share_again)
    good, left = 1 - share, share
    for _ in range(rework.most_rounds):
        good += left * sound * (1 - again)
        left *= sound * again
    return good


def _chance(wanted: int, pulls: int, each: int, by_part: Fraction, by_pull: Fraction) -> float:
    """Return the chance of enough good parts, lost pulls first, then lost parts."""
    if by_pull == 1:
        return _at_least(wanted, pulls * each, float(by_part))
    # Beyond this many deviations from the mean a count has no chance worth adding.
    rate = float(by_pull)
    spread = 12 * sqrt(pulls * rate * (1 - rate)) + 12
    low, high = max(0, int(pulls * rate - spread)), min(pulls, int(pulls * rate + spread) + 1)
    return sum(
        _exactly(kept, pulls, rate) * _at_least(wanted, kept * each, float(by_part))
        for kept in range(low, high + 1)
    )


def _at_least(wanted: int, begun: int, rate: float) -> float:
    if rate == 1 or wanted <= 0:
        return float(begun >= wanted)
    return sum(_exactly(good, begun, rate) for good in range(wanted, begun + 1))


def _exactly(good: int, begun: int, rate: float) -> float:
    """Return the binomial chance, by logarithms: the coefficients outgrow floats."""
    ways = lgamma(begun + 1) - lgamma(good + 1) - lgamma(begun - good + 1)
    return exp(ways + good * log(rate) + (begun - good) * log(1 - rate))


def _exact_chance(
    wanted: int, pulls: int, each: int, by_part: Fraction, by_pull: Fraction
) -> Fraction:
    return sum(
        (
            _ways(kept, pulls, by_pull) * _ways(good, kept * each, by_part)
            for kept in range(pulls + 1)
            if by_pull < 1 or kept == pulls
            for good in range(wanted, kept * each + 1)
        ),
        Fraction(0),
    )


def _ways(good: int, begun: int, rate: Fraction) -> Fraction:
    return comb(begun, good) * rate**good * (1 - rate) ** (begun - good)
