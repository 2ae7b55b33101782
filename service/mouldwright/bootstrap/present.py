"""The present, chance and memory, as the machine gives them."""

from __future__ import annotations

import os
import secrets
from datetime import UTC, datetime, timedelta

from mouldwright.settings import Settings
from mouldwright.usecases.ports import Clock


def clock() -> datetime:
    """Return the present by the machine's clock."""
    return datetime.now(UTC)


def clock_of(settings: Settings) -> Clock:
    """Return the clock that the settings ask for: the machine's, or one set forward or back."""
    ahead = timedelta(seconds=settings.clock_ahead_seconds)
    return (lambda: clock() + ahead) if ahead else clock


def machine_memory_mb() -> float:
    """Return all the memory of this machine, MiB; 0 where the system does not tell."""
    try:
        return os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**20
    except (AttributeError, OSError, ValueError):
        return 0.0


def chance() -> str:
    """Return 256 random bits as text that is safe in a url."""
    return secrets.token_urlsafe(32)
