"""Putting it all together: the one package that knows every layer.

Only what fills one layer's ports with another belongs here.
"""

from __future__ import annotations

import logging
import signal
import socket
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from mouldwright.bootstrap.present import chance, clock, clock_of
from mouldwright.domain.errors import MouldwrightError
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.record.audit_entry import Actor
from mouldwright.domain.shop import Shop
from mouldwright.runs.process import WorkerProcess
from mouldwright.scenario.demo import open_demo
from mouldwright.scenario.kept import KeptScenarios
from mouldwright.settings import Settings
from mouldwright.store.engine import make_engine, must_answer, opening
from mouldwright.store.migrate import migrate
from mouldwright.store.unit_of_work import StoreUnits
from mouldwright.usecases.access import promise_sign_in
from mouldwright.usecases.backup import Backups
from mouldwright.usecases.diagnosis import DatabaseCondition
from mouldwright.usecases.guesses import Guesses
from mouldwright.usecases.held import Held
from mouldwright.usecases.housekeeping import forget_old_replies
from mouldwright.usecases.kept import Role
from mouldwright.usecases.lead_times import LeadTimes
from mouldwright.usecases.services import Limits, Services
from mouldwright.usecases.session import sign_in_path
from mouldwright.usecases.shelf import add, first_version, list_shops, read_version

if TYPE_CHECKING:
    from fastapi import FastAPI


# The bench on its first morning, and the same bench with a month of log behind it; both have
# the same moment for now.
DEMOS = ("foil-bench", "noted-month")
_TIDY_EVERY_S = 3_600.0


def finish_on_top(
    shop: Shop, part: str, process: str | None, quantity: int, now: int, held: Held
) -> ReadyBy:
    """Return when one more order would be ready on top of all that is booked."""
    # The planner is slow to import; most of what is asked of a server does not need it.
    from mouldwright.usecases.planned import finish_on_top as planned

    return planned(shop, part, process, quantity, now, held)


def finish_first(
    shop: Shop, part: str, process: str | None, quantity: int, now: int, held: Held
) -> ReadyBy:
    """Return when one more order would be ready that goes before what is booked."""
    from mouldwright.usecases.planned import finish_first as planned

    return planned(shop, part, process, quantity, now, held)


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """The services on a database that is open.

    Attributes:
        close: Lets go of the database.
    """

    services: Services
    close: Callable[[], None]


def open_services(settings: Settings) -> Opened:
    """Return the services on the database of the settings; its tables are there already."""
    engine = make_engine(
        settings.database_url.get_secret_value(),
        pool_size=settings.threads,
        busy_seconds=settings.busy_seconds,
    )
    services = Services(
        units=StoreUnits(engine, clock=clock_of(settings)),
        written=KeptScenarios(),
        clock=clock_of(settings),
        chance=chance,
        limits=Limits(
            body_bytes=settings.largest_body_bytes,
            quantity=settings.largest_quantity,
            token_days=settings.token_days,
            sign_in_minutes=settings.sign_in_minutes,
            threads=settings.threads,
        ),
        alive=partial(must_answer, engine),
        called=settings.called,
        finish=LeadTimes(finish_on_top),
        public_address=settings.public_address,
        hurried=LeadTimes(finish_first),
        guesses=Guesses(most=settings.wrong_tries),
    )
    return Opened(services=services, close=engine.dispose)


def backups_of(settings: Settings) -> Backups:
    """Return what takes backups of the database of the settings and puts them back."""
    from mouldwright.store.backups import StoreBackups

    return StoreBackups(settings.database_url.get_secret_value(), clock_of(settings))


def make_app(services: Services) -> FastAPI:
    """Return the service over HTTP, and its pages."""
    from mouldwright.api.app import create_app
    from mouldwright.web import add_pages

    app = create_app(services)
    add_pages(app, services, demos={key: partial(_demo, key) for key in DEMOS})
    return app


@dataclass(frozen=True, slots=True, kw_only=True)
class Ready:
    """What the one who started the service is told.

    Attributes:
        address: Where it is served.
        sign_in: A link that signs its first user in as keeper; never written to a log.
        minutes: How long the link holds.
        is_loopback: Whether nothing but this machine reaches it.
    """

    address: str
    sign_in: str
    minutes: int
    is_loopback: bool


