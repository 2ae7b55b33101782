"""The steps of the image, done on the bare machine, for where no container engine is at hand.

Reads ``docker/Dockerfile`` and does what it says in a root of its own: the machine's own system
folders read-only, everything else fresh. Its RUN and COPY steps as they stand, then its entrypoint
as its user, on a read-only root, in a network of its own; its health check has to pass. What only
an engine does (fetching the image it starts from, layers, capabilities) is not done.

Run as root; ``--inside`` and ``--served`` are stages it starts itself. Ends with 75 where the
machine does not let it.
"""

from __future__ import annotations

import fcntl
import json
import os
import re
import shutil
import signal
import socket
import struct
import subprocess
import sys
import tempfile
import time
import tomllib
from collections.abc import Callable
from pathlib import Path

HERE = Path(__file__).resolve().parent.parent
NOT_REACHED = 75
SYSTEM = ("usr", "bin", "sbin", "lib", "lib64", "opt", "var", "dev", "proc", "sys")
NO_INDEX = {"PIP_NO_INDEX": "1", "PIP_FIND_LINKS": "/wheels"}


def recipe(text: str) -> list[tuple[str, str]]:
    """Return the steps of a Dockerfile, each by its keyword."""
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    steps = [(word, rest.strip()) for word, _, rest in (line.partition(" ") for line in lines)]
    known = {"FROM", "RUN", "WORKDIR", "COPY", "ENV", "USER", "VOLUME", "EXPOSE", "HEALTHCHECK"}
    unknown = {word for word, _ in steps} - known - {"ENTRYPOINT", "CMD"}
    want(not unknown, f"steps that are not done here: {sorted(unknown)}")
    return steps


def main() -> None:
    """Do all of it, each stage within the one before."""
    if "--served" in sys.argv:
        served(Path(sys.argv[-1]))
        return
    if "--inside" in sys.argv:
        inside(Path(sys.argv[-1]))
        return
    again = [sys.executable, __file__]
    apart = ["unshare", "--mount", "--net", "true"]
    if os.geteuid() != 0 or subprocess.run(apart, check=False, capture_output=True).returncode:
        say("not reached: mounts and a network of its own need root")
        raise SystemExit(NOT_REACHED)
    with tempfile.TemporaryDirectory(prefix="image-") as folder:
        os.chmod(folder, 0o755)
        root = Path(folder) / "root"
        root.mkdir(mode=0o755)
        fetched(root / "wheels")
        done = subprocess.run(["unshare", "--mount", *again, "--inside", root], check=False)
    raise SystemExit(done.returncode)


def fetched(wheels: Path) -> None:
    """Fetch what the image installs, from pip's store where it lies there: the same files."""
    project = tomllib.loads((HERE / "pyproject.toml").read_text(encoding="utf-8"))
    what = [f"{HERE}[postgres]", *project["build-system"]["requires"]]
    pinned = ["-c", str(HERE / "service" / "constraints.txt")]
    pip = [sys.executable, "-m", "pip", "download", "--quiet", "--dest", str(wheels)]
    done = subprocess.run([*pip, *pinned, *what], check=False, capture_output=True)
    want(done.returncode == 0, done.stderr.decode())


def inside(root: Path) -> None:
    """Lay the root out, do the RUN and COPY steps, then serve from it read-only."""
    mount("--bind", root, root)
    for name in SYSTEM:
        lent(root, Path("/") / name)
    # The image it starts from brings its own Python; here it is the machine's.
    lent(root, Path(sys.base_prefix))
    shutil.copytree("/etc", root / "etc", symlinks=True, ignore=unreadable)
    for name in ("tmp", "home", "root"):
        (root / name).mkdir(exist_ok=True)
    (root / "tmp").chmod(0o1777)
    run(root, [os.path.realpath(sys.executable), "-m", "venv", "/venv"])
    at = Path("/")
    for word, rest in recipe((HERE / "docker" / "Dockerfile").read_text(encoding="utf-8")):
        if word == "RUN":
            say(f"RUN {rest}")
            run(root, ["sh", "-c", rest], at=at, environment=NO_INDEX)
        elif word == "WORKDIR":
            at = at / rest
            below(root, at).mkdir(parents=True, exist_ok=True)
        elif word == "COPY":
            copy(root, at, rest.split())
    apart = ["unshare", "--mount", "--net", sys.executable, __file__, "--served", str(root)]
    raise SystemExit(subprocess.run(apart, check=False).returncode)


