"""Exit codes of the command line."""

from __future__ import annotations

from mouldwright.domain.errors import HardLimit, InvalidInput, MouldwrightError

DONE, FAILED, WRONG_INPUT, NO_PLAN = 0, 1, 2, 3


def exit_code(error: MouldwrightError) -> int:
    """Return 2 where the input is wrong, 3 where no plan meets a hard limit, else 1."""
    if isinstance(error, InvalidInput):
        return WRONG_INPUT
    if isinstance(error, HardLimit):
        return NO_PLAN
    return FAILED