def serve(
    settings: Settings, *, demo: bool, any_port: bool, ready: Callable[[Ready], None]
) -> None:
    """Serve until told to stop, with workers beside; the database is brought up to date first.

    Args:
        settings: How it runs.
        demo: Whether the demo shops are added where they are missing.
        any_port: Whether a free port will do where the wanted one is taken.
        ready: Told where it is served, just before it is.

    Raises:
        MouldwrightError: if the port is taken, or the database does not answer.
    """
    import uvicorn

    from mouldwright.bootstrap.stopping import in_peace, leave_behind, stoppable

    listener = _listener(settings, any_port=any_port)
    url = settings.database_url.get_secret_value()
    with listener, opening(url):
        migrate(url)
        if demo:
            settings = with_demo(settings)
        opened = open_services(settings)
        beside = {
            "MOULDWRIGHT_DATABASE_URL": url,
            "MOULDWRIGHT_CLOCK_AHEAD_SECONDS": str(settings.clock_ahead_seconds),
        }
        # Workers write down each run where the server writes down each request.
        told = logging.getLogger("mouldwright").isEnabledFor(logging.INFO)
        how = [] if told else ["--quiet"]
        workers = [WorkerProcess(beside, how) for _ in range(settings.workers)]
        over = threading.Event()
        tidying = threading.Thread(
            target=_tidy, args=(opened.services, settings.reply_days, over), daemon=True
        )
        # A server told to stop tells this process the same once it has stopped; what stands
        # below must still run then.
        signal.signal(signal.SIGTERM, signal.default_int_handler)
        try:
            config = uvicorn.Config(
                make_app(opened.services),
                log_config=None,
                access_log=False,
                server_header=False,
                proxy_headers=True,
                forwarded_allow_ips=settings.trusted_proxies,
                timeout_graceful_shutdown=settings.stop_seconds,
            )
            for worker in workers:
                worker.start()
            tidying.start()
            port = listener.getsockname()[1]
            address = f"http://{settings.shown_host}:{port}"
            ready(
                Ready(
                    address=address,
                    sign_in=address + sign_in_path(keeper_code(settings, opened.services)),
                    minutes=settings.sign_in_minutes,
                    is_loopback=settings.is_loopback,
                )
            )

            def begin_to_stop() -> None:
                opened.services.stopping.set()
                for worker in workers:
                    worker.tell_to_stop()

            stoppable(config, begin_to_stop).run(sockets=[listener])
        except KeyboardInterrupt:
            pass
        finally:
            in_peace()
            over.set()
            for worker in workers:
                worker.tell_to_stop()
            for worker in workers:
                worker.stop()
            opened.close()
    leave_behind()


def _tidy(services: Services, reply_days: int, over: threading.Event) -> None:
    """Do what is due from time to time, until it is over."""
    while True:
        try:
            forget_old_replies(services.units, now=services.clock(), days=reply_days)
        except Exception:  # a store that is away now may be there the next time
            logging.getLogger(__name__).exception("tidying up failed")
        if over.wait(_TIDY_EVERY_S):
            return


def keeper_code(settings: Settings, services: Services) -> str:
    """Return the code of a link that signs in once, for every shop."""
    return promise_sign_in(
        services.units,
        shop=None,
        role=Role.KEEPER,
        minutes=settings.sign_in_minutes,
        now=services.clock(),
        chance=services.chance,
    )


@contextmanager
def commanded(settings: Settings, *, demo: bool) -> Iterator[Services]:
    """Open the services for a command; the database is brought up to date first.

    Args:
        settings: Where the database is.
        demo: Whether the service runs with the demo's clock.

    Raises:
        MouldwrightError: if the database does not answer.
    """
    url = settings.database_url.get_secret_value()
    with opening(url):
        migrate(url)
        opened = open_services(with_demo(settings) if demo else settings)
        try:
            yield opened.services.acting(Actor(label="the command line"))
        finally:
            opened.close()


def with_demo(settings: Settings) -> Settings:
    """Add the demo shops where they are missing; return settings with their clock.

    Their orders lie in an invented year, so that their clock began at their own start when the
    first of them was added. Beside shops that are no invention the machine's clock stays.
    """
    opened = open_services(settings)
    try:
        units, written = opened.services.units, opened.services.written
        kept = [version.key for version in list_shops(units, only=None)]
        for key in DEMOS:
            if key not in kept:
                shop = _demo(key)
                first = first_version(key, shop, written.document(shop), now=clock(), by="the demo")
                with units.write_house() as unit:
                    add(unit, first, shop.log)
                    unit.commit()
        return by_demo_clock(settings, opened.services)
    finally:
        opened.close()


def by_demo_clock(settings: Settings, services: Services) -> Settings:
    """Return settings with the clock of the demo where nothing but demo shops is kept."""
    kept = [version.key for version in list_shops(services.units, only=None)]
    start = _demo(DEMOS[0]).start
    if not kept or not set(kept) <= set(DEMOS) or start is None:
        return settings
    added = min(read_version(services.units, key, 1).written_at for key in kept)
    ahead = (start - added).total_seconds()
    return settings.model_copy(update={"clock_ahead_seconds": ahead})


def _demo(key: str) -> Shop:
    return open_demo(key).shop


def condition_of(settings: Settings) -> DatabaseCondition:
    """Return what the database is found to be, nothing in it having been changed.

    Raises:
        InvalidInput: if its url is none of ours.
    """
    from mouldwright.store.condition import condition_of as found

    return found(settings.database_url.get_secret_value(), now=clock_of(settings)())


def _listener(settings: Settings, *, any_port: bool) -> socket.socket:
    """Return a socket bound to where the settings say, or to a free port where that will do."""
    family = socket.AF_INET6 if ":" in settings.host else socket.AF_INET
    for port in (settings.port, 0) if any_port else (settings.port,):
        listener = socket.socket(family, socket.SOCK_STREAM)
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listener.bind((settings.host, port))
        except OSError as error:
            listener.close()
            problem = f"{settings.host} port {port} cannot be listened on: {error.strerror}."
        else:
            return listener
    raise MouldwrightError(f"{problem} Choose another with --port or --host.")
