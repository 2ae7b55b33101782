"""Which run's plan waits for someone to look at it and publish it."""

from __future__ import annotations

from collections.abc import Iterable

from mouldwright.usecases.kept_run import Basis, KeptPlan, Run


def waits_to_be_looked_at(runs: Iterable[Run], kept: KeptPlan | None, basis: Basis) -> Run | None:
    """Return the newest run that ended with a plan which was not published and still fits.

    Args:
        runs: The newest first.
        kept: The plan that holds; None where there is none.
        basis: The shop and its orders as they are now.
    """
    for run in runs:
        if run.state not in ("done", "cancelled") or run.ended_at is None:
            continue
        if kept is not None and (kept.run == run.id or run.ended_at <= kept.made_at):
            return None
        if run.publishes or run.progress is None or run.basis != basis:
            continue
        return run
    return None
