"""What a customer sees of a quote by a link: the offer, and nothing of the bench."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.promise.booking import Booking
from mouldwright.domain.quote import for_who_uses_it
from mouldwright.domain.shop import Shop
from mouldwright.usecases.quote_links import Offer
from mouldwright.web.view_models.agreed import DeliveryRow
from mouldwright.web.view_models.quote import DEPOSIT, QuoteView
from mouldwright.web.view_models.shape import Facts, requirement_facts
from mouldwright.web.words import at_minute, long_day


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferView:
    """A quote as it was sent. Costs, notes, other quotes and the bench's figures have no place.

    Attributes:
        standing: One sentence on where it stands, empty while it is open.
        is_booked: Whether it became an order, whose stage can be looked at.
        is_open: Whether it can be accepted or declined here.
        to_order: What accepting it comes to, in a sentence.
        asked: What the part must bear, as far as it was said.
        assumed: Sentences on what the offer rests on.
        maker: The shop's name, address, contact and tax number, a line each.
    """

    number: int
    revision: int
    offer: str
    what: str
    by: str
    customer: str
    made: str
    until: str
    ready: str
    kept: str
    wanted: str
    is_late: bool
    tax_words: str
    address: tuple[str, ...]
    deliveries: tuple[DeliveryRow, ...]
    rush_option: str
    spares: tuple[str, ...]
    currency: str
    lines: tuple[tuple[str, str, str], ...]
    amounts: tuple[tuple[str, str, bool], ...]
    breaks: tuple[tuple[str, str, str, bool], ...]
    breaks_notes: tuple[str, ...]
    maker: tuple[str, ...]
    mark_path: str
    cautions: tuple[str, ...]
    standing: str
    is_booked: bool
    is_open: bool
    to_order: str
    asked: Facts
    assumed: tuple[str, ...]


def offer_view(shop: Shop, offer: Offer, view: QuoteView) -> OfferView:
    """Return what the customer sees of a quote's sheet.

    Args:
        shop: As it was when the revision was made.
        offer: What the link shows; something is shown.
        view: The sheet of that revision, as the bench sees it.
    """
    part = shop.parts.get(offer.shown.inputs.part) if offer.shown else None
    owed = {title: f"{value} {view.currency}" for title, value, _ in view.amounts}
    to_order = f"By accepting you order {view.quantity:,} for {owed['To pay']}, tax included"
    deposit = next((owed[title] for title in owed if title.startswith(DEPOSIT)), "")
    if deposit:
        to_order += f"; {deposit} of it is due on ordering"
    return OfferView(
        number=view.number,
        revision=view.revision,
        offer=view.offer,
        what=view.what,
        by=view.by,
        customer=view.customer,
        made=view.made,
        until=view.until,
        ready=view.ready,
        kept=view.kept,
        wanted=view.wanted,
        is_late=view.is_late,
        tax_words=view.tax_words,
        address=view.address,
        deliveries=view.deliveries,
        rush_option=view.rush_option,
        spares=view.spares,
        currency=view.currency,
        lines=view.lines,
        amounts=view.amounts,
        breaks=view.breaks,
        breaks_notes=view.breaks_notes,
        maker=view.maker,
        mark_path=view.mark_path,
        cautions=for_who_uses_it(view.cautions),
        standing=_standing(offer, view),
        is_booked=offer.booking is not None and view.state == "accepted",
        is_open=offer.is_open and not view.is_past,
        to_order=f"{to_order}.",
        asked=requirement_facts(part) if part else (),
        assumed=_assumed(view),
    )


def _standing(offer: Offer, view: QuoteView) -> str:
    if offer.booking is not None and view.state == "accepted":
        return _booked(offer.booking, offer)
    if view.state == "declined":
        return "It was declined. Ask us if you want it after all."
    if view.state == "lapsed" or view.is_past:
        return f"It was open until {view.until}. Ask us for a new one."
    return ""


def _booked(booking: Booking, offer: Offer) -> str:
    order = booking.order.number
    if booking.state == "cancelled":
        return f"Order {order}, which it became, was called off."
    zone = offer.shown.figures.zone if offer.shown else "UTC"
    if not booking.moved_min(zone) or booking.promised is None or booking.expected is None:
        return f"It is accepted and booked as order {order}."
    promised, expected = _day(booking.promised, zone), _day(booking.expected, zone)
    return (
        f"It is accepted and booked as order {order}. It was promised for {promised}; with what "
        f"was booked since it would be ready {expected}. We will tell you."
    )


def _day(minute: int, zone: str) -> str:
    return long_day(at_minute(minute, zone))


def _assumed(view: QuoteView) -> tuple[str, ...]:
    said = [
        "The parts are as drawn and asked for above; any change is priced anew.",
        f"Prices hold until {view.until} for the quantity named.",
    ]
    if view.ready:
        said.append(
            f"Ready means ready to ship. The day goes by what was booked on "
            f"{view.made}, and is looked at again when you order."
        )
    return tuple(said)
