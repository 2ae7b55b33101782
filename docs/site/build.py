"""Build the manual's site: ``build.py [FOLDER]``, by default ``build/manual``.

Any warning, such as a link that leads nowhere, is an error, and then the exit code is not zero.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from sphinx.cmd.build import main

SITE = Path(__file__).resolve().parent
ROOT = SITE.parents[1]


def build(folder: Path) -> int:
    """Write the site to a folder; zero if every page is whole and every link leads somewhere."""
    with tempfile.TemporaryDirectory() as read:
        asked = ["-q", "-W", "--keep-going", "-b", "html", "-c", str(SITE), "-d", read]
        return main([*asked, str(ROOT), str(folder)])


if __name__ == "__main__":
    sys.exit(build(Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "build" / "manual"))
