"""Are any of the pinned versions known to be vulnerable?

Asks one service of advisories after the other until one knows what it is asked. A service that
cannot be reached, or that has never heard of a package, must not look like a clean bill: so each is
first asked about a version that has been known to be vulnerable for years, and believed only if it
says so; and a pinned version that was not looked up is told of as such.

Ends with 0 where every version was looked up and none is known, with 1 where one is, and with 75
where no service was reached.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

NOT_REACHED = 75
# CVE-2019-10906: sandbox escape, mended in 2.10.1.
KNOWN_BAD = "jinja2==2.10"
SERVICES = (("-s", "pypi"), ("-s", "osv"))

Ask = Callable[[Path, Sequence[str]], object]


@dataclass(frozen=True, kw_only=True)
class Found:
    """What a service said of some versions.

    Attributes:
        known: Each vulnerable version, with the advisories on it.
        skipped: Names of those that were not looked up.
        asked: How many were.
    """

    known: tuple[str, ...]
    skipped: tuple[str, ...]
    asked: int


def read(said: object) -> Found | None:
    """Return what was said; None where it is no answer."""
    if not isinstance(said, dict) or not isinstance(said.get("dependencies"), list):
        return None
    every = said["dependencies"]
    skipped = tuple(each["name"] for each in every if "skip_reason" in each)
    known = tuple(
        f"{each['name']} {each['version']}: {', '.join(bad['id'] for bad in each['vulns'])}"
        for each in every
        if each.get("vulns")
    )
    return Found(known=known, skipped=skipped, asked=len(every) - len(skipped))


def verdict(pinned: Path, services: Sequence[Sequence[str]], ask: Ask) -> tuple[int, str]:
    """Return how to end, and what to say.

    Args:
        pinned: File of pinned versions.
        services: Options that choose a service, the first to ask first.
        ask: Asks a service about a file; returns what it said, None where nothing came.
    """
    count = len([line for line in pinned.read_text(encoding="utf-8").splitlines() if "==" in line])
    with tempfile.TemporaryDirectory() as folder:
        trial = Path(folder) / "known_bad.txt"
        trial.write_text(f"{KNOWN_BAD}\n", encoding="utf-8")
        for service in services:
            tried = read(ask(trial, service))
            found = read(ask(pinned, service)) if tried is not None and tried.known else None
            if found is None or found.asked == 0:
                continue
            if found.known:
                return 1, "vulnerable:\n  " + "\n  ".join(found.known)
            if found.skipped or found.asked != count:
                missing = ", ".join(found.skipped) or f"{count - found.asked} of them"
                return 1, f"of {count} versions these were not looked up: {missing}"
            return 0, f"{found.asked} of {count} versions looked up, none known to be vulnerable"
    return NOT_REACHED, f"not reached: none of {count} versions could be looked up"


def ask_over_the_net(pinned: Path, service: Sequence[str]) -> object:
    """Ask a service by pip-audit."""
    plain = ["--no-deps", "--disable-pip", "--format", "json", "--progress-spinner", "off"]
    command = [sys.executable, "-m", "pip_audit", "-r", str(pinned), *plain, *service]
    try:
        done = subprocess.run(command, check=False, capture_output=True, text=True, timeout=300)
        return json.loads(done.stdout)
    except (json.JSONDecodeError, subprocess.TimeoutExpired):
        return None


def main(pinned: str) -> int:
    """Ask, and say what was found."""
    code, said = verdict(Path(pinned), SERVICES, ask_over_the_net)
    sys.stdout.write(f"{said}\n")
    return code


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1]))
