"""What fixes a date, as a sheet shows it."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.figures.plain_bars import PlainBar, PlainBars
from mouldwright.planning.reasons import Explanation
from mouldwright.web.charts import Figure, bars_figure
from mouldwright.web.words import at_minute, moment

# Shares of less than this are told together.
LEAST_SHARE = 0.02
MOST_SHARES = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class WhyRow:
    """One stretch of the chain behind a finish."""

    start: str
    end: str
    what: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WhyView:
    """What fixes an order's date, the last stretch first."""

    headline: str
    rows: tuple[WhyRow, ...]
    figure: Figure | None


def why_view(why: Explanation, zone: str) -> WhyView:
    """Return the sheet's part on what fixes a date."""
    return WhyView(
        headline=why.headline,
        rows=tuple(
            WhyRow(
                start=moment(at_minute(each.start, zone)),
                end=moment(at_minute(each.end, zone)),
                what=each.what,
                why=each.why,
            )
            for each in why.stretches
        ),
        figure=_shares(why),
    )


def _shares(why: Explanation) -> Figure | None:
    if not why.shares:
        return None
    total = sum(share.minutes for share in why.shares)
    told = [s for s in why.shares[:MOST_SHARES] if s.minutes >= LEAST_SHARE * total]
    bars = [PlainBar(title=s.what[:1].upper() + s.what[1:], value=s.minutes / 60) for s in told]
    rest = total - sum(share.minutes for share in told)
    if rest:
        bars.append(PlainBar(title="All else", value=rest / 60))
    picture = PlainBars(
        title=f"What the time before order {why.chain.order} goes into",
        of="What",
        what="Hours",
        decimals=1,
        bars=tuple(bars),
    )
    return bars_figure(picture, "why-shares")
