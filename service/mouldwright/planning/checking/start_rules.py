"""How many parts must be begun: enough for the good ones wanted, and no more."""

from __future__ import annotations

from fractions import Fraction
from math import comb, exp, lgamma, log, sqrt

from mouldwright.domain.process.rework import Rework
from mouldwright.planning.checking.chain import Chain
from mouldwright.planning.checking.ledger import Ledger

# Chances are worked in floats; one this near the level is worked again in fractions.
_NEAR = 1e-9


def judge_starts(ledger: Ledger, chain: Chain) -> None:
    """Judge that the starts are the fewest that give enough good parts as often as asked."""
    each = chain.cavities if chain.process.has_pulls else 1
    asked = chain.order.starts
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


def _enough(ledger: Ledger, chain: Chain, begun: int) -> bool:
    """Return whether so many pulls (or parts) are enough."""
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
    if begun * each < chain.wanted:
        return False
    level = ledger.shop.service_level
    if level is None:
        return begun * each * by_part * by_pull >= chain.wanted
    chance = _chance(chain.wanted, begun, each, by_part, by_pull)
    if abs(chance - float(level)) < _NEAR:
        return _exact_chance(chain.wanted, begun, each, by_part, by_pull) >= Fraction(level)
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
