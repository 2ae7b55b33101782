"""A quote as its customer reads it: every line already in words, in one language.

It is made from the revision as it was given out and from the shop as it was then, so that the same
revision gives the same sheet whatever has changed since.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from mouldwright.documents.quote_amounts import (
    AmountRow,
    amount_rows,
    delivery_sentences,
    local_day,
    spare_sentences,
    stated,
)
from mouldwright.documents.wording import QuoteWords, words_in
from mouldwright.documents.writing import Writing
from mouldwright.domain.costing.price import rise_at
from mouldwright.domain.errors import CannotBeMade, InvalidInput, NotFound
from mouldwright.domain.hours.opening import local
from mouldwright.domain.judgement import Judgement, judge
from mouldwright.domain.part.load import force_n
from mouldwright.domain.part.requirement import Part, Requirement
from mouldwright.domain.promise.revision import QuoteRevision
from mouldwright.domain.quote import for_who_uses_it, in_words
from mouldwright.domain.shop import Shop
from mouldwright.figures.marks import marks_for
from mouldwright.figures.part_of import section_of
from mouldwright.figures.section_drawing import SectionPicture
from mouldwright.wire.answers.quote import (
    QuoteAnswer,
    QuoteBreakAnswer,
)

# Letters of a name that the maker's cell of the title block holds on one line.
_BLOCK_LETTERS = 18


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakRow:
    """The price at another quantity; ``is_asked`` marks the one quoted."""

    pieces: str
    each: str
    net: str
    is_asked: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteSheet:
    """A quote in words.

    Attributes:
        language: ISO 639 code.
        ready: When it is ready and how surely, a sentence each.
        deliveries: When each delivery is, where there are several or one is hurried.
        address: Lines of the customer's address.
        mark: The shop's own, as SVG; empty where it has none.
        section: The part's section, where it is one part.
        section_note: What stands under the drawing.
        title_block: Name and value, in the order they stand.
    """

    language: str
    mark: str
    maker: str
    maker_lines: tuple[str, ...]
    title: str
    standing: str
    customer: str
    address: tuple[str, ...]
    offer: str
    what: tuple[str, ...]
    ready: str
    odds: str
    wanted: str
    deliveries: tuple[str, ...]
    amount_title: str
    amounts: tuple[AmountRow, ...]
    breaks_title: str
    breaks_head: tuple[str, str, str]
    breaks: tuple[BreakRow, ...]
    breaks_note: str
    rests_title: str
    rests_on: tuple[str, ...]
    cautions_title: str
    cautions: tuple[str, ...]
    section: SectionPicture | None
    section_note: str
    title_block: tuple[tuple[str, str], ...]
    page_of: str
    accept: str


def quote_sheet(shop: Shop, revision: QuoteRevision, *, language: str = "en") -> QuoteSheet:
    """Return a quote's sheet.

    Args:
        shop: As it was when the revision was made.
        revision: As it was given out.
        language: "en", "de" or "fr".

    Raises:
        InvalidInput: if documents are not written in that language.
    """
    words = words_in(language)
    write = Writing(words=words, currency=revision.figures.currency)
    answer = QuoteAnswer.model_validate_json(revision.document)
    part = shop.parts.get(answer.part)
    made, until = local_day(revision.made_at, shop.zone), revision.figures.valid_until
    made_on = write.day(made)
    return QuoteSheet(
        language=language,
        mark=shop.mark,
        maker=shop.name,
        maker_lines=(
            *shop.address,
            *shop.contact,
            *([words.tax_number.format(number=shop.tax_number)] if shop.tax_number else []),
        ),
        title=_title(words, revision),
        standing=f"{words.revision.format(revision=revision.revision, day=made_on)}, "
        + words.standing.format(day=write.day(until)),
        customer=words.for_whom.format(customer=revision.customer) if revision.customer else "",
        address=revision.address,
        offer=words.offer.format(
            quantity=write.count(answer.quantity), net=write.money(stated(answer, answer))
        ),
        what=_what(shop, answer, write),
        ready=_ready(revision, write),
        odds=_odds(revision, words),
        wanted=_wanted(revision, write),
        deliveries=delivery_sentences(answer, revision, write),
        amount_title=words.amount,
        amounts=amount_rows(shop, answer, revision, write),
        breaks_title=words.other_quantities,
        breaks_head=(
            words.pieces,
            words.each,
            words.with_tax if answer.tax_included else words.net,
        ),
        breaks=tuple(
            BreakRow(
                pieces=write.count(each.quantity),
                each=write.money(each.price_each),
                net=write.money(stated(answer, each)),
                is_asked=each.quantity == answer.quantity,
            )
            for each in answer.breaks
        ),
        breaks_note=_breaks_note(answer, shop, write),
        rests_title=words.rests_on,
        rests_on=_rests_on(shop, part, answer, revision, made_on, write),
        cautions_title=words.cautions_title,
        cautions=tuple(_caution(caution, words) for caution in for_who_uses_it(answer.cautions)),
        section=_section(shop, part, answer.process, write),
        section_note="" if part is None else words.section.format(span=write.number(part.span_mm)),
        title_block=(
            (words.maker, shortened(shop.name)),
            (words.sheet, _title(words, revision)),
            (words.revision.split(" ", maxsplit=1)[0], f"{revision.revision}, {made_on}"),
            (words.open_until, write.day(until)),
        ),
        page_of=words.page,
        accept=words.accept if revision.number else words.accept_by_writing,
    )


def shortened(name: str) -> str:
    """Return a name that stays on its line of the title block; the head has all of it."""
    if len(name) <= _BLOCK_LETTERS:
        return name
    whole_words = name[: _BLOCK_LETTERS - 1].rsplit(" ", maxsplit=1)[0]
    return f"{whole_words.rstrip(' ,')}\N{HORIZONTAL ELLIPSIS}"


def _title(words: QuoteWords, revision: QuoteRevision) -> str:
    if not revision.number:
        return words.unnumbered
    return words.quote.format(number=revision.number)


def _what(shop: Shop, answer: QuoteAnswer, write: Writing) -> tuple[str, ...]:
    """Return what is sold and how it is made; of a set, each part of it."""
    words = write.words
    sentence = words.each_with_tax if answer.tax_included else words.each_before_tax
    each = sentence.format(each=write.money(answer.price_each))
    if answer.part in shop.sets:
        sold = shop.sets[answer.part]
        parts = [
            words.set_of.format(
                count=write.count(p.count),
                title=shop.parts[p.part].title,
                process=shop.processes[p.process].title,
            )
            for p in sold.parts
        ]
        items = [f"{write.count(item.count)} × {item.name}" for item in sold.items]
        return (f"{sold.title}. {each}", *parts, *items)
    part = shop.parts.get(answer.part)
    process = shop.processes.get(answer.process or "")
    made = words.made_by.format(
        title=part.title if part else answer.part,
        process=process.title.lower()
        if process and words.locale != "de_DE"
        else process.title
        if process
        else answer.process or "",
    )
    return (f"{made} {each}",)


def _ready(revision: QuoteRevision, write: Writing) -> str:
    words, figures = write.words, revision.figures
    if figures.finish is None:
        return words.no_date
    return words.ready.format(day=write.day(local(figures.finish, figures.zone).date())) + "."


def _wanted(revision: QuoteRevision, write: Writing) -> str:
    if revision.due is None:
        return ""
    return write.words.wanted.format(day=write.day(local_day(revision.due, revision.figures.zone)))


def _odds(revision: QuoteRevision, words: QuoteWords) -> str:
    figures = revision.figures
    if figures.finish is None or figures.finish_odds is None:
        return ""
    # Rounded down, and never certain: a promise is not to be read as more than it is.
    chance = min(int(figures.finish_odds * 100), 99)
    return words.odds.format(chance=chance)


def _breaks_note(answer: QuoteAnswer, shop: Shop, write: Writing) -> str:
    """Say where a piece costs more in a larger number, and what the smallest order does."""
    words, said = write.words, []
    said += [
        words.inverted.format(
            quantity=write.count(each.quantity),
            instead=write.count(each.instead),
            amount=write.money(each.instead_amount),
        )
        for each in answer.inversions
    ]
    if {line.kind for line in answer.lines} - {"parts", "top-up", "cancellation"}:
        said.append(words.as_priced)
    if any(_in_all(answer, each) > Decimal(each.price_each) for each in answer.breaks):
        said.append(words.least_order.format(net=write.money(shop.price.least_order)))
    costs: dict[int, Fraction | None] = {
        e.quantity: Fraction(_in_all(answer, e)) for e in answer.breaks
    }
    for quantity in sorted(costs):
        rise = rise_at(costs, quantity)
        if rise is not None:
            sentence = words.rises if rise.next_quantity else words.rises_without_end
            said.append(
                sentence.format(
                    quantity=write.count(quantity),
                    lower=write.count(rise.lower_quantity),
                    until=write.count(rise.next_quantity or 0),
                )
            )
            break
    return " ".join(said)


def _in_all(answer: QuoteAnswer, each: QuoteBreakAnswer) -> Decimal:
    """Return what a piece comes to with all that is paid for so many."""
    return Decimal(stated(answer, each)) / each.quantity


def _rests_on(
    shop: Shop,
    part: Part | None,
    answer: QuoteAnswer,
    revision: QuoteRevision,
    made_on: str,
    write: Writing,
) -> tuple[str, ...]:
    words = write.words
    said = []
    if part is not None and part.requirement is not None:
        said.append(_asked(part, part.requirement, write))
        said.extend(_expected(shop, part, answer, write))
    said.extend(spare_sentences(answer, write))
    said.append(words.as_drawn)
    said.append(words.prices_hold.format(day=write.day(revision.figures.valid_until)))
    if revision.figures.finish is not None:
        said.append(words.day_is_from.format(day=made_on))
        said.extend(_lacking(answer, revision, write))
    return tuple(said)


def _lacking(answer: QuoteAnswer, revision: QuoteRevision, write: Writing) -> tuple[str, ...]:
    """Say from when the day is counted, where material has to come first.

    A revision of before days were counted so says what its own day took as there.
    """
    days = [each.there_on for each in answer.materials_lacking]
    known = [day for day in days if day is not None]
    if not days:
        return ()
    if len(known) < len(days):
        return (write.words.lacking,)
    figures, there = revision.figures, max(known)
    is_counted = figures.finish is not None and local(figures.finish, figures.zone).date() >= there
    sentence = write.words.counted_from if is_counted else write.words.lacking_until
    return (sentence.format(day=write.day(there)),)


def _asked(part: Part, asked: Requirement, write: Writing) -> str:
    words = write.words
    return words.bends.format(
        support=words.supports[asked.support],
        force=write.with_unit(force_n(part, asked), "N"),
        load=words.loads[asked.load],
        allowed=write.with_unit(asked.deflection_mm, "mm"),
    )


def _expected(shop: Shop, part: Part, answer: QuoteAnswer, write: Writing) -> list[str]:
    """Return how far it is expected to bend and what it weighs, and what that rests on."""
    process = shop.processes.get(answer.process or "")
    if process is None:
        return []
    try:
        judged: Judgement = judge(shop, part, process)
    except (CannotBeMade, NotFound, InvalidInput):
        return []
    if judged.deflection_mm is None or judged.mass_g is None:
        return []
    words = write.words
    counted = judged.counted
    if counted is None or counted.by == "theory":
        basis = words.expected_by_theory.format(share=write.percent(judged.theory_factor))
    elif counted.learnt is not None and counted.learnt.tolerance is not None:
        basis = words.expected_by_tests.format(tests=write.count(counted.learnt.tolerance.count))
    else:
        basis = words.expected_as_stated
    expected = words.expected.format(
        deflection=write.with_unit(judged.deflection_mm, "mm"),
        mass=write.with_unit(judged.mass_g, "g"),
    )
    return [f"{expected} {basis}"]


def _caution(caution: str, words: QuoteWords) -> str:
    """Return a caution in the document's language; what the shop wrote itself stands as written."""
    from mouldwright.documents.wording.en import ENGLISH

    known = {in_words(name): text for name, text in words.cautions.items()}
    known[ENGLISH.bears_load], known[ENGLISH.defer] = words.bears_load, words.defer
    return known.get(caution, caution)


def _section(
    shop: Shop, part: Part | None, process: str | None, write: Writing
) -> SectionPicture | None:
    """Return the part's section with its words in the document's language."""
    if part is None:
        return None
    made = shop.processes.get(process or "")
    try:
        picture = section_of(
            part,
            structure=made.structure if made else None,
            materials=shop.materials,
            mark=marks_for(shop.processes.values()).get(process or ""),
        )
    except (ValueError, KeyError):
        return None
    words, sizes = write.words, {rod.diameter_mm for rod in picture.rods}
    callout = ""
    if picture.rods:
        callout = words.rods.format(
            count=write.count(len(picture.rods)),
            sizes=" / ".join(write.number(size) for size in sorted(sizes)),
        )
    return replace(picture, callout=callout, scale_words=words.to_scale, sizes=write.size)
