"""The quotes of one shop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from mouldwright.client.call import Call, new_key, segment
from mouldwright.client.kept import Kept
from mouldwright.client.steps import Steps, Tells
from mouldwright.client.verbs import C, Told, Verb, Verbs
from mouldwright.wire.service.link import LinkAnswer, LinkAsk, LinkList, MadeLinkAnswer
from mouldwright.wire.service.order import AcceptAnswer
from mouldwright.wire.service.quote import (
    KeptQuoteAnswer,
    QuoteAsk,
    QuoteDifference,
    QuoteEntry,
    QuoteList,
    QuoteMoveAsk,
    QuoteReviseAsk,
    State,
)
from mouldwright.wire.service.terms import TermsAsk

Quote = Kept[KeptQuoteAnswer]


class Quotes(Verbs[C]):
    """Makes, revises, sends and settles quotes.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.
    What takes a ``Quote`` is done to the quote as it was read: if anybody moved it since,
    the service refuses.
    """

    def __init__(self, connection: C, shop_path: str) -> None:
        """Keep where they are."""
        super().__init__(connection, f"{shop_path}/quotes")

    @Verb
    def make(
        self,
        part: str,
        quantity: int,
        *,
        process: str | None = None,
        customer: str = "",
        due: datetime | None = None,
        address: Sequence[str] = (),
        terms: TermsAsk | None = None,
        key: str | None = None,
    ) -> Steps[Quote]:
        """Work a quote out and keep it under the next number.

        Args:
            part: Key of a part or of a set.
            quantity: Good pieces wanted.
            process: Key of a process; None for a set.
            customer: Who asks.
            due: When it is wanted, zone-aware; None for as soon as can be promised.
            address: Lines of the customer's address.
            terms: What is agreed beside part and quantity: discounts, rush, deliveries.
            key: Makes it once: the same key gives the same quote. Left out, one is made up.
        """
        ask = QuoteAsk(
            part=part,
            process=process,
            quantity=quantity,
            customer=customer,
            due=due,
            address=list(address),
            terms=terms or TermsAsk(),
        )
        call = Call(method="POST", path=self._path, body=ask, key=key or new_key())
        return self._connection.read(call, KeptQuoteAnswer)

    @Told
    def list(self, *, state: State | None = None, page: int = 100) -> Tells[QuoteEntry]:
        """Yield the quotes, the highest number first, a page of so many at a time."""
        call = Call(method="GET", path=self._path, query={"state": state, "limit": page})
        return self._connection.pages(call, QuoteList, lambda found: (found.quotes, found.next))

    @Verb
    def read(self, number: int, *, known: Quote | None = None) -> Steps[Quote]:
        """Return the newest revision of a quote; ``known`` itself where that still holds."""
        call = Call(method="GET", path=f"{self._path}/{number}")
        return self._connection.read_anew(call, KeptQuoteAnswer, known)

    @Verb
    def revision(self, number: int, revision: int) -> Steps[Quote]:
        """Return one revision, frozen as it was given out."""
        call = Call(method="GET", path=f"{self._path}/{number}/revisions/{revision}")
        return self._connection.read(call, KeptQuoteAnswer)

    @Verb
    def pdf(
        self, number: int, revision: int, *, language: str = "en", paper: str = "a4"
    ) -> Steps[bytes]:
        """Return one revision as its customer reads it, set on paper.

        Args:
            number: Of the quote.
            revision: Which of its revisions.
            language: What it is written in: "en", "de" or "fr".
            paper: What it is set on: "a4" or "us-letter".
        """
        path = f"{self._path}/{number}/revisions/{revision}/pdf"
        query = {"language": language, "paper": paper}
        return self._connection.content(Call(method="GET", path=path, query=query))

    @Verb
    def revise(
        self, quote: Quote, change: QuoteReviseAsk, *, key: str | None = None
    ) -> Steps[Quote]:
        """Work it out anew, otherwise than it was, and keep that as a further revision."""
        call = Call(
            method="POST",
            path=f"{self._path}/{quote.value.number}/revisions",
            body=change,
            etag=quote.etag,
            key=key or new_key(),
        )
        return self._connection.read(call, KeptQuoteAnswer)

    @Verb
    def differences(self, number: int, before: int, after: int) -> Steps[tuple[str, ...]]:
        """Return in words what differs between two revisions."""
        query = {"before": before, "after": after}
        call = Call(method="GET", path=f"{self._path}/{number}/differences", query=query)
        return tuple((yield from self._connection.value(call, QuoteDifference)).differences)

    @Verb
    def send(self, quote: Quote) -> Steps[Quote]:
        """Note that it went to the customer."""
        return self._connection.read(self._move(quote, "send"), KeptQuoteAnswer)

    @Verb
    def decline(self, quote: Quote) -> Steps[Quote]:
        """Note that the customer does not want it."""
        return self._connection.read(self._move(quote, "decline"), KeptQuoteAnswer)

    @Verb
    def accept(self, quote: Quote, *, key: str | None = None) -> Steps[AcceptAnswer]:
        """Book what it promised; the promise is looked at again and a plan is asked for.

        Args:
            quote: As it was read.
            key: Accepts it once: the same key gives the same order. Left out, one is made up.
        """
        call = replace(self._move(quote, "accept"), key=key or new_key())
        return self._connection.value(call, AcceptAnswer)

    @Verb
    def share(
        self,
        number: int,
        *,
        days: int | None = None,
        may_answer: bool = True,
        key: str | None = None,
    ) -> Steps[MadeLinkAnswer]:
        """Make a link by which a customer sees this quote and nothing else.

        Its path is shown this once. Where the answer was lost and had to be asked for again,
        it is None: withdraw that link and make another.

        Args:
            number: Of the quote.
            days: How long the link holds; None for as long as the service says.
            may_answer: Whether whoever holds it may accept or decline.
            key: Makes it once. Left out, one is made up.
        """
        call = Call(
            method="POST",
            path=f"{self._path}/{number}/links",
            body=LinkAsk(days=days, may_answer=may_answer),
            key=key or new_key(),
        )
        return self._connection.value(call, MadeLinkAnswer)

    @Verb
    def links(self, number: int) -> Steps[tuple[LinkAnswer, ...]]:
        """Return the links to a quote, the oldest first, withdrawn ones too."""
        call = Call(method="GET", path=f"{self._path}/{number}/links")
        return tuple((yield from self._connection.value(call, LinkList)).links)

    @Verb
    def withdraw_link(self, number: int, link_id: str) -> Steps[None]:
        """Withdraw a link for good."""
        path = f"{self._path}/{number}/links/{segment(link_id)}"
        return self._connection.done(Call(method="DELETE", path=path))

    def _move(self, quote: Quote, verb: str) -> Call:
        return Call(
            method="POST",
            path=f"{self._path}/{quote.value.number}/{verb}",
            body=QuoteMoveAsk(revision=quote.value.revision),
            etag=quote.etag,
        )
