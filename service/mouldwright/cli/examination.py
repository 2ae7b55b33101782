"""Looking at everything a service needs; nothing is changed."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from zoneinfo import ZoneInfo

from mouldwright.bootstrap import by_demo_clock, condition_of, open_services
from mouldwright.bootstrap.present import clock, clock_of, machine_memory_mb
from mouldwright.settings import Settings
from mouldwright.usecases.diagnosis import (
    Finding,
    judge_caps,
    judge_clock,
    judge_database,
    judge_parts,
    judge_settings,
    judge_shops,
    judge_work,
)
from mouldwright.usecases.shelf import list_shops


def examine_installation(settings: Settings, *, demo: bool) -> tuple[Finding, ...]:
    """Return what is found of an installation.

    Args:
        settings: Those of the service.
        demo: Whether the service runs with the demo's clock.

    Raises:
        InvalidInput: if the url of the database is none of ours.
    """
    found = condition_of(settings)
    shops: tuple[Finding, ...] = ()
    if found.work is not None:
        opened = open_services(settings)
        try:
            services = opened.services
            if demo:
                settings = by_demo_clock(settings, services)
                found = condition_of(settings)
            kept = list_shops(services.units, only=None)
            shops = tuple(
                judge_shops(
                    {each.key: partial(services.written.read, each.document) for each in kept}
                )
            )
        finally:
            opened.close()
    now = clock_of(settings)()
    return (
        *judge_settings(
            host=settings.host,
            called=settings.called,
            is_loopback=settings.is_loopback,
            public_address=settings.public_address,
        ),
        *judge_database(found),
        *shops,
        *(judge_work(found.work, now=now) if found.work is not None else ()),
        *judge_caps(
            memory_mb=settings.run_memory_mb,
            minutes=settings.run_minutes,
            workers=settings.workers,
            machine_mb=machine_memory_mb(),
        ),
        *judge_clock(found, now=now, machine=clock()),
        *judge_parts(_PARTS),
    )


def _plan() -> None:
    """Load the planner, which brings the solver along."""
    from mouldwright.usecases import planned  # noqa: F401  # that it loads is what is looked at


def _set() -> None:
    from mouldwright.documents.setting import must_set

    must_set()


_PARTS: dict[str, Callable[[], object]] = {
    "time zones": partial(ZoneInfo, "Europe/Berlin"),
    "planner": _plan,
    "documents": _set,
}
