"""The service, asked from Python."""

from __future__ import annotations

from types import TracebackType
from typing import Self

import httpx

from mouldwright.client.connection import Call, Connection, new_key
from mouldwright.client.errors import NoAnswer
from mouldwright.client.retry import Retry
from mouldwright.client.shop import Shop, scenario_text
from mouldwright.wire.scenario import Scenario
from mouldwright.wire.service.access import IssuedAnswer, SignInAsk, TokenAnswer
from mouldwright.wire.service.health import HealthAnswer
from mouldwright.wire.service.shop import ShopList, ShopSummary


class Client:
    """Asks the service for whoever holds a token.

    Threads may share one. Each verb raises ``Refused`` where the service says no and
    ``NoAnswer`` where none came.
    """

    def __init__(
        self,
        address: str,
        token: str | None = None,
        *,
        retry: Retry | None = None,
        timeout_s: float = 60.0,
        transport: httpx.BaseTransport | None = None,
    ) -> None:
        """Say where the service is; nothing is asked yet.

        Args:
            address: Such as ``http://127.0.0.1:8765``.
            token: The secret of a token; None to sign in by code, or for what is open to all.
            retry: How often it is asked again, where asking twice can do no harm.
            timeout_s: How long one attempt may be silent, seconds.
            transport: Another way to the service than the network.

        Raises:
            ValueError: if the address is none.
        """
        self._connection = Connection(
            address, token=token, retry=retry, timeout_s=timeout_s, transport=transport
        )

    @classmethod
    def by_link(cls, link: str, *, retry: Retry | None = None, timeout_s: float = 60.0) -> Self:
        """Sign in with a one-time link, as the server prints it, and use it up.

        Raises:
            ValueError: if it is no such link.
            Refused: if it was used, or has lapsed.
        """
        url = httpx.URL(link)
        code = url.params.get("code")
        if not code or not url.host:
            raise ValueError("That is no sign-in link: it ends in ?code= and the code.")
        address = str(url.copy_with(raw_path=b"/", fragment=None))
        client = cls(address, retry=retry, timeout_s=timeout_s)
        try:
            client.sign_in(code)
        except BaseException:
            client.close()
            raise
        return client

    def __enter__(self) -> Self:
        """Return itself."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Close it."""
        self.close()

    def __repr__(self) -> str:
        """Say where it asks; never with what."""
        return f"Client({self.address!r})"

    def close(self) -> None:
        """Let go of the connections held."""
        self._connection.close()

    @property
    def address(self) -> str:
        """Return where the service is."""
        return self._connection.address

    @property
    def token(self) -> str | None:
        """Return the secret that is shown with each request; keep it as one keeps a key."""
        return self._connection.token

    def sign_in(self, code: str) -> TokenAnswer:
        """Use a one-time code up, and ask with the token it gives from then on."""
        call = Call(method="POST", path="/v1/sign-in", body=SignInAsk(code=code))
        return self._take(self._connection.read(call, IssuedAnswer).value)

    def rotate(self, *, overlap_minutes: int = 0) -> TokenAnswer:
        """Ask with a new token from then on.

        Args:
            overlap_minutes: How long the old one holds on, up to 1,440, for others that still
                use it; 0 ends it at once. Where it holds on, an answer that is lost is asked
                for again with another key, and the token that it told of is used by nobody.
        """
        tries = self._connection.attempts if overlap_minutes else 1
        while True:
            tries -= 1
            # The key alone would not bring a lost secret back, so it is not asked again by it.
            call = Call(
                method="POST",
                path="/v1/me/rotate",
                query={"overlap_minutes": overlap_minutes or None},
                headers={"Idempotency-Key": new_key()},
            )
            try:
                return self._take(self._connection.read(call, IssuedAnswer).value)
            except NoAnswer as lost:
                if not (tries and lost.perhaps_done):
                    raise

    def who_am_i(self) -> TokenAnswer:
        """Return whose token is shown and how far it reaches."""
        return self._connection.read(Call(method="GET", path="/v1/me"), TokenAnswer).value

    def health(self) -> HealthAnswer:
        """Return whether the service runs and its store answers."""
        return self._connection.read(Call(method="GET", path="/v1/health"), HealthAnswer).value

    def shops(self) -> list[ShopSummary]:
        """Return the shops that the token opens."""
        return self._connection.read(Call(method="GET", path="/v1/shops"), ShopList).value.shops

    def add_shop(
        self, key: str, scenario: Scenario | str, *, idempotency_key: str | None = None
    ) -> Shop:
        """Keep a new shop; only a keeper may.

        Args:
            key: Names it for good: small letters, digits and inner hyphens.
            scenario: What it is, as TOML or as a model.
            idempotency_key: Makes it once. Left out, one is made up.
        """
        call = Call(
            method="POST",
            path="/v1/shops",
            body=scenario_text(scenario, key=key),
            key=idempotency_key or new_key(),
        )
        self._connection.read(call, ShopSummary)
        return self.shop(key)

    def shop(self, key: str) -> Shop:
        """Return a shop by its key; whether there is one shows when it is asked."""
        return Shop(self._connection, key)

    def _take(self, issued: IssuedAnswer) -> TokenAnswer:
        self._connection.token = issued.secret
        return issued.token
