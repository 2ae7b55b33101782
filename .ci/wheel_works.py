"""Run with the Python of an environment that has the wheel and no checkout: does it work there?

Asks what needs each kind of file that is no code: the demo shop, the templates of pages and papers,
the static files, the steps of the database. Ends non-zero at the first thing that is not so.
"""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import time
import urllib.error
import urllib.request
from importlib import metadata
from importlib.resources import files
from pathlib import Path

ROOT = Path(sys.argv[1]).resolve()
PROGRAM = str(Path(sys.executable).parent / "mouldwright")
PLAIN = {"PATH": os.environ["PATH"], "HOME": os.getcwd(), "LANG": "C.UTF-8", "NO_COLOR": "1"}
ASK = urllib.request.build_opener(urllib.request.ProxyHandler({}))  # this machine, no proxy


def main() -> None:
    """Ask all of it, in order."""
    import mouldwright

    at = Path(mouldwright.__file__).resolve().parent
    want(ROOT not in at.parents, f"the checkout was imported: {at}")
    want(metadata.version("mouldwright") == mouldwright.__version__, "the version is another")
    want(files("mouldwright").joinpath("py.typed").is_file(), "py.typed is missing")
    here, there = names(at), names(ROOT / "service" / "mouldwright")
    want(here == there, f"the wheel and the checkout differ: {sorted(here ^ there)}")

    run("demo", "--write", "bench")
    run("check", "bench")
    choices = json.loads(
        run("compare", "bench", "--part", "sensor-fin", "--quantity", "16", "--json")
    )["choices"]
    want(len(choices) == 2, "the comparison lacks a process")
    quote = ("quote", "bench", "--part", "stabiliser", "--process", "cast", "--quantity", "10")
    run(*quote, "--pdf", "quote.pdf")
    want(Path("quote.pdf").read_bytes().startswith(b"%PDF-"), "the quote is no PDF")
    serves()
    sys.stdout.write("the wheel works with nothing of the checkout\n")


def serves() -> None:
    """Serve the demo from a fresh database, and ask its health and the page to sign in on."""
    command = [PROGRAM, "serve", "--demo", "--port", "0", "--database", "sqlite:///bench.db"]
    served = subprocess.Popen(
        command, env=PLAIN, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    )
    try:
        assert served.stdout is not None
        said = ""
        for line in served.stdout:
            said += line
            if found := re.search(r"http://127\.0\.0\.1:\d+/sign-in\S*", said):
                break
        else:
            raise SystemExit(f"it did not serve:\n{said}")
        address = found[0].partition("/sign-in")[0]
        listens(address)
        for path in ("/v1/health", "/v1/openapi.json", found[0].removeprefix(address)):
            with ASK.open(address + path, timeout=30) as answer:
                want(answer.status == 200, f"{path} answered {answer.status}")
    finally:
        served.send_signal(signal.SIGINT)
        served.wait(timeout=30)


def listens(address: str, seconds: float = 60) -> None:
    """Wait until it answers: the link is printed a moment before."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        try:
            ASK.open(address + "/v1/health", timeout=5).close()
        except urllib.error.URLError:
            time.sleep(0.2)
        else:
            return
    raise SystemExit(f"nothing answers on {address}")


def run(*arguments: str) -> str:
    """Return what a command prints; end here if it fails."""
    done = subprocess.run(
        [PROGRAM, *arguments], env=PLAIN, capture_output=True, text=True, check=False
    )
    want(done.returncode == 0, f"mouldwright {' '.join(arguments)}:\n{done.stderr}")
    return done.stdout


def names(package: Path) -> set[str]:
    """Return the files of a package, by their place in it, compiled ones left out."""
    return {
        str(file.relative_to(package))
        for file in package.rglob("*")
        if file.is_file() and "__pycache__" not in file.parts
    }


def want(so: bool, otherwise: str) -> None:
    """End here, saying why, unless it is so."""
    if not so:
        raise SystemExit(otherwise)


if __name__ == "__main__":
    main()
