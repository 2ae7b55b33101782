"""English, as written in Britain."""

from __future__ import annotations

from mouldwright.documents.wording.words import QuoteWords
from mouldwright.domain.quote import BEARS_LOAD, DEFER, USUAL_CAUTIONS

ENGLISH = QuoteWords(
    locale="en_GB",
    quote="Quote {number}",
    unnumbered="Price, without a number",
    revision="Revision {revision}, {day}",
    maker="Maker",
    tax_number="Tax number {number}",
    sheet="Sheet",
    open_until="Open until",
    standing="open until {day}",
    for_whom="For {customer}",
    offer="{quantity} for {net}",
    made_by="{title}, {process}.",
    each_before_tax="{each} each, before tax.",
    ready="Ready {day}",
    odds="We keep that day in {chance} of 100 such orders.",
    no_date="No day is promised.",
    wanted="Wanted by {day}.",
    amount="Amount",
    item="{quantity} × {title}",
    top_up="To the smallest order we take",
    given_up="Begun and no longer wanted",
    each_with_tax="{each} each, tax included.",
    discount="Discount, {rate} of the goods",
    discount_class="Discount for {who}, {rate} of the goods",
    discount_amount="Discount",
    rush="Rush, {rate} of what is hurried",
    further_delivery="Freight of a further delivery",
    delivery="delivery {number}",
    tax_in="Tax in it, {rate}",
    with_tax="With tax",
    deliveries="Delivery {number}: {quantity}, ready {day}.",
    delivery_undated="Delivery {number}: {quantity}, no day is promised.",
    rush_option="Rush only the smallest lot you need: without it {ready} of {quantity} are ready "
    "by {day}; each one hurried costs {each} more.",
    as_priced="Other quantities are for goods sent at once at the ordinary pace, before any "
    "discount.",
    pack="{quantity} packs of {pack} × {title}",
    spare="Spare: {title}, a pack of {pack} by itself at {each} each, {goods}.",
    net="Net",
    tax="Tax, {rate}",
    to_pay="To pay",
    deposit="Deposit on ordering, {rate}",
    on_delivery="On delivery",
    other_quantities="Other quantities",
    pieces="Pieces",
    each="Each",
    rises="From {quantity} on a piece costs more than in {lower}, until {until}: a further mould, "
    "mix or pack is begun.",
    rises_without_end="From {quantity} on a piece costs more than in {lower}: a further mould, mix "
    "or pack is begun.",
    least_order="The smallest order we take is {net}.",
    rods="Rods: {count}, {sizes} mm across",
    to_scale="to scale",
    rests_on="What it rests on",
    bends="{support}, {force} {load}: it may bend {allowed}.",
    expected="We expect {deflection} and {mass}.",
    expected_by_theory="That is worked out, not measured; {share} of the calculated stiffness is "
    "counted on.",
    expected_by_tests="That is what nine parts in ten keep to, with 95 % confidence, by {tests} "
    "bench tests.",
    expected_as_stated="That is from a modulus stated for parts so made.",
    as_drawn="The parts are as drawn and asked for above; any change is priced anew.",
    prices_hold="Prices hold until {day} for the quantity named.",
    day_is_from="Ready means ready to ship. The day was worked out from what was booked on {day}, "
    "and is looked at again when you order.",
    cautions_title="Cautions",
    section="Section at the root, to scale, in mm. Span {span}.",
    set_of="{count} × {title}, {process}",
    page="Page {page} of {pages}",
    accept="To accept, use the link we sent, or write back.",
    supports={
        "cantilever": "Fixed at the root, free at the tip",
        "simply supported": "Resting on both ends",
        "both ends fixed": "Fixed at both ends",
        "elastic mounts": "On springy mounts",
    },
    loads={
        "end": "at the tip",
        "centre": "at the middle",
        "uniform": "spread along the span",
        "triangular": "spread, most at the root",
    },
    bears_load=BEARS_LOAD,
    defer=DEFER,
    cautions=USUAL_CAUTIONS,
)
