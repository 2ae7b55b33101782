"""The tokens of one shop."""

from __future__ import annotations

from typing import Literal

from mouldwright.client.call import Call, new_key, segment
from mouldwright.client.steps import Steps
from mouldwright.client.verbs import C, Verb, Verbs
from mouldwright.wire.service.access import (
    IssuedAnswer,
    SignedOutAnswer,
    TokenAnswer,
    TokenAsk,
    TokenList,
)


class Tokens(Verbs[C]):
    """Issues tokens and withdraws them.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.
    """

    def __init__(self, connection: C, shop_path: str) -> None:
        """Keep where they are."""
        super().__init__(connection, f"{shop_path}/tokens")
        self._sessions = f"{shop_path}/sessions"

    @Verb
    def issue(
        self,
        role: Literal["owner", "planner", "bench", "viewer"],
        label: str,
        *,
        days: int | None = None,
    ) -> Steps[IssuedAnswer]:
        """Issue a token; its secret is shown this once.

        Where the answer was lost and had to be asked for again, the secret is None: it is
        shown once and no more. Withdraw that token and issue another.

        Args:
            role: How far it reaches.
            label: Whose it is.
            days: How long it holds; None as the service says.
        """
        ask = TokenAsk(role=role, label=label, days=days)
        call = Call(method="POST", path=self._path, body=ask, key=new_key())
        return self._connection.value(call, IssuedAnswer)

    @Verb
    def list(self) -> Steps[list[TokenAnswer]]:
        """Return every token, withdrawn ones too, without their secrets."""
        call = Call(method="GET", path=self._path)
        return (yield from self._connection.value(call, TokenList)).tokens

    @Verb
    def withdraw(self, token_id: str) -> Steps[None]:
        """Withdraw a token for good."""
        return self._connection.done(
            Call(method="DELETE", path=f"{self._path}/{segment(token_id)}")
        )

    @Verb
    def sign_everyone_out(self, *, tokens_too: bool = False) -> Steps[SignedOutAnswer]:
        """Sign everyone out of the shop but whose token is shown, and say what ended.

        Args:
            tokens_too: Whether tokens of tablets and programs end as well.
        """
        query = {"tokens_too": tokens_too or None}
        call = Call(method="DELETE", path=self._sessions, query=query)
        return self._connection.value(call, SignedOutAnswer)
