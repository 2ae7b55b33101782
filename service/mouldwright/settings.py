"""Settings: from the environment, each with the prefix ``MOULDWRIGHT_``, or as given."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from pydantic import Field, SecretStr
from pydantic_settings import BaseSettings, SettingsConfigDict


def data_folder() -> Path:
    """Return where data lies unless a setting says otherwise: the user's own data folder."""
    return Path.home() / ".local" / "share" / "mouldwright"


class Settings(BaseSettings):
    """How the service runs.

    Attributes:
        database_url: ``sqlite:///file`` or ``postgresql://...``. May hold a password, so it
            is not shown.
        host: Address to listen on.
        port: Port to listen on.
        trusted_hosts: Names by which the service may be called, besides the loopback ones;
            a comma between them.
        threads: Requests worked on at once; as many database connections are kept.
        busy_seconds: How long a request waits for the one that is writing.
        largest_body_bytes: Longest request body.
        largest_quantity: Most good parts of one question.
        token_days: How long a token holds.
        sign_in_minutes: How long a one-time sign-in link holds.
        wrong_tries: Wrong codes and secret addresses from one place within five minutes;
            after so many it waits.
        trusted_proxies: Addresses of servers that may say for whom they ask, and by https or
            not; a comma between them. All others are not believed.
        stop_seconds: How long requests under way may go on once the service is told to stop.
        reply_days: How long a reply is kept for a request made twice.
        workers: Worker processes that the server starts beside itself; 0 where they run by
            themselves, as ``mouldwright work``.
        lease_seconds: How long a worker holds a run without a sign of life; then the next
            one takes it up.
        run_memory_mb: Most memory of a worker process while a run goes on, the program
            included, MiB; a run that needs more is set aside.
        run_minutes: Most time of a run; one that takes longer is set aside.
        tracing: Who is told what each request, run and statement took: empty for nobody, "log",
            or ``module:function`` of a hook.
        public_address: Where people reach it, such as ``https://bench.example``; printed in
            codes and feeds. Left out, the address a request came by.
        clock_ahead_seconds: How far the service's clock is ahead of the machine's; for an
            invented shop whose orders lie in another year.
    """

    model_config = SettingsConfigDict(env_prefix="MOULDWRIGHT_", extra="ignore", frozen=True)

    database_url: SecretStr = Field(
        default_factory=lambda: SecretStr(f"sqlite:///{data_folder() / 'mouldwright.db'}")
    )
    host: str = "127.0.0.1"
    port: Annotated[int, Field(ge=0, le=65_535)] = 8000
    trusted_hosts: str = ""
    threads: Annotated[int, Field(ge=1, le=200)] = 20
    busy_seconds: Annotated[float, Field(gt=0, le=120)] = 10.0
    largest_body_bytes: Annotated[int, Field(ge=1_000, le=100_000_000)] = 2_000_000
    largest_quantity: Annotated[int, Field(ge=1, le=100_000)] = 100_000
    token_days: Annotated[int, Field(ge=1, le=3_650)] = 90
    sign_in_minutes: Annotated[int, Field(ge=1, le=1_440)] = 15
    wrong_tries: Annotated[int, Field(ge=1, le=1_000_000)] = 30
    trusted_proxies: str = "127.0.0.1,::1"
    stop_seconds: Annotated[int, Field(ge=1, le=600)] = 5
    reply_days: Annotated[int, Field(ge=1, le=365)] = 7
    workers: Annotated[int, Field(ge=0, le=64)] = 1
    lease_seconds: Annotated[float, Field(ge=1, le=3_600)] = 30.0
    run_memory_mb: Annotated[int, Field(ge=64, le=1_000_000)] = 2_048
    run_minutes: Annotated[float, Field(gt=0, le=1_440)] = 60.0
    tracing: str = ""
    public_address: str = ""
    clock_ahead_seconds: Annotated[float, Field(ge=-1e9, le=1e9)] = 0.0

    @property
    def called(self) -> tuple[str, ...]:
        """Return every name by which the service may be called."""
        further = (name.strip().lower() for name in self.trusted_hosts.split(","))
        loopback = ("127.0.0.1", "localhost", "[::1]")
        own = () if self.host in {"0.0.0.0", "::"} else (self.shown_host,)
        return tuple(dict.fromkeys((*loopback, *own, *(name for name in further if name))))

    @property
    def shown_host(self) -> str:
        """Return the address as it stands in a url; a loopback one where it listens on all."""
        host = {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(self.host, self.host).lower()
        return f"[{host}]" if ":" in host else host

    @property
    def is_loopback(self) -> bool:
        """Return whether nothing but this machine can reach the service."""
        return self.host in {"127.0.0.1", "::1", "localhost"}
