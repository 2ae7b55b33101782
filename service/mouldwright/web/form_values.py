"""Values out of a form that was sent; what cannot be right is said with its field."""

from __future__ import annotations

from datetime import date, datetime

from starlette.datastructures import FormData

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.hours.opening import local
from mouldwright.domain.shop import Shop
from mouldwright.usecases.present import wanted_by
from mouldwright.web.visit import text_of

MOST_DIGITS = 9


def whole_of(form: FormData, name: str) -> int:
    """Return a whole number of a form.

    Raises:
        InvalidInput: if there is none in that field.
    """
    return whole_text(name, text_of(form, name))


def whole_text(name: str, text: str) -> int:
    """Return the whole number that stands in a field. Raises InvalidInput where there is none."""
    if not (text.isascii() and text.isdigit() and len(text) <= MOST_DIGITS):
        raise InvalidInput(
            [_fault(name, text, "that is no whole number.", "Write one such as 24.")]
        )
    return int(text)


def due_of(shop: Shop, text: str) -> datetime | None:
    """Return when the shop closes on a day that was written; None where none was.

    Raises:
        InvalidInput: if it is no date.
    """
    if not text:
        return None
    try:
        date.fromisoformat(text)
    except ValueError:
        fault = _fault("by", text, "that is no date.", "Write it as 2027-03-19.")
        raise InvalidInput([fault]) from None
    minute = wanted_by(shop, text)
    return None if minute is None else local(minute, shop.zone)


def _fault(path: str, value: str, problem: str, remedy: str) -> Fault:
    return Fault(path=path, value=value, problem=problem, remedy=remedy)
