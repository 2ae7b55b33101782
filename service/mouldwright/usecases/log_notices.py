"""What the log tells whoever looks at the day: late starts, other starts, dates that moved."""

from __future__ import annotations

from collections.abc import Iterator

from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import lasting
from mouldwright.planning.logged.done import works_of
from mouldwright.planning.logged.prospect import Prospect
from mouldwright.planning.plan import OrderOutcome, Plan
from mouldwright.usecases.as_told import AsTold
from mouldwright.usecases.board import changes_between
from mouldwright.usecases.notice import Notice, when
from mouldwright.usecases.why import Moves

# So many late starts are told one by one; of the rest only how many.
MOST_LATE = 3
# An order whose date moves by less is not worth a word.
LEAST_MOVED_MIN = 60
MOST_REASONS = 2


def log_notices(
    shop: Shop, plan: Plan, told: AsTold, before: Plan | None, *, now: int
) -> Iterator[Notice]:
    """Yield what the log of a shop tells beside a plan.

    Args:
        shop: As its log left it.
        plan: The one that holds.
        told: The same as the log has it.
        before: The plan that held before it; None where there was none.
        now: Minute it is seen at.
    """
    if not shop.log:
        return
    yield from _late(shop, plan, told)
    outcomes = () if told.plan is None else told.plan.orders
    ready = {outcome.number for outcome in outcomes if outcome.finish <= now}
    for each in told.prospects:
        # Of an order that is ready nothing waits for anyone any more.
        if each.order not in ready:
            yield _starts(shop, each)
    if before is not None:
        yield from _moved(shop, before, plan)


def _late(shop: Shop, plan: Plan, told: AsTold) -> Iterator[Notice]:
    """Yield what should have begun by now and was not ticked off."""
    places = []
    seen: set[object] = set()
    for at in sorted(told.late, key=lambda at: (plan.tasks[at].start, at)):
        works: set[object] = set(works_of(plan.tasks[at])) or {plan.tasks[at].mould}
        # What follows on a late start cannot have begun either.
        if not works & seen:
            places.append(at)
        seen |= works
    for at in places[:MOST_LATE]:
        task = plan.tasks[at]
        orders = ", ".join(dict.fromkeys(member.order for member in task.members))
        on = f" on {task.mould}" if task.mould else ""
        whose = f" (order {orders})" if orders else ""
        text = (
            f"{task.operation.capitalize()}{on}{whose} {told.late[at].removeprefix('it ')}; if it "
            "has, tick it off."
        )
        yield Notice(kind="late-start", key=str(at), text=text, at=task.start, presses=True)
    if len(places) > MOST_LATE:
        more = len(places) - MOST_LATE
        text = f"{more} more {'task has' if more == 1 else 'tasks have'} not begun in time."
        yield Notice(kind="late-start", key=str(places[MOST_LATE]), text=text, presses=True)


def _starts(shop: Shop, each: Prospect) -> Notice:
    """Return what the good and bad parts so far mean for an order."""
    unit = "pull" if each.has_pulls else "part"
    missing = max(each.wanted - each.good, 0)
    text = f"Order {each.order}: {each.good} good of {each.judged} judged, "
    if not missing:
        text += "that is enough; no more is begun."
    else:
        text += (
            f"{missing} still wanted: {_many(each.to_begin, unit)} more, {each.in_all} in all in "
            f"place of {each.planned}."
        )
    if each.if_it_lasts is not None and each.if_it_lasts > each.in_all:
        share = each.good / each.judged * 100
        asked = each.expected_rate * 100
        text += (
            f" {share:.0f} % were good so far, and {asked:.0f} % should be: if that lasts it is "
            f"{each.if_it_lasts} in all. Ask why before going on."
        )
    if each.is_unlikely:
        text += " So few good ones are hardly chance."
    return Notice(
        kind="starts", key=each.order, text=text, presses=each.is_unlikely or each.to_begin > 0
    )


def _many(count: int, unit: str) -> str:
    return f"{count} {unit}" if count == 1 else f"{count} {unit}s"


def _moved(shop: Shop, before: Plan, plan: Plan) -> Iterator[Notice]:
    """Yield the orders whose date the newest plan moved, why, and how likely their day is now."""
    changes = changes_between(before, plan)
    moved = [
        (was, now)
        for was, now in changes.orders
        if was is not None and now is not None and abs(now.finish - was.finish) >= LEAST_MOVED_MIN
    ]
    if not moved:
        return
    because = Moves(shop, before, plan).because[:MOST_REASONS]
    chances = {each.order: each for each in changes.chances}
    for was, now in moved:
        text = _moved_text(was, now, because, plan.zone)
        chance = chances.get(now.number)
        if chance is not None and round(chance.before, 2) != round(chance.after, 2):
            text += (
                f" Its day is kept in {chance.after * 100:.0f} of 100 runs of the plan, "
                f"{chance.before * 100:.0f} before."
            )
        at_risk = bool(now.late_min) or (chance is not None and chance.at_risk)
        yield Notice(kind="changed", key=now.number, text=text, at=now.finish, presses=at_risk)


def _moved_text(was: OrderOutcome, now: OrderOutcome, because: tuple[str, ...], zone: str) -> str:
    later = now.finish - was.finish
    how = f"{lasting(abs(later))} {'later' if later > 0 else 'sooner'}"
    why = f": {'; '.join(because)}" if because else ""
    return f"Order {now.number} is ready {when(now.finish, zone)}, {how} than before{why}."
