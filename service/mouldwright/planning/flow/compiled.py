"""The list scheduler's loop through a compiler, where one is installed."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

from mouldwright.planning.flow.dispatch import pass_over
from mouldwright.planning.flow.edf import misses_a_deadline


@cache
def compiled_pass() -> Callable[..., int] | None:
    """Return ``pass_over`` compiled, None where numba is not installed.

    The machine code is kept on disk, so only the first run ever compiles.
    """
    return _compile(pass_over)


@cache
def compiled_deadlines() -> Callable[..., bool] | None:
    """Return ``misses_a_deadline`` compiled, None where numba is not installed."""
    return _compile(misses_a_deadline)


def _compile(plain: Callable[..., Any]) -> Callable[..., Any] | None:
    try:
        import numba
    except ImportError:
        return None
    made: Callable[..., Any] = numba.njit(cache=True, nogil=True)(plain)
    return made
