"""The command line in a process of its own that has the program loaded already.

Loading it takes seconds, and pages show some two hundred commands. Each is run by a fork of one
process that has loaded the modules and done nothing else.
"""

from __future__ import annotations

import multiprocessing
import os
import sys
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path

_LOADED = [
    "mouldwright.cli.main",
    "mouldwright.cli.check",
    "mouldwright.usecases.enquiry",
    "mouldwright.usecases.planned",
    "mouldwright.planning.odds.simulate",
    "mouldwright.planning.run",
    "mouldwright.scenario.read",
]
_FORKS = multiprocessing.get_context("forkserver")
_FORKS.set_forkserver_preload(_LOADED)
_SLOWEST_S = 300.0


def run_forked(
    arguments: Sequence[str], folder: Path, environment: Mapping[str, str]
) -> tuple[int, str]:
    """Return the exit code of a command and what it printed on standard output and error.

    Args:
        arguments: What stands after ``mouldwright``.
        folder: Where it is run.
        environment: All that it finds in its environment.

    Raises:
        TimeoutError: if it does not end.
    """
    with tempfile.NamedTemporaryFile() as printed:
        process = _FORKS.Process(
            target=_become, args=(list(arguments), str(folder), dict(environment), printed.name)
        )
        process.start()
        process.join(_SLOWEST_S)
        if process.exitcode is None:
            process.kill()
            raise TimeoutError(f"mouldwright {' '.join(arguments)} did not end")
        return process.exitcode, Path(printed.name).read_text(encoding="utf-8")


def _become(arguments: list[str], folder: str, environment: dict[str, str], printed: str) -> None:
    os.chdir(folder)
    os.environ.clear()
    os.environ.update(environment)
    into = os.open(printed, os.O_WRONLY)
    nothing = os.open(os.devnull, os.O_RDONLY)
    for number, onto in ((nothing, 0), (into, 1), (into, 2)):
        os.dup2(number, onto)
    # They stay open for as long as the process lives.
    sys.stdout = open(1, "w", encoding="utf-8", closefd=False)  # noqa: SIM115  see above
    sys.stderr = open(2, "w", encoding="utf-8", closefd=False, buffering=1)  # noqa: SIM115  see above
    sys.argv = ["mouldwright", *arguments]
    from mouldwright.cli.main import run

    run()
