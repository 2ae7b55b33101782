"""What the good and bad parts so far mean for an order: more starts, fewer, and if it lasts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from mouldwright.domain.costing.scrap import GoodRates, chance_of, good_rates, still_needed
from mouldwright.domain.errors import MouldwrightError
from mouldwright.domain.shop import Shop
from mouldwright.planning.logged.beside import AsItWent
from mouldwright.planning.logged.starts import Outlook, outlook
from mouldwright.planning.toolmaking import serving

# Of fewer parts nothing is said about what share is good; common sense, no source.
FEWEST_JUDGED = 5
# So few good ones are no matter of luck any more; the usual level of such tests, no source.
UNLIKELY = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Prospect:
    """One part of an order whose starts are no longer those it was planned with.

    Attributes:
        good: Good parts so far.
        judged: Parts of which it is known.
        wanted: Good parts wanted in all.
        to_begin: Pulls (or parts, without pulls) still to be begun.
        in_all: With those begun.
        planned: In all, when nothing was lost yet.
        if_it_lasts: In all, were as many good as have been so far; None for too few to tell.
        expected_rate: Share of parts that should be good.
        is_unlikely: Whether so few good ones are hardly luck.
    """

    order: str
    part: str
    process: str
    has_pulls: bool
    good: int
    judged: int
    wanted: int
    to_begin: int
    in_all: int
    planned: int
    if_it_lasts: int | None
    expected_rate: float
    is_unlikely: bool


def prospects(went: AsItWent) -> tuple[Prospect, ...]:
    """Return the parts of open orders of which more or fewer are begun than were planned."""
    shop, read = went.problem.shop, went.read
    found = []
    for number in read.tells_of:
        for piece in read.pieces.get(number, ()):
            known = outlook(shop, piece, read, went.problem.running, now=went.problem.now)
            found += list(_told(shop, known))
    return tuple(sorted(found, key=lambda each: (each.order, each.part)))


def _told(shop: Shop, known: Outlook) -> Iterator[Prospect]:
    piece = known.piece
    process = shop.process(piece.process)
    families = serving(shop, piece.part, piece.process) if process.uses_mould else ()
    rates = good_rates(process, families[0].loss_rate if families else 0)
    in_all = len(known.begun) + known.to_begin
    # No more good ones than there are, of those judged.
    chance = 1 - chance_of(known.good + 1, known.judged, 1, GoodRates(part=rates.each))
    unlikely = known.judged >= FEWEST_JUDGED and rates.each < 1 and chance < UNLIKELY
    if in_all == piece.units and not unlikely:
        return
    yield Prospect(
        order=piece.order,
        part=piece.part,
        process=piece.process,
        has_pulls=piece.numbers.has_pulls,
        good=known.good,
        judged=known.judged,
        wanted=piece.quantity,
        to_begin=known.to_begin,
        in_all=in_all,
        planned=piece.units,
        if_it_lasts=_if_it_lasts(shop, known),
        expected_rate=float(rates.each),
        is_unlikely=unlikely,
    )


def _if_it_lasts(shop: Shop, known: Outlook) -> int | None:
    """Return the units in all, were the share of good parts to stay what it is."""
    if known.judged < FEWEST_JUDGED or not known.good:
        return None
    share = GoodRates(part=Fraction(known.good, known.judged))
    each = known.piece.cavities
    try:
        return still_needed(
            known.piece.quantity,
            share,
            pulls_done=-(-known.judged // each),
            good_so_far=known.good,
            cavities=each,
            service_level=shop.service_level,
        ).pulls_in_all
    except MouldwrightError:
        return None
