"""Writing what a command made: to a file, or to standard output."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from tempfile import NamedTemporaryFile

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
    write_whole(made, out, option="--out")


def write_whole(made: bytes, out: str, *, option: str) -> None:
    """Write a file that is there whole or not at all; what was there stays until then.

    Args:
        made: What it holds.
        out: Its path; what is no plain file, such as a pipe, is written to as it is.
        option: By which it was named.

    Raises:
        InvalidInput: if the file cannot be written.
    """
    path = Path(out)
    try:
        if path.exists() and not path.is_file():
            path.write_bytes(made)
            return
        # Through a link to what it leads to, so that the link stays one.
        path = path.resolve()
        with NamedTemporaryFile(dir=path.parent, prefix=f".{path.name}.", delete=False) as half:
            try:
                half.write(made)
                half.close()
                # As any new file would be, or as the one before was.
                Path(half.name).chmod(path.stat().st_mode if path.exists() else _new_mode())
                Path(half.name).replace(path)
            except BaseException:
                Path(half.name).unlink(missing_ok=True)
                raise
    except OSError as error:
        fault = Fault(
            path=option,
            value=out,
            problem=f"it cannot be written: {(error.strerror or 'refused').lower()}.",
            remedy="Name a file in a folder that is there, that you may write to, and has room.",
        )
        raise InvalidInput([fault]) from error


def _new_mode() -> int:
    """Return what a new file of this process may be: only by setting it can it be asked for."""
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
