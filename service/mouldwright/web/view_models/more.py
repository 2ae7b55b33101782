"""What one more of something would buy, and how many moulds an order wants, as sheets show it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from mouldwright.domain.shown import lasting, worked
from mouldwright.figures.plain_bars import PlainBar, PlainBars
from mouldwright.usecases.kept_run import Run
from mouldwright.web.charts import Figure, bars_figure
from mouldwright.web.words import moment, money
from mouldwright.wire.answers.gains import GainAnswer, MouldCountAnswer, OneMoreAnswer

MOST_BARS = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class GainRow:
    """One change that helps."""

    title: str
    less_late: str
    last_sooner: str
    sooner: str
    cost: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LateRow:
    """A late order, why, and what could be done: title, sooner, still late, cost, hands."""

    number: str
    late: str
    because: str
    options: tuple[tuple[str, str, str, str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MoreView:
    """What one more would buy."""

    stands: str
    rows: tuple[GainRow, ...]
    idle: tuple[str, ...]
    late: tuple[LateRow, ...]
    figure: Figure | None
    partly: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CountsView:
    """How many moulds an order wants: rows of moulds, new, ready, late, moulds, hands, all."""

    advice: str
    stops: str
    rows: tuple[tuple[str, ...], ...]
    figure: Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyRun:
    """A question under way, or how it ended."""

    id: str
    words: str
    ended: bool
    problems: tuple[str, ...]


def study_run(run: Run) -> StudyRun:
    """Return how a question stands."""
    words = {
        "waiting": "It waits for a worker.",
        "running": "Plans are being made.",
        "cancelled": "It was stopped.",
        "impossible": "There is no answer.",
        "set aside": "It failed and was set aside.",
    }.get(run.state, "Worked out.")
    if run.progress is not None and not run.ended:
        words = f"{run.progress.done} of {run.progress.total} plans are made."
    if run.cancel_asked and not run.ended:
        words = "Stopping with what is worked out so far."
    return StudyRun(id=run.id, words=words, ended=run.ended, problems=run.problems)


def more_view(answer: OneMoreAnswer) -> MoreView:
    """Return the sheet of what one more would buy."""
    helping = [gain for gain in answer.gains if _helps(gain)]
    stands = f"As things are the last order is ready {moment(answer.finish)}"
    if answer.late_min:
        stands += f", and orders are late by {lasting(answer.late_min)}, each counted by its weight"
    return MoreView(
        stands=f"{stands}.",
        rows=tuple(_row(gain, answer.currency) for gain in helping),
        idle=tuple(gain.title for gain in answer.gains if not _helps(gain)),
        late=tuple(
            LateRow(
                number=order.number,
                late=lasting(order.late_min),
                because=order.because,
                options=tuple(
                    (
                        option.title,
                        lasting(option.sooner_min) if option.sooner_min else "–",
                        lasting(option.late_min) if option.late_min else "in time",
                        _cost(answer.currency, option.cost),
                        worked(option.used_min) if option.used_min else "–",
                    )
                    for option in order.options
                ),
            )
            for order in answer.late
        ),
        figure=_gains_figure(helping, answer),
        partly=""
        if answer.tried == answer.changes
        else f"{answer.tried} of {answer.changes} changes were tried before it was stopped.",
    )


def counts_view(answer: MouldCountAnswer) -> CountsView:
    """Return the sheet's part on how many moulds an order wants."""
    rows = tuple(
        (
            str(tried.moulds),
            str(tried.new) if tried.new else "–",
            moment(tried.finish),
            lasting(tried.late_min) if tried.late_min else "–",
            _cost(answer.currency, tried.tooling),
            money(answer.currency, tried.work),
            _cost(answer.currency, tried.cost),
        )
        for tried in answer.counts
    )
    first = min(tried.finish for tried in answer.counts)
    bars = tuple(
        PlainBar(
            title=f"{tried.moulds} {'mould' if tried.moulds == 1 else 'moulds'}",
            value=(tried.finish - first).total_seconds() / 86_400,
            note=_cost(answer.currency, tried.cost),
            is_chosen=tried.moulds == answer.advised,
        )
        for tried in answer.counts
    )
    picture = PlainBars(
        title=f"Moulds for order {answer.order}",
        of="Moulds",
        what="Days later than the soonest",
        decimals=1,
        bars=bars,
        note="Moulds and hands",
    )
    many = f"{answer.advised} {'mould' if answer.advised == 1 else 'moulds'}"
    if answer.meets is False:
        advice = f"No count meets the date. {many.capitalize()} come nearest."
    else:
        met = " that meets the date" if answer.meets else ""
        least = (
            "the least cost"
            if answer.advised > answer.at_hand
            else "at hand, so at no more cost, the fewest that are soonest"
        )
        advice = f"Take {many}: {least}{met}. {answer.at_hand} are at hand."
    return CountsView(
        advice=advice,
        stops=f"No more were tried: {answer.stops}.",
        rows=rows,
        figure=bars_figure(picture, "mould-count"),
    )


def _helps(gain: GainAnswer) -> bool:
    return (gain.late_gain_min, gain.finish_gain_min, gain.sooner_min) > (0, 0, 0)


def _cost(currency: str, amount: str | None) -> str:
    return "not known" if amount is None else money(currency, amount)


def _row(gain: GainAnswer, currency: str) -> GainRow:
    note = gain.note[:1].upper() + gain.note[1:]
    if gain.used_min:
        note = f"{worked(gain.used_min)} of hands in it"
    return GainRow(
        title=gain.title[:1].upper() + gain.title[1:],
        less_late=lasting(gain.late_gain_min) if gain.late_gain_min else "–",
        last_sooner=lasting(gain.finish_gain_min) if gain.finish_gain_min else "–",
        sooner=lasting(gain.sooner_min) if gain.sooner_min > 0 else "–",
        cost=_cost(currency, gain.cost),
        note=note,
    )


def _gains_figure(helping: list[GainAnswer], answer: OneMoreAnswer) -> Figure | None:
    """Return the gains as bars: of lateness where there is any, else of all orders together."""
    if not helping:
        return None
    late = any(gain.late_gain_min for gain in helping)

    def value(gain: GainAnswer) -> int:
        return gain.late_gain_min if late else max(gain.sooner_min, 0)

    bars = tuple(
        PlainBar(
            title=gain.title[:1].upper() + gain.title[1:],
            value=float(Fraction(value(gain), 60)),
            note="" if gain.cost is None else money(answer.currency, gain.cost),
            is_chosen=place == 0,
        )
        for place, gain in enumerate(g for g in helping[:MOST_BARS] if value(g) > 0)
    )
    if not bars:
        return None
    what = "Hours less of lateness" if late else "Hours sooner, all orders together"
    picture = PlainBars(
        title="What one more would buy",
        of="Change",
        what=f"{what}, by weight",
        decimals=1,
        bars=bars,
        note="Cost",
    )
    return bars_figure(picture, "one-more")
