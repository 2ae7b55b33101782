"""Which process makes a part best: who passes, who is cheapest from which quantity, and why."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from mouldwright.domain.costing.price import Price
from mouldwright.domain.costing.risk import CostOdds
from mouldwright.domain.costing.unit_cost import UnitCost
from mouldwright.domain.judgement import Judgement
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.rate import Rate
from mouldwright.domain.shown import fitted
from mouldwright.domain.standing import AIMS, Standing, best_under
from mouldwright.domain.would_pass.find import WouldPass

LARGEST_QUANTITY_SWEPT = 500
# A choice that holds until some input triples is simply a safe one.
FARTHEST_CHANGE_SAID = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One process for one part and quantity.

    Attributes:
        cost: What it costs; None where the part cannot be made so.
        price: What to charge; None where the cost is unknown.
        finish: Minute the last part is ready, None where it cannot be made.
        lead_time_min: Minutes from now to that finish.
        moulds: Moulds used at once; 0 for a process without.
        would_pass: Of one that fails, the least change of each lever that makes it pass,
            cheapest first.
        ready: That finish with its odds.
        cost_odds: What the order may cost; None where nobody worked it out.
        moulds_to_make: Moulds that are missing for it, all that is booked counted.
        undated: Why no date can be given for it; empty where there is one.
    """

    process: str
    title: str
    judgement: Judgement
    cost: UnitCost | None
    price: Price | None
    rate: Rate | None
    finish: int | None
    lead_time_min: int | None
    moulds: int
    would_pass: tuple[WouldPass, ...] = ()
    ready: ReadyBy | None = None
    cost_odds: CostOdds | None = None
    undated: tuple[str, ...] = ()
    moulds_to_make: int = 0

    @property
    def passes(self) -> bool:
        """Return whether the part can be made so and meets what is asked of it."""
        return self.judgement.makeable and self.judgement.meets_requirement is not False

    @property
    def standing(self) -> Standing:
        """Return what it is judged by."""
        return Standing(
            process=self.process,
            passes=self.passes,
            cost_each=self.cost.per_good_part if self.cost else None,
            finish=self.finish,
            deflection_mm=self.judgement.deflection_mm,
            mass_g=self.judgement.mass_g,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossover:
    """From this quantity on, that process is the cheapest."""

    from_quantity: int
    process: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Winner:
    """Who is best under one aim."""

    aim: str
    process: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SwitchingValue:
    """How far one input must move before the recommendation changes.

    Attributes:
        driver: What moves, in words.
        change: The share by which it must move; above zero is a rise.
        instead: The process that would win then.
        title: What that process is called; empty for its key.
    """

    driver: str
    change: Fraction
    instead: str
    title: str = ""

    @property
    def text(self) -> str:
        """Return it as a sentence's end: "would change to cast if resin rose 18 %"."""
        percent = abs(self.change) * 100
        shown = f"{float(percent):.0f}" if percent >= 1 else f"{float(percent):.1f}"
        verb = "rose" if self.change > 0 else "fell"
        return f"would change to {self.title or self.instead} if {self.driver} {verb} {shown} %"


@dataclass(frozen=True, slots=True, kw_only=True)
class Recommendation:
    """One process, or none, with the reasons in plain words."""

    process: str | None
    why: str
    switching: tuple[SwitchingValue, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Every process that may make a part, set side by side.

    Attributes:
        unit_costs: Cost of one good part by process for the quantities 1, 2, 3, ...;
            None where it is unknown.
        unbeaten: Processes that no other beats on cost, time, stiffness and mass at once.
    """

    part: str
    quantity: int
    choices: tuple[Choice, ...]
    unit_costs: Mapping[str, tuple[Fraction | None, ...]]
    crossovers: tuple[Crossover, ...]
    winners: tuple[Winner, ...]
    unbeaten: tuple[str, ...]
    recommended: Recommendation


def crossovers(unit_costs: Mapping[str, Sequence[Fraction | None]]) -> tuple[Crossover, ...]:
    """Return where the cheapest process changes, from quantity 1 on.

    A tie keeps the process that was cheapest before it; at quantity 1 the first named wins.
    Processes whose cost is unknown take no part.
    """
    found: list[Crossover] = []
    held: str | None = None
    for at in range(max((len(costs) for costs in unit_costs.values()), default=0)):
        known = {
            process: cost
            for process, costs in unit_costs.items()
            if at < len(costs) and (cost := costs[at]) is not None
        }
        if not known:
            continue
        least = min(known.values())
        if held in known and known[held] == least:
            continue
        held = next(process for process, cost in known.items() if cost == least)
        found.append(Crossover(from_quantity=at + 1, process=held))
    return tuple(found)


def winners(choices: Sequence[Choice]) -> tuple[Winner, ...]:
    """Return who is best under each aim, among those that pass; the first of equals."""
    standings = [choice.standing for choice in choices]
    found = ((aim, best_under(standings, aim)) for aim in AIMS if aim != "recommended")
    return tuple(Winner(aim=aim, process=process) for aim, process in found if process)


def unbeaten(choices: Sequence[Choice]) -> tuple[str, ...]:
    """Return the processes that no other matches on every count and beats on one."""

    def beats(one: Choice, other: Choice) -> bool:
        here, there = one.standing, other.standing
        pairs = [(here.measure(aim), there.measure(aim)) for aim in AIMS if aim != "recommended"]
        known = [(a, b) for a, b in pairs if a is not None and b is not None]
        unknown_there = any(a is None and b is not None for a, b in pairs)
        return (
            bool(known)
            and not unknown_there
            and all(a <= b for a, b in known)
            and any(a < b for a, b in known)
        )

    return tuple(c.process for c in choices if not any(beats(o, c) for o in choices if o is not c))


def switching_values(best: Choice, others: Sequence[Choice]) -> tuple[SwitchingValue, ...]:
    """Return how far each cost input must move before another costs no more, nearest first.

    Every input moves alone and moves in all processes at once: wages, each material's
    price, moulds, stations. Of several that would win, the first to do so is said, each way.
    Inputs that would have to fall below nothing are left out.
    """
    nearest: dict[tuple[str, bool], SwitchingValue] = {}
    for other in others:
        for found in _meetings(best, other):
            way = (found.driver, found.change > 0)
            if way not in nearest or abs(found.change) < abs(nearest[way].change):
                nearest[way] = found
    return tuple(sorted(nearest.values(), key=lambda s: (abs(s.change), s.driver)))


def _meetings(best: Choice, other: Choice) -> Iterator[SwitchingValue]:
    """Yield where two costs meet as one input moves in both."""
    if best.cost is None or other.cost is None:
        return
    here, there = best.cost.per_good_part, other.cost.per_good_part
    if here is None or there is None:
        return
    mine, theirs = best.cost.drivers(), other.cost.drivers()
    for driver in {**mine, **theirs}:
        slope = mine.get(driver, Fraction(0)) - theirs.get(driver, Fraction(0))
        if slope == 0:
            continue
        change = (there - here) / slope
        if change > -1:
            yield SwitchingValue(
                driver=driver, change=change, instead=other.process, title=other.title
            )


def recommend(choices: Sequence[Choice], *, by: int | None = None) -> Recommendation:
    """Return the one process to take, with its reasons and its margin.

    The cheapest of those that pass and are ready in time; where none is ready in time,
    the soonest of those that pass; where none of them has a date, the cheapest, with what it
    lacks for one; where none passes, none.

    Args:
        choices: All processes for the part.
        by: Minute the parts are wanted, None where there is no date.
    """
    passing = [c for c in choices if c.passes]
    if not passing:
        return Recommendation(process=None, why=_why_none(choices))
    taken = best_under([c.standing for c in choices], "recommended", by=by)
    if taken is not None:
        best = next(c for c in choices if c.process == taken)
        if best.finish is not None and not best.standing.is_in_time(by):
            return Recommendation(
                process=best.process,
                why=f"No process is ready by the date asked; {best.title} is the soonest of those "
                f"that pass.",
            )
        timed = by is not None and best.finish is not None
        others = [
            c
            for c in passing
            if c is not best
            and c.standing.cost_each is not None
            and (not timed or c.standing.is_in_time(by))
        ]
        found = _cheapest(best, others, choices, timed=timed)
        return replace(found, why=" ".join([found.why, *_undated(best, passing)]))
    names = ", ".join(c.title for c in passing)
    return Recommendation(
        process=None,
        why=f"The cost of {names} is unknown, so none can be recommended: give the materials "
        f"named a price.",
    )


def _undated(best: Choice, passing: Sequence[Choice]) -> Iterator[str]:
    """Yield that the one to take has no date, and what it lacks for one."""
    if best.finish is not None:
        return
    if len(passing) > 1 and all(c.finish is None for c in passing):
        yield "No way that passes has a date, so this goes by cost alone."
    lacks = "; ".join(reason.rstrip(".") for reason in best.undated)
    yield f"No date can be given for {best.title}{f': {lacks}' if lacks else ''}."


def _cost(choice: Choice) -> Fraction:
    assert choice.cost is not None
    assert choice.cost.per_good_part is not None
    return choice.cost.per_good_part


def _cheapest(
    best: Choice, others: Sequence[Choice], choices: Sequence[Choice], *, timed: bool
) -> Recommendation:
    words = [_strength(best)]
    switching: tuple[SwitchingValue, ...] = ()
    if others:
        second = min(others, key=_cost)
        more = (_cost(second) - _cost(best)) / _cost(best) if _cost(best) else Fraction(0)
        words.append(
            f"It costs least of those that pass{' and are ready in time' if timed else ''}; "
            f"{second.title} costs {float(more * 100):.0f} % more."
        )
        switching = switching_values(best, others)
        if switching and abs(switching[0].change) <= FARTHEST_CHANGE_SAID:
            words.append(f"The choice {switching[0].text}.")
        else:
            words.append("No single price, wage or mould cost would change that short of tripling.")
    unpriced = [c for c in choices if c.passes and (not c.cost or c.cost.per_good_part is None)]
    words.extend(
        f"{c.title} passes too, and its cost is unknown, so it is not weighed here."
        for c in unpriced
    )
    if not others and not unpriced:
        words.append("No other process passes" + (" in time." if timed else "."))
    failing = [c for c in choices if not c.passes]
    words.extend(_failing(c) for c in failing)
    least = best.judgement.deflection_mm
    if best.judgement.utilisation is not None and least is not None:
        words.append(f"It would fail if less than {fitted(least)} mm were allowed.")
    return Recommendation(process=best.process, why=" ".join(words), switching=switching)


def _strength(choice: Choice) -> str:
    judged = choice.judgement
    if judged.deflection_mm is None or judged.allowed_mm is None:
        return f"{choice.title} can make it; no stiffness is asked for."
    return (
        f"{choice.title} passes: it bends {fitted(judged.deflection_mm)} mm of the "
        f"{judged.allowed_mm:g} mm allowed."
    )


def _failing(choice: Choice) -> str:
    judged = choice.judgement
    if not judged.makeable:
        return f"{choice.title} cannot make it: {'; '.join(judged.reasons)}."
    if (
        judged.deflection_mm is not None
        and judged.utilisation is not None
        and (judged.utilisation > 1)
    ):
        return f"{choice.title} fails: it bends {fitted(judged.deflection_mm)} mm."
    return f"{choice.title} fails: {'; '.join(judged.reasons) or 'see its judgement'}."


def _why_none(choices: Sequence[Choice]) -> str:
    if not choices:
        return "No process is named for this part yet: name one that may make it."
    return "No process passes. " + " ".join(_failing(c) for c in choices)
