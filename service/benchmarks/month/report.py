"""A month in words."""

from __future__ import annotations

from collections.abc import Sequence

from .live import Month, Promise


def said(seed: int, month: Month) -> str:
    """Return what came of one month."""
    happened = ", ".join(
        f"{count} {what}"
        for what, count in sorted(month.told.items())
        if what not in {"started", "finished"}
    )
    kept, judged = kept_of(month.promises)
    text = (
        f"month {seed}: {month.days} days, {month.tasks} tasks noted; "
        f"{happened or 'nothing went wrong'}; {month.passed} greatest waits passed; "
        f"{kept} of {judged} promised dates kept."
    )
    if month.pulls:
        text += (
            f" {month.pulls} pulls counted: nobody and no mould was in two places, no work began "
            "out of hours, and the ledgers balance."
        )
    return text


def kept_of(promises: Sequence[Promise]) -> tuple[int, int]:
    """Return how many promises were kept, and of how many that is known."""
    judged = [p for p in promises if p.ready is not None]
    return sum(p.ready is not None and p.ready <= p.promised for p in judged), len(judged)


def totals(months: Sequence[Month]) -> str:
    """Return what came of many months."""
    every = [promise for month in months for promise in month.promises]
    kept, judged = kept_of(every)
    share = f"{100 * kept / judged:.1f} %" if judged else "none"
    return (
        f"{len(months)} months: {kept} of {judged} promised dates kept ({share}), "
        f"{len(every) - judged} not ready when their month was over"
    )
