"""The service, asked from Python: in turn, or beside other work."""

from __future__ import annotations

from types import TracebackType
from typing import Generic, Self

import httpx

from mouldwright.client.async_connection import AsyncConnection
from mouldwright.client.call import Call, new_key
from mouldwright.client.connection import Connection
from mouldwright.client.errors import NoAnswer
from mouldwright.client.retry import Retry
from mouldwright.client.shop import AnyShop, scenario_text
from mouldwright.client.steps import Steps
from mouldwright.client.verbs import C, Verb, Verbs
from mouldwright.wire.scenario import Scenario
from mouldwright.wire.service.access import IssuedAnswer, SignInAsk, TokenAnswer
from mouldwright.wire.service.health import HealthAnswer
from mouldwright.wire.service.shop import ShopList, ShopSummary


class AnyClient(Verbs[C], Generic[C]):
    """Asks the service for whoever holds a token.

    Each verb raises ``Refused`` where the service says no and ``NoAnswer`` where none came.
    """

    def __init__(self, connection: C) -> None:
        """Keep who asks."""
        super().__init__(connection, "/v1")

    def __repr__(self) -> str:
        """Say where it asks; never with what."""
        return f"{type(self).__name__}({self.address!r})"

    @property
    def address(self) -> str:
        """Return where the service is."""
        return self._connection.address

    @property
    def token(self) -> str | None:
        """Return the secret that is shown with each request; keep it as one keeps a key."""
        return self._connection.token

    @Verb
    def sign_in(self, code: str) -> Steps[TokenAnswer]:
        """Use a one-time code up, and ask with the token it gives from then on."""
        call = Call(method="POST", path=f"{self._path}/sign-in", body=SignInAsk(code=code))
        return self._take((yield from self._connection.value(call, IssuedAnswer)))

    @Verb
    def rotate(self, *, overlap_minutes: int = 0) -> Steps[TokenAnswer]:
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
                path=f"{self._path}/me/rotate",
                query={"overlap_minutes": overlap_minutes or None},
                headers={"Idempotency-Key": new_key()},
            )
            try:
                return self._take((yield from self._connection.value(call, IssuedAnswer)))
            except NoAnswer as lost:
                if not (tries and lost.perhaps_done):
                    raise

    @Verb
    def who_am_i(self) -> Steps[TokenAnswer]:
        """Return whose token is shown and how far it reaches."""
        return self._connection.value(Call(method="GET", path=f"{self._path}/me"), TokenAnswer)

    @Verb
    def health(self) -> Steps[HealthAnswer]:
        """Return whether the service runs and its store answers."""
        call = Call(method="GET", path=f"{self._path}/health")
        return self._connection.value(call, HealthAnswer)

    @Verb
    def shops(self) -> Steps[list[ShopSummary]]:
        """Return the shops that the token opens."""
        call = Call(method="GET", path=f"{self._path}/shops")
        return (yield from self._connection.value(call, ShopList)).shops

    @Verb
    def add_shop(
        self, key: str, scenario: Scenario | str, *, idempotency_key: str | None = None
    ) -> Steps[AnyShop[C]]:
        """Keep a new shop; only a keeper may.

        Args:
            key: Names it for good: small letters, digits and inner hyphens.
            scenario: What it is, as TOML or as a model.
            idempotency_key: Makes it once. Left out, one is made up.
        """
        call = Call(
            method="POST",
            path=f"{self._path}/shops",
            body=scenario_text(scenario, key=key),
            key=idempotency_key or new_key(),
        )
        yield from self._connection.read(call, ShopSummary)
        return self.shop(key)

    def shop(self, key: str) -> AnyShop[C]:
        """Return a shop by its key; whether there is one shows when it is asked."""
        return AnyShop(self._connection, key)

    def _take(self, issued: IssuedAnswer) -> TokenAnswer:
        self._connection.token = issued.secret
        return issued.token


class Client(AnyClient[Connection]):
    """Asks the service in turn: each verb returns its answer. Threads may share one."""

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
        super().__init__(
            Connection(address, token=token, retry=retry, timeout_s=timeout_s, transport=transport)
        )

    @classmethod
    def by_link(cls, link: str, *, retry: Retry | None = None, timeout_s: float = 60.0) -> Self:
        """Sign in with a one-time link, as the server prints it, and use it up.

        Raises:
            ValueError: if it is no such link.
            Refused: if it was used, or has lapsed.
        """
        address, code = _of_link(link)
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

    def close(self) -> None:
        """Let go of the connections held."""
        self._connection.close()


class AsyncClient(AnyClient[AsyncConnection]):
    """Asks the service beside other work: each verb is awaited. Tasks of one loop may share one."""

    def __init__(
        self,
        address: str,
        token: str | None = None,
        *,
        retry: Retry | None = None,
        timeout_s: float = 60.0,
        transport: httpx.AsyncBaseTransport | None = None,
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
        super().__init__(
            AsyncConnection(
                address, token=token, retry=retry, timeout_s=timeout_s, transport=transport
            )
        )

    @classmethod
    async def by_link(
        cls, link: str, *, retry: Retry | None = None, timeout_s: float = 60.0
    ) -> Self:
        """Sign in with a one-time link, as the server prints it, and use it up.

        Raises:
            ValueError: if it is no such link.
            Refused: if it was used, or has lapsed.
        """
        address, code = _of_link(link)
        client = cls(address, retry=retry, timeout_s=timeout_s)
        try:
            await client.sign_in(code)
        except BaseException:
            await client.close()
            raise
        return client

    async def __aenter__(self) -> Self:
        """Return itself."""
        return self

    async def __aexit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Close it."""
        await self.close()

    async def close(self) -> None:
        """Let go of the connections held."""
        await self._connection.close()


def _of_link(link: str) -> tuple[str, str]:
    """Return the address and the code of a link that signs in once. Raises ValueError."""
    url = httpx.URL(link)
    code = url.params.get("code")
    if not code or not url.host:
        raise ValueError("That is no sign-in link: it ends in ?code= and the code.")
    return str(url.copy_with(raw_path=b"/", fragment=None)), code
