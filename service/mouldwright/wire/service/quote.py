"""Quotes that are kept, in revisions, as they are asked for and answered."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from mouldwright.domain.hours.opening import local
from mouldwright.domain.money import Currency
from mouldwright.domain.promise.revision import QuoteRevision, QuoteSummary
from mouldwright.domain.quote import Quote
from mouldwright.domain.shop import Shop
from mouldwright.wire.answers.quote import QuoteAnswer
from mouldwright.wire.service.examples import QUOTE
from mouldwright.wire.service.instant import Instant, in_zone
from mouldwright.wire.service.terms import TermsAsk

AddressLine = Annotated[str, Field(min_length=1, max_length=200, pattern=r"^[^\r\n]*$")]
State = Literal["draft", "sent", "accepted", "declined", "lapsed", "superseded"]
_LARGEST = 100_000


class QuoteAsk(BaseModel):
    """What a customer asks for."""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={
            "examples": [
                {
                    "part": "stabiliser",
                    "process": "pressed",
                    "quantity": 12,
                    "customer": "Tern survey club",
                    "due": "2027-04-16T17:00:00+01:00",
                }
            ]
        },
    )

    part: str = Field(min_length=1, max_length=200, description="key of a part or of a set")
    process: str | None = Field(
        default=None, max_length=200, description="key of a process; null for a set"
    )
    quantity: int = Field(ge=1, le=_LARGEST, description="good pieces wanted")
    customer: str = Field(default="", max_length=200, description="who asks")
    due: Instant | None = Field(
        default=None, description="when it is wanted; null for as soon as can be promised"
    )
    address: list[AddressLine] = Field(
        default=[], max_length=8, description="lines of the customer's address, for the document"
    )
    terms: TermsAsk = Field(
        default_factory=TermsAsk, description="what is agreed beside part and quantity"
    )


class QuoteReviseAsk(BaseModel):
    """What is to be otherwise in a new revision; what is left out stays as it was."""

    model_config = ConfigDict(extra="forbid", json_schema_extra={"examples": [{"quantity": 20}]})

    process: str | None = Field(default=None, max_length=200)
    quantity: int | None = Field(default=None, ge=1, le=_LARGEST)
    customer: str | None = Field(default=None, max_length=200)
    due: Instant | None = None
    address: list[AddressLine] | None = Field(default=None, max_length=8)
    terms: TermsAsk | None = Field(
        default=None,
        description="in place of all that was agreed; left out, that stays, and the last "
        "deliveries take or give what the quantity changes by",
    )
    pay_for_begun: bool = Field(
        default=False,
        description="charge parts that are begun and no longer wanted, at cost",
    )


class QuoteMoveAsk(BaseModel):
    """Which revision is meant."""

    model_config = ConfigDict(extra="forbid", json_schema_extra={"examples": [{"revision": 2}]})

    revision: int | None = Field(
        default=None, ge=1, le=2**31 - 1, description="null for the newest"
    )


class KeptQuoteHead(BaseModel):
    """What is kept of one revision of a quote beside the quote itself."""

    number: int
    revision: int
    state: State
    customer: str
    address: list[str] = Field(default=[], description="lines of the customer's address")
    due: datetime | None
    made_at: datetime
    moved_at: datetime = Field(description="when it came to its state")
    shop_version: int = Field(description="the version of the shop it was worked out from")
    part: str
    process: str | None
    quantity: int
    given_up: int = Field(description="parts begun, no longer wanted and charged at cost")
    terms: TermsAsk = Field(
        default_factory=TermsAsk, description="what was agreed beside part and quantity"
    )

    @classmethod
    def of(cls, revision: QuoteRevision) -> KeptQuoteHead:
        """Return the head of a revision."""
        inputs = revision.inputs
        return cls(
            number=revision.number,
            revision=revision.revision,
            state=revision.state,
            customer=revision.customer,
            address=list(revision.address),
            due=in_zone(revision.due, revision.figures.zone),
            made_at=revision.made_at,
            moved_at=revision.moved_at,
            shop_version=inputs.shop_version,
            part=inputs.part,
            process=inputs.process,
            quantity=inputs.quantity,
            given_up=inputs.given_up,
            terms=TermsAsk.of(inputs.terms),
        )


class KeptQuoteAnswer(KeptQuoteHead):
    """One revision of a quote, with the quote as it was given out."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "number": 7,
                    "revision": 2,
                    "state": "sent",
                    "customer": "Tern survey club",
                    "due": None,
                    "made_at": "2027-03-01T08:30:00Z",
                    "moved_at": "2027-03-01T09:10:00Z",
                    "shop_version": 3,
                    "part": "stabiliser",
                    "process": "pressed",
                    "quantity": 12,
                    "given_up": 0,
                    "quote": QUOTE | {"number": "7", "revision": 2},
                }
            ]
        }
    )

    quote: QuoteAnswer = Field(description="the quote as it was given out; it never changes")


def kept_quote_text(revision: QuoteRevision) -> str:
    """Return a ``KeptQuoteAnswer`` as it goes out.

    The quote in it is handed on to the byte, never read and written anew.
    """
    head = KeptQuoteHead.of(revision).model_dump_json()
    return f'{head[:-1]},"quote":{revision.document}}}'


class QuoteEntry(BaseModel):
    """A quote in a list, by its newest revision."""

    number: int
    revision: int
    state: State
    part: str
    process: str | None
    quantity: int
    customer: str
    currency: str
    net: str
    gross: str
    finish: datetime | None
    valid_until: str

    @classmethod
    def of(cls, quote: QuoteSummary) -> QuoteEntry:
        """Return the entry of a quote."""
        money = Currency(quote.currency)
        return cls(
            number=quote.number,
            revision=quote.revision,
            state=quote.state,
            part=quote.part,
            process=quote.process,
            quantity=quote.quantity,
            customer=quote.customer,
            currency=quote.currency,
            net=money.text(quote.net),
            gross=money.text(quote.gross),
            finish=None if quote.finish is None else local(quote.finish, quote.zone),
            valid_until=quote.valid_until.isoformat(),
        )


class QuoteList(BaseModel):
    """Quotes, the highest number first."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "quotes": [
                        {
                            "number": 7,
                            "revision": 2,
                            "state": "sent",
                            "part": "stabiliser",
                            "process": "pressed",
                            "quantity": 12,
                            "customer": "Tern survey club",
                            "currency": "EUR",
                            "net": "762.48",
                            "gross": "937.85",
                            "finish": "2027-03-17T08:36:00Z",
                            "valid_until": "2027-03-31",
                        }
                    ],
                    "next": "7",
                }
            ]
        }
    )

    quotes: list[QuoteEntry]
    next: str | None = Field(description="send it as `cursor` for more; null at the end")


class QuoteRevisionList(BaseModel):
    """Every revision of a quote, the first first."""

    revisions: list[KeptQuoteAnswer]


class QuoteDifference(BaseModel):
    """What differs between two revisions, in words."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [{"before": 1, "after": 2, "differences": ["Quantity: was 12, is 20."]}]
        }
    )

    before: int
    after: int
    differences: list[str]


def quote_document(shop: Shop, quote: Quote) -> str:
    """Return a quote as it is given out and kept to the byte."""
    return QuoteAnswer.of(shop, quote).model_dump_json()
