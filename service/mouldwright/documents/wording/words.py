"""What a document has to be able to say, whatever the language."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteWords:
    """The words of a quote. Those in braces are filled in.

    Attributes:
        locale: By which numbers, money and dates are written.
        supports: How a part is held, by the requirement's word.
        loads: Where the load acts, the same way.
        cautions: The usual cautions, by the word a scenario names them with.
    """

    locale: str
    quote: str
    unnumbered: str
    revision: str
    maker: str
    tax_number: str
    sheet: str
    open_until: str
    standing: str
    for_whom: str
    offer: str
    made_by: str
    each_before_tax: str
    each_with_tax: str
    ready: str
    odds: str
    no_date: str
    wanted: str
    amount: str
    item: str
    top_up: str
    given_up: str
    discount: str
    discount_class: str
    discount_amount: str
    rush: str
    further_delivery: str
    delivery: str
    tax_in: str
    with_tax: str
    deliveries: str
    delivery_undated: str
    delivery_wanted: str
    rush_option: str
    as_priced: str
    pack: str
    shared: str
    inverted: str
    spare: str
    net: str
    tax: str
    by_line: str
    to_pay: str
    deposit: str
    on_delivery: str
    other_quantities: str
    pieces: str
    each: str
    rises: str
    rises_without_end: str
    least_order: str
    rods: str
    to_scale: str
    rests_on: str
    bends: str
    expected: str
    expected_by_theory: str
    expected_by_tests: str
    expected_as_stated: str
    as_drawn: str
    prices_hold: str
    day_is_from: str
    counted_from: str
    lacking_until: str
    lacking: str
    cautions_title: str
    section: str
    set_of: str
    page: str
    accept: str
    accept_by_writing: str
    supports: Mapping[str, str]
    loads: Mapping[str, str]
    bears_load: str
    defer: str
    cautions: Mapping[str, str]
