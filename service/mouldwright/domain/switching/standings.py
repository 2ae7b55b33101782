"""Each process judged and costed anew with one number changed; what it does not move is kept."""

from __future__ import annotations

from mouldwright.domain.costing.cost_model import CostModel, cost_model
from mouldwright.domain.errors import CannotBeMade, HardLimit, InvalidInput
from mouldwright.domain.judgement import Judgement, judge
from mouldwright.domain.lead_time import lead_time
from mouldwright.domain.standing import Standing
from mouldwright.domain.switching.input import Enquiry, Moves

# What a number that makes no sense ends in: a process it makes no sense for cannot be used.
_SENSELESS = (CannotBeMade, HardLimit, InvalidInput, ValueError, ZeroDivisionError)


class Standings:
    """Where every process stands for an enquiry, and for that enquiry changed."""

    def __init__(self, enquiry: Enquiry, *, now: int, with_dates: bool) -> None:
        """Judge and cost the enquiry as it is.

        Args:
            enquiry: What is asked.
            now: Minutes since the epoch, from which dates count.
            with_dates: Whether dates are worked out, by the rate alone.
        """
        self._now, self._with_dates = now, with_dates
        self._keys = enquiry.made.made_by
        self._judged = {key: _judged(enquiry, key) for key in self._keys}
        self._quantity = enquiry.quantity
        self._models: dict[str, CostModel | None] = {
            key: _model(enquiry, key, self._judged[key]) for key in self._keys
        }
        self.as_written = tuple(
            self._standing(enquiry, key, self._judged[key], None) for key in self._keys
        )

    def of(
        self,
        enquiry: Enquiry,
        *,
        moves: frozenset[Moves],
        processes: frozenset[str] | None,
    ) -> tuple[Standing, ...]:
        """Return where all stand for the enquiry with one number changed.

        Args:
            enquiry: As changed.
            moves: What that number moves.
            processes: The processes it moves; None moves all.
        """
        found = []
        for kept in self.as_written:
            key = kept.process
            if processes is not None and key not in processes:
                found.append(kept)
                continue
            judged = _judged(enquiry, key) if "strength" in moves else self._judged[key]
            finish_kept = None if "time" in moves else kept
            found.append(self._standing(enquiry, key, judged, finish_kept, moves=moves))
        return tuple(found)

    def _standing(
        self,
        enquiry: Enquiry,
        key: str,
        judged: Judgement | None,
        dated: Standing | None,
        *,
        moves: frozenset[Moves] = frozenset(),
    ) -> Standing:
        if "cost" in moves and enquiry.quantity == self._quantity:
            model = _model(enquiry, key, judged)
        else:
            model = self._models[key]
        passes = judged is not None and judged.makeable and judged.meets_requirement is not False
        cost = None if model is None else model.per_good_part(enquiry.quantity)
        return Standing(
            process=key,
            # One that a single pull cannot be made of within a limit is none to take.
            passes=passes and model is not None,
            cost_each=cost,
            finish=dated.finish if dated else self._finish(enquiry, key, judged, model),
            deflection_mm=judged.deflection_mm if judged else None,
            mass_g=judged.mass_g if judged else None,
        )

    def _finish(
        self, enquiry: Enquiry, key: str, judged: Judgement | None, model: CostModel | None
    ) -> int | None:
        if not self._with_dates or judged is None or model is None:
            return None
        starts = model.starts(enquiry.quantity).starts
        try:
            return lead_time(
                enquiry.shop,
                enquiry.made,
                enquiry.shop.process(key),
                starts,
                now=self._now,
                charge=judged.charge,
            ).finish
        except _SENSELESS:
            return None


def _judged(enquiry: Enquiry, key: str) -> Judgement | None:
    try:
        return judge(enquiry.shop, enquiry.made, enquiry.shop.process(key))
    except _SENSELESS:
        return None


def _model(enquiry: Enquiry, key: str, judged: Judgement | None) -> CostModel | None:
    if judged is None or not judged.makeable:
        return None
    try:
        model = cost_model(
            enquiry.shop, enquiry.made, enquiry.shop.process(key), charge=judged.charge
        )
        model.starts(enquiry.quantity)
    except _SENSELESS:
        return None
    return model
