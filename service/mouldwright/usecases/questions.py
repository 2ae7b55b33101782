"""Questions about a shop that is kept, on top of all that is booked in it; nothing is kept."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.compare import LARGEST_QUANTITY_SWEPT, Comparison
from mouldwright.domain.costing.hour_price import HourPrices, hour_prices
from mouldwright.domain.costing.risk import DRAWS
from mouldwright.domain.counted import ProcessTests
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.judgement import Judgement, judge
from mouldwright.domain.part.mass import charge
from mouldwright.domain.quote import Quote
from mouldwright.domain.rate import Rate
from mouldwright.domain.rate import rate as rate_of
from mouldwright.domain.record.charge_sheet import ChargeSheet, charge_sheet
from mouldwright.domain.record.sample import SamplePlan, agreed_plan, sample_plan
from mouldwright.domain.record.tolerance import CONFIDENCE
from mouldwright.domain.shop import Shop
from mouldwright.domain.standing import Aim
from mouldwright.domain.switching.find import WhatChanges
from mouldwright.domain.terms import USUAL, Terms
from mouldwright.usecases import buying, enquiry, quoting
from mouldwright.usecases.bench_tests import bench_tests
from mouldwright.usecases.booked_shop import BookedShop, read_booked
from mouldwright.usecases.buying import ToBuy, Wanted
from mouldwright.usecases.enquiry import Finish, FinishBeside, beside, finish_by_rate
from mouldwright.usecases.present import wanted_by
from mouldwright.usecases.services import Services
from mouldwright.usecases.what_if import WhatIf, with_what_if

AS_WRITTEN = WhatIf()


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """A comparison and the shop it was made in, what-if figures in it."""

    shop: Shop
    comparison: Comparison


@dataclass(frozen=True, slots=True, kw_only=True)
class Priced:
    """A price, not kept, and the shop it was made in."""

    shop: Shop
    quote: Quote


def compare(
    services: Services,
    shop: str,
    part: str,
    quantity: int,
    *,
    by: str | None,
    by_rate: bool,
    what_if: WhatIf = AS_WRITTEN,
    with_odds: bool = False,
    swept: int = LARGEST_QUANTITY_SWEPT,
) -> Compared:
    """Set every process that may make a part side by side.

    Args:
        services: The ports.
        shop: Key of the shop.
        part: Key of the part.
        quantity: Good parts wanted.
        by: Date, or date and time, they are wanted by; None where there is none.
        by_rate: Whether lead times are by rate alone.
        what_if: Figures of the shop and of what is asked of the part, taken otherwise.
        with_odds: Whether to say what each may cost.
        swept: Up to which quantity costs are worked out and crossovers looked for.

    Raises:
        Unknown: if there is no such shop.
        InvalidInput: if there is no such part, or what is asked cannot be right.
    """
    check_quantity(services, quantity)
    read = _read(services, shop, by_rate=by_rate)
    booked = _as_if(read.without(), part, what_if)
    comparison = enquiry.compare(
        booked,
        part,
        quantity,
        now=minute_of(services.clock()),
        finish=_finish(services.finish, read, by_rate=by_rate),
        by=wanted_by(booked, by),
        draws=DRAWS if with_odds else 0,
        swept=swept,
    )
    return Compared(shop=booked, comparison=comparison)


@dataclass(frozen=True, slots=True, kw_only=True)
class Switching:
    """What would change the answer, and the shop it was asked of."""

    shop: Shop
    found: WhatChanges


def what_changes(
    services: Services,
    shop: str,
    part: str,
    quantity: int,
    *,
    aim: Aim = "recommended",
    by: str | None = None,
    what_if: WhatIf = AS_WRITTEN,
) -> Switching:
    """Say at which value of each number another process would be the best.

    Args:
        services: The ports.
        shop: Key of the shop.
        part: Key of the part.
        quantity: Good parts wanted.
        aim: What it is the best of.
        by: Date, or date and time, they are wanted by; None where there is none.
        what_if: Figures of the shop and of what is asked of the part, taken otherwise.

    Raises:
        Unknown: if there is no such shop.
        InvalidInput: if there is no such part, or what is asked cannot be right.
    """
    booked = _asked(services, shop, part, quantity, what_if)
    found = enquiry.what_changes(
        booked,
        part,
        quantity,
        now=minute_of(services.clock()),
        aim=aim,
        by=wanted_by(booked, by),
    )
    return Switching(shop=booked, found=found)


def price(
    services: Services,
    shop: str,
    part: str,
    process: str | None,
    quantity: int,
    *,
    by_rate: bool,
    with_odds: bool = False,
    terms: Terms = USUAL,
    by: str | None = None,
) -> Priced:
    """Price so many of a part or a set, as a quote would, without a number.

    With odds it also says what the order may cost.

    Args:
        services: The ports.
        shop: Key of the shop.
        part: Key of a part or a set.
        process: Key of the process; None for a set.
        quantity: Good pieces wanted.
        by_rate: Whether the date is by rate alone.
        with_odds: Whether to say what the order may cost.
        terms: What is agreed beside part and quantity.
        by: Date, or date and time, it is wanted by; None where there is none.

    Raises:
        Unknown: if there is no such shop.
        InvalidInput: if there is no such part or process, or a cost is unknown.
        CannotBeMade: if the part cannot be made so.
    """
    check_quantity(services, quantity)
    read = _read(services, shop, by_rate=by_rate)
    booked = read.without()
    wanted = wanted_by(booked, by)
    quote = quoting.quote(
        booked,
        part,
        process,
        quantity,
        now=minute_of(services.clock()),
        finish=_finish(services.finish, read, by_rate=by_rate),
        draws=DRAWS if with_odds else 0,
        terms=terms,
        due=None if wanted is None else local(wanted, booked.zone),
        hurried=_finish(services.hurried, read, by_rate=by_rate),
    )
    return Priced(shop=booked, quote=quote)


def deflection(services: Services, shop: str, part: str, process: str) -> Judgement:
    """Say how a part fares by a process. Raises Unknown, InvalidInput."""
    booked = _booked(services, shop)
    return judge(booked, booked.part(part), booked.process(process))


def weights(services: Services, shop: str, part: str, process: str, pulls: int) -> ChargeSheet:
    """Say what is weighed for so many pulls. Raises Unknown, InvalidInput, CannotBeMade."""
    booked = _booked(services, shop)
    return charge_sheet(booked, booked.part(part), booked.process(process), pulls)


def stiffness(services: Services, shop: str, process: str | None) -> tuple[ProcessTests, ...]:
    """Say what the bench tests of a process, or of each, have taught.

    Raises:
        Unknown: if there is no such shop.
        InvalidInput: if there is no such process.
    """
    return bench_tests(_booked(services, shop), process)


def rate(services: Services, shop: str, part: str, process: str, *, moulds: int | None) -> Rate:
    """Say how many a day a process makes.

    Args:
        services: The ports.
        shop: Key of the shop.
        part: Key of the part.
        process: Key of the process.
        moulds: As if there were so many; None for those there are.

    Raises:
        Unknown: if there is no such shop.
        InvalidInput: if there is no such part or process.
        CannotBeMade: if the part cannot be made so.
    """
    booked = _booked(services, shop)
    made, by = booked.part(part), booked.process(process)
    now = minute_of(services.clock())
    return rate_of(booked, made, by, moulds=moulds, charge=charge(booked, made, by), now=now)


def hour(services: Services, shop: str) -> tuple[Shop, HourPrices]:
    """Say what an hour of hands costs, and of which shop. Raises Unknown, InvalidInput."""
    booked = _booked(services, shop)
    return booked, hour_prices(booked)


def to_buy(services: Services, shop: str, *, by: str | None, beside: Wanted | None) -> ToBuy:
    """Say what to buy for the open orders, or for one more beside them.

    Raises:
        Unknown: if there is no such shop.
        InvalidInput: if there is no such part or process, or the date is none to come.
        CannotBeMade: if a part cannot be made so.
    """
    if beside is not None:
        check_quantity(services, beside.quantity)
    booked = _booked(services, shop)
    return buying.to_buy(booked, now=minute_of(services.clock()), by=by, beside=beside)


def _asked(services: Services, shop: str, part: str, quantity: int, what_if: WhatIf) -> Shop:
    """Return the shop that a question about so many of a part is asked of."""
    check_quantity(services, quantity)
    return _as_if(_booked(services, shop), part, what_if)


def _as_if(booked: Shop, part: str, what_if: WhatIf) -> Shop:
    return with_what_if(booked, part, what_if) if what_if.is_any else booked


def check_quantity(services: Services, quantity: int) -> None:
    """Raise InvalidInput where more is asked for than this service takes at once."""
    if quantity > services.limits.quantity:
        raise InvalidInput(
            [
                Fault(
                    path="quantity",
                    value=str(quantity),
                    problem="that is more than is taken at once.",
                    remedy=f"Ask for at most {services.limits.quantity}.",
                )
            ]
        )


def _booked(services: Services, shop: str) -> Shop:
    return read_booked(services.units, shop, services.written).without()


def _read(services: Services, shop: str, *, by_rate: bool) -> BookedShop:
    """Return a shop, with what its bench works by where dates are planned."""
    return read_booked(services.units, shop, services.written, with_held=not by_rate)


def _finish(planned: FinishBeside, read: BookedShop, *, by_rate: bool) -> Finish:
    return finish_by_rate if by_rate else beside(planned, read.held)


def sample(
    *,
    lot: int | None,
    bad_share: float,
    confidence: float,
    may_fail: int,
    good_share: float | None = None,
    good_passes: float = CONFIDENCE,
) -> SamplePlan:
    """Return how many of a lot to test, and where a good lot must pass how many may fail.

    Raises:
        InvalidInput: if the two shares cannot be told apart.
    """
    try:
        if good_share is None:
            return sample_plan(
                lot=lot, bad_share=bad_share, confidence=confidence, allowed=may_fail
            )
        return agreed_plan(
            lot=lot,
            good_share=good_share,
            bad_share=bad_share,
            good_passes=good_passes,
            confidence=confidence,
        )
    except ValueError as error:
        fault = Fault(
            path="good_share" if good_share is not None else "bad_share",
            value=f"{good_share if good_share is not None else bad_share:g}",
            problem=f"{error}.",
            remedy="Write a good share well below the bad one, such as 0.01 and 0.1.",
        )
        raise InvalidInput([fault]) from error