def served(root: Path) -> None:
    """Start the entrypoint as the image would and ask its health; then end it."""
    loopback_up()
    steps = recipe((HERE / "docker" / "Dockerfile").read_text(encoding="utf-8"))
    said = {word: rest for word, rest in steps if word not in ("ENV", "RUN", "COPY")}
    settings = dict(rest.split("=", 1) for word, rest in steps if word == "ENV")
    for volume in (said["VOLUME"], "/tmp"):
        kept = below(root, Path(volume))
        owner = kept.stat()
        mount("-t", "tmpfs", "-o", f"mode={owner.st_mode & 0o7777:o}", "tmpfs", kept)
        os.chown(kept, owner.st_uid, owner.st_gid)
    mount("-o", "remount,ro,bind", root)
    user, at = int(said["USER"]), Path(said["WORKDIR"])
    want(user != 0, "the image runs as root")
    command = json.loads(said["ENTRYPOINT"]) + json.loads(said["CMD"])
    asked = json.loads(re.sub(r"^.*?CMD ", "", said["HEALTHCHECK"]))

    def ask(words: list[str]) -> subprocess.CompletedProcess[bytes]:
        return run(root, words, at=at, environment=settings, user=user, must=False)

    for place in (at, Path("/app"), Path("/etc")):
        want(ask(["touch", str(place / "x")]).returncode != 0, f"{place} can be written to")
    process = subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        env=plain(settings),
        preexec_fn=within(root, at, user),
    )
    try:
        began = time.monotonic()
        while ask(asked).returncode != 0:
            want(process.poll() is None, "it ended by itself")
            want(time.monotonic() - began < 40, "its health check does not pass")
            time.sleep(0.3)
        say(f"healthy after {time.monotonic() - began:.1f} s, as user {user} on a read-only root")
        kept = below(root, Path(said["VOLUME"])) / "mouldwright.db"
        want(kept.stat().st_uid == user, "the database is another's")
        want(kept.stat().st_mode & 0o077 == 0, "others can read the database")
        # Paper needs fonts and a place to put them: the hardest that is asked of the root.
        bench, paper = f"{said['VOLUME']}/bench", f"{said['VOLUME']}/quote.pdf"
        run(root, ["mouldwright", "demo", "--write", bench], at=at, user=user)
        quote = ["--part", "stabiliser", "--process", "cast", "--quantity", "10", "--pdf", paper]
        run(root, ["mouldwright", "quote", bench, *quote], at=at, user=user)
        want(below(root, Path(paper)).read_bytes().startswith(b"%PDF-"), "the quote is no PDF")
    finally:
        process.send_signal(signal.SIGTERM)
        printed = process.communicate(timeout=30)[0].decode()
        ended = process.returncode
    want(ended == 0, f"told to stop it ended with {ended}:\n{printed}")
    want("sign-in?code=" in printed, f"it printed no link:\n{printed}")
    want("Traceback" not in printed, printed)
    say("the steps of the image work")


def copy(root: Path, at: Path, words: list[str]) -> None:
    """Do a COPY step: files into a folder, a folder's content into another."""
    *sources, target = words
    to = below(root, at / target)
    for source in sources:
        found = HERE / source
        if found.is_dir():
            shutil.copytree(found, to, ignore=shutil.ignore_patterns("__pycache__"))
        elif target.endswith("/"):
            shutil.copy(found, to)
        else:
            to.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(found, to)


def run(
    root: Path,
    words: list[str],
    *,
    at: Path = Path("/"),
    environment: dict[str, str] | None = None,
    user: int = 0,
    must: bool = True,
) -> subprocess.CompletedProcess[bytes]:
    """Run a command within the root; end here where it fails and must not."""
    done = subprocess.run(
        words,
        check=False,
        env=plain(environment or {}),
        preexec_fn=within(root, at, user),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    )
    want(not must or done.returncode == 0, f"{' '.join(words)}:\n{done.stdout.decode()}")
    return done


def within(root: Path, at: Path, user: int) -> Callable[[], None]:
    """Return what puts a process about to start into the root, as a user."""

    def enter() -> None:
        os.chroot(root)
        os.chdir(at)
        if user:
            os.setgroups([])
            os.setgid(user)
            os.setuid(user)

    return enter


def plain(more: dict[str, str]) -> dict[str, str]:
    """Return the environment an image starts with, and more."""
    return {"PATH": "/venv/bin:/usr/local/bin:/usr/bin:/bin:/usr/sbin:/sbin", "HOME": "/", **more}


def lent(root: Path, folder: Path) -> None:
    """Show a folder of the machine in the root, read-only."""
    to = below(root, folder)
    if folder.is_symlink():
        to.symlink_to(os.readlink(folder))
    elif folder.is_dir() and not to.exists():
        to.mkdir(parents=True)
        mount("--rbind", folder, to)
        if folder.name not in ("dev", "proc", "sys"):
            mount("-o", "remount,ro,bind", to)


def unreadable(folder: str, names: list[str]) -> set[str]:
    """Return what is no file or folder, and is not copied."""
    return {
        n for n in names if not (Path(folder) / n).exists() and not (Path(folder) / n).is_symlink()
    }


def below(root: Path, path: Path) -> Path:
    """Return where a path of the image lies."""
    return root / path.relative_to("/")


def mount(*words: object) -> None:
    """Mount something in this process's own view of the machine."""
    done = subprocess.run(["mount", *map(str, words)], check=False, capture_output=True)
    want(done.returncode == 0, f"mount {words}: {done.stderr.decode()}")


def loopback_up() -> None:
    """Bring the loopback interface of a new network up (SIOCSIFFLAGS, netdevice(7))."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        up_and_running = 0x1 | 0x40
        fcntl.ioctl(asked, 0x8914, struct.pack("16sh14x", b"lo", up_and_running))


def say(text: str) -> None:
    """Print a line at once."""
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def want(so: bool, otherwise: str) -> None:
    """End here, saying why, unless it is so."""
    if not so:
        raise SystemExit(otherwise)


if __name__ == "__main__":
    main()
