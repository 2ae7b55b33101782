"""Writing what a command made: to a file, or to standard output."""

from __future__ import annotations

import sys
from pathlib import Path

from mouldwright.domain.errors import Fault, InvalidInput


def write_out(made: bytes, out: str | None) -> None:
    """Write a file; to standard output where none is named.

    Raises:
        InvalidInput: if the file cannot be written.
    """
    if out is None:
        sys.stdout.buffer.write(made)
        sys.stdout.flush()
        return
    try:
        Path(out).write_bytes(made)
    except OSError as error:
        fault = Fault(
            path="--out",
            value=out,
            problem=f"it cannot be written: {(error.strerror or 'refused').lower()}.",
            remedy="Name a file in a folder that is there.",
        )
        raise InvalidInput([fault]) from error
